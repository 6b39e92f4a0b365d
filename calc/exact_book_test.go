package calc

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// rawTable reads a table as text.
func rawTable(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("law/data/" + name)
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var rows []map[string]string
	for _, r := range records[1:] {
		row := map[string]string{}
		for i, c := range records[0] {
			row[c] = r[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func keyed(rows []map[string]string) map[string]map[string]string {
	out := map[string]map[string]string{}
	for _, r := range rows {
		out[r["key"]] = r
	}
	return out
}

// exactBook holds the tables as text.
type exactBook struct {
	limits, allergens, tox, toxUse, cramer, closed, fats, guides []map[string]string
	types, exposure, facts                                       map[string]map[string]string
	synonyms                                                     map[string]string // lower case → name
	dict                                                         *ingredients.Dictionary
	named, toxic                                                 map[string][]map[string]string // limit and toxicological rows of a name
	scented                                                      map[string][]int               // places of the allergen rows of a name
	known                                                        map[string]bool                // what was looked up before
	numbers                                                      []exactNames                   // what each limit row names
}

// exactNames are the names and numbers of a limit row.
type exactNames struct {
	names, cas []string
	known      []*ingredients.Substance
}

func newExactBook(t testing.TB) *exactBook {
	b := &exactBook{
		limits: rawTable(t, "limits.csv"), allergens: rawTable(t, "allergens.csv"), tox: append(rawTable(t, "tox-values.csv"), rawTable(t, "tox-values-more.csv")...), cramer: rawTable(t, "cramer-classes.csv"), toxUse: rawTable(t, "tox-use.csv"),
		closed: rawTable(t, "ttc-exclusions.csv"), fats: rawTable(t, "saponification.csv"), guides: rawTable(t, "trace-guides.csv"), types: keyed(rawTable(t, "product-types.csv")),
		exposure: keyed(rawTable(t, "exposure.csv")), facts: keyed(rawTable(t, "facts.csv")), synonyms: map[string]string{},
		dict: law.Builtin().Dictionary(), named: map[string][]map[string]string{}, toxic: map[string][]map[string]string{}, scented: map[string][]int{}, known: map[string]bool{},
	}
	for _, r := range b.limits {
		var n exactNames
		for name := range strings.SplitSeq(r["inci_names"], ";") {
			name = strings.TrimSpace(name)
			n.names = append(n.names, strings.ToLower(name))
			if s := b.dict.Lookup(name); s != nil {
				n.known = append(n.known, s)
			}
		}
		for c := range strings.SplitSeq(r["cas"], ";") {
			n.cas = append(n.cas, strings.TrimSpace(c))
		}
		b.numbers = append(b.numbers, n)
	}
	for _, r := range rawTable(t, "synonyms.csv") {
		b.synonyms[strings.ToLower(r["synonym"])] = r["inci"]
	}
	return b
}

func (b *exactBook) fact(key string) rat { return dec(b.facts[key]["value"]) }

// figure reads a cell; nil where it is empty.
func figure(row map[string]string, column string) rat {
	if row == nil || row[column] == "" {
		return nil
	}
	return dec(row[column])
}

// same says whether two names are those of one substance.
func (b *exactBook) same(x, y string) bool {
	return strings.EqualFold(x, y) || b.dict.Lookup(x) != nil && b.dict.Lookup(x) == b.dict.Lookup(y)
}

func (b *exactBook) memo(key string, look func() bool) bool {
	is, ok := b.known[key]
	if !ok {
		is = look()
		b.known[key] = is
	}
	return is
}

// remember looks a list up once for each name.
func remember[T any](known map[string][]T, name string, look func() []T) []T {
	list, ok := known[name]
	if !ok {
		list = look()
		known[name] = list
	}
	return list
}

// allergensOf returns the places of the allergen rows that a name counts for.
func (b *exactBook) allergensOf(name string) []int {
	return remember(b.scented, name, func() (at []int) {
		for i, row := range b.allergens {
			is := strings.EqualFold(row["label_name"], name)
			for member := range strings.SplitSeq(row["substances"], ";") {
				n, _, _ := strings.Cut(member, "|")
				is = is || b.same(strings.TrimSpace(n), name)
			}
			if is {
				at = append(at, i)
			}
		}
		return at
	})
}

// limitsOf returns the limit rows that name a substance.
func (b *exactBook) limitsOf(name string) []map[string]string {
	return remember(b.named, name, func() (rows []map[string]string) {
		u, me := b.useOf(name), b.dict.Lookup(name)
		for i, r := range b.limits {
			if slices.Contains(b.numbers[i].names, strings.ToLower(name)) || me != nil && slices.Contains(b.numbers[i].known, me) ||
				slices.ContainsFunc(u.cas, func(c string) bool { return slices.Contains(b.numbers[i].cas, c) }) {
				rows = append(rows, r)
			}
		}
		return rows
	})
}

func (b *exactBook) useOf(name string) plainUse {
	u := plainUse{name: name}
	if s := b.dict.Lookup(name); s != nil {
		u.cas = s.CAS
	}
	return u
}

// listed says whether an annex has a substance on a day.
func (b *exactBook) listed(annex, name, market, day string) bool {
	return b.memo(strings.Join([]string{annex, name, market, day}, "|"), func() bool {
		return slices.ContainsFunc(b.limitsOf(name), func(r map[string]string) bool {
			return r["annex"] == annex && slices.Contains(strings.Split(r["market"], "+"), market) && r["applies_from"] <= day &&
				(r["applies_until"] == "" || r["applies_until"] >= day) && r["sum"] != "label"
		})
	})
}

// toxOf returns the toxicological rows of a name.
func (b *exactBook) toxOf(name string) []map[string]string {
	return remember(b.toxic, name, func() (rows []map[string]string) {
		for _, r := range b.tox {
			if slices.ContainsFunc(append(strings.FieldsFunc(r["inci"], func(c rune) bool { return c == ';' || c == '|' }), r["substance"]), func(n string) bool { return b.same(strings.TrimSpace(n), name) }) {
				rows = append(rows, r)
			}
		}
		return rows
	})
}

// classOf returns the highest class that the list of classes gives a name, 0 for
// none.
func (b *exactBook) classOf(name string) (class int) {
	for _, r := range b.cramer {
		if b.same(r["inci"], name) {
			for _, c := range append(strings.Split(r["other_classes"], ";"), r["cramer_class"]) {
				class = max(class, len(c))
			}
		}
	}
	return class
}

// reading returns what tox-use.csv says of a row, or of a name, in one column.
func (b *exactBook) reading(substance, name, column string) string {
	for _, u := range b.toxUse {
		if strings.EqualFold(u["substance"], substance) && (u["inci"] == "" || b.same(u["inci"], name)) && u[column] != "" {
			return u[column]
		}
	}
	return ""
}

// closedTo says whether the threshold of concern is closed to a name.
func (b *exactBook) closedTo(name string) bool {
	name = strings.ToLower(strings.NewReplacer("-", " ", ".", "", "'", "").Replace(name))
	words := strings.FieldsFunc(name, func(r rune) bool { return strings.ContainsRune(" /(),", r) })
	for _, g := range b.closed {
		for w := range strings.SplitSeq(g["words"], ";") {
			if slices.Contains(words, w) {
				return true
			}
		}
		for p := range strings.SplitSeq(g["parts"], ";") {
			if p != "" && strings.Contains(name, p) {
				return true
			}
		}
	}
	return false
}

// isGuide says whether a name stands in the guidance on traces, under whose
// numbers toxicological values are looked up too.
func (b *exactBook) isGuide(name string) bool {
	return slices.ContainsFunc(b.guides, func(r map[string]string) bool {
		return slices.ContainsFunc(strings.Split(r["names"], ";"), func(n string) bool { return b.same(n, name) })
	})
}

// numberOfAllergen says whether an allergen entry has a number of a name: the
// reaction with lye gives its parts numbers, and no other part has one here.
func (b *exactBook) numberOfAllergen(name string) bool {
	return slices.ContainsFunc(b.useOf(name).cas, func(number string) bool {
		return slices.ContainsFunc(b.allergens, func(r map[string]string) bool { return strings.Contains(r["substances"], "|"+number+"|") })
	})
}
