package plaintest

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients"
)

// RawTable reads a table of calc/law/data as text, by column name.
func RawTable(t testing.TB, name string) []map[string]string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for filepath.Base(dir) != "calc" {
		require.NotEqual(t, dir, filepath.Dir(dir), "the test stands below calc")
		dir = filepath.Dir(dir)
	}
	f, err := os.Open(filepath.Join(dir, "law", "data", name))
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

// tableBook holds the tables as text.
type tableBook struct {
	// official names, small: CAS numbers
	inventory map[string]string
	// customary names, small: official names
	customary                                                    map[string][]string
	limits, allergens, tox, toxUse, cramer, closed, fats, guides []map[string]string
	types, exposure, facts                                       map[string]map[string]string
	synonyms                                                     map[string]string // lower case → name
	// lower case → names of the inventory it is another name of
	official map[string][]string
	dict     *ingredients.Dictionary
	rules    *Rules
	// product types, in the order of the table
	kinds []string
	// Limit and toxicological rows of a name
	named, toxic map[string][]map[string]string
	// places of the allergen rows of a name
	scented map[string][]int
	// what was looked up before
	known map[string]bool
	// what each limit row names
	numbers []rowNames
}

// rowNames are the names and numbers of a limit row.
type rowNames struct {
	names, cas []string
	known      []*ingredients.Substance
}

func NewBook(t testing.TB, asked Asked) *tableBook {
	b := &tableBook{
		limits: RawTable(t, "limits.csv"), allergens: RawTable(t, "allergens.csv"), tox: append(RawTable(t,
			"tox-values.csv"), RawTable(t,
			"tox-values-more.csv")...), cramer: RawTable(t, "cramer-classes.csv"), toxUse: RawTable(t, "tox-use.csv"),
		closed: RawTable(t, "ttc-exclusions.csv"), fats: RawTable(t, "saponification.csv"), guides: RawTable(t,
			"trace-guides.csv"), types: keyed(RawTable(t, "product-types.csv")),
		exposure: keyed(RawTable(t, "exposure.csv")), facts: keyed(RawTable(t,
			"facts.csv")), synonyms: map[string]string{}, official: map[string][]string{},
		dict: asked.Names, rules: &Rules{Asked: asked}, named: map[string][]map[string]string{},
		toxic: map[string][]map[string]string{}, scented: map[string][]int{}, known: map[string]bool{},
	}
	for _, r := range b.limits {
		var n rowNames
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
	for _, r := range RawTable(t, "product-types.csv") {
		b.kinds = append(b.kinds, r["key"])
	}
	for _, r := range RawTable(t, "synonyms.csv") {
		b.synonyms[strings.ToLower(r["synonym"])] = r["inci"]
	}
	return b
}

func (b *tableBook) fact(key string) Rat { return Dec(b.facts[key]["value"]) }

// figure reads a cell; nil where it is empty.
func figure(row map[string]string, column string) Rat {
	if row == nil || row[column] == "" {
		return nil
	}
	return Dec(row[column])
}

// same says whether two names are those of one substance.
func (b *tableBook) same(x, y string) bool {
	return b.alike(x, y) || slices.ContainsFunc(b.usual(y), func(other string) bool { return b.alike(x, other) })
}

func (b *tableBook) alike(x, y string) bool {
	return strings.EqualFold(x, y) || b.dict.Lookup(x) != nil && b.dict.Lookup(x) == b.dict.Lookup(y)
}

// usual are the official names that customary-names.csv gives a name of the law which has
// no number of its own there: Dipentene is limonene.
func (b *tableBook) usual(name string) []string {
	if law := b.dict.Lookup(name); law == nil || len(law.CAS) > 0 {
		return nil
	}
	if len(b.official) == 0 {
		b.readOfficial()
	}
	return b.customary[strings.ToLower(name)]
}

func (b *tableBook) memo(key string, look func() bool) bool {
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
func (b *tableBook) allergensOf(name string) []int {
	return remember(b.scented, name, func() (at []int) {
		for i, row := range b.allergens {
			is := slices.ContainsFunc(append(b.usual(name), name),
				func(n string) bool { return strings.EqualFold(row["label_name"], n) })
			for member := range strings.SplitSeq(row["substances"], ";") {
				n, numbers, _ := strings.Cut(member, "|")
				is = is || b.same(strings.TrimSpace(n), name)
				cas, _, _ := strings.Cut(numbers, "|")
				// the number of the list is that of the entry; plants share theirs
				is = is || row["botanical"] != "yes" && slices.Contains(b.officialNumbers(name), cas)
				if plain, other, bracketed := strings.Cut(strings.TrimSpace(n), " ("); bracketed &&
					strings.HasSuffix(n, ")") { // the bracket is another name of it
					is = is || b.same(plain, name) || b.same(strings.TrimSuffix(other, ")"), name)
				}
			}
			if is {
				at = append(at, i)
			}
		}
		return at
	})
}

// limitsOf returns the limit rows that name a substance.
func (b *tableBook) limitsOf(name string) []map[string]string {
	return remember(b.named, name, func() (rows []map[string]string) {
		u, me := b.useOf(name), b.dict.Lookup(name)
		for i, r := range b.limits {
			if slices.Contains(b.numbers[i].names, strings.ToLower(name)) || me != nil &&
				slices.Contains(b.numbers[i].known, me) ||
				slices.ContainsFunc(u.CAS, func(c string) bool { return slices.Contains(b.numbers[i].cas, c) }) {
				rows = append(rows, r)
			}
		}
		return rows
	})
}

func (b *tableBook) useOf(name string) Use {
	u := Use{Name: name}
	if s := b.dict.Lookup(name); s != nil {
		u.CAS = s.CAS
	}
	return u
}

// listed says whether an annex has a substance on a day.
func (b *tableBook) listed(annex, name, market, day string) bool {
	return b.memo(strings.Join([]string{annex, name, market, day}, "|"), func() bool {
		return slices.ContainsFunc(b.limitsOf(name), func(r map[string]string) bool {
			return r["annex"] == annex && slices.Contains(strings.Split(r["market"], "+"), market) &&
				r["applies_from"] <= day &&
				(r["applies_until"] == "" || r["applies_until"] >= day) && r["sum"] != "label"
		})
	})
}

// toxOf returns the toxicological rows of a name.
func (b *tableBook) toxOf(name string) []map[string]string {
	return remember(b.toxic, name, func() (rows []map[string]string) {
		for _, r := range b.tox {
			if slices.ContainsFunc(append(strings.FieldsFunc(r["inci"], func(c rune) bool {
				return c == ';' ||
					c == '|'
			}), r["substance"]), func(n string) bool { return b.same(strings.TrimSpace(n), name) }) {
				rows = append(rows, r)
			}
		}
		return rows
	})
}

// classOf returns the highest class that the list of classes gives a name or, where
// it has none of that name, one of its numbers; 0 for none.
func (b *tableBook) classOf(name string) int {
	if len(b.official) == 0 {
		b.readOfficial()
	}
	named, numbered := 0, 0
	cas := b.useOf(name).CAS
	for _, r := range b.cramer {
		class := 0
		for _, c := range append(strings.Split(r["other_classes"], ";"), r["cramer_class"]) {
			class = max(class, len(c))
		}
		switch {
		case b.same(r["inci"], name), slices.Contains(b.official[strings.ToLower(name)], r["inci"]):
			named = max(named, class)
		case r["cas"] != "" && slices.Contains(cas, r["cas"]):
			numbered = max(numbered, class)
		}
	}
	if named > 0 {
		return named
	}
	return numbered
}

// officialNumbers are the CAS numbers that the inventory gives an official name, or
// the official names of a further name.
func (b *tableBook) officialNumbers(name string) (numbers []string) {
	if len(b.official) == 0 {
		b.readOfficial()
	}
	if own, ok := b.inventory[strings.ToLower(name)]; ok {
		return strings.Fields(strings.ReplaceAll(own, ";", " "))
	}
	for _, o := range b.official[strings.ToLower(name)] {
		numbers = append(numbers, strings.Fields(strings.ReplaceAll(b.inventory[strings.ToLower(o)], ";", " "))...)
	}
	return numbers
}

// readOfficial reads the further names that the inventory lists, and the numbers of
// its own.
func (b *tableBook) readOfficial() {
	names, err := os.Open("../ingredients/inventory/data/inci-inventory.csv")
	if err != nil {
		panic(err)
	}
	defer names.Close()
	listed, err := csv.NewReader(names).ReadAll()
	if err != nil {
		panic(err)
	}
	b.inventory = map[string]string{}
	for _, r := range listed[1:] {
		b.inventory[strings.ToLower(r[0])] = r[1]
	}
	f, err := os.Open("../ingredients/inventory/data/inci-synonyms.csv")
	if err != nil {
		panic(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		panic(err)
	}
	for _, r := range records[1:] {
		b.official[strings.ToLower(r[1])] = append(b.official[strings.ToLower(r[1])], r[0])
	}
	c, err := os.Open("../ingredients/names/data/customary-names.csv")
	if err != nil {
		panic(err)
	}
	defer c.Close()
	customary, err := csv.NewReader(c).ReadAll()
	if err != nil {
		panic(err)
	}
	b.customary = map[string][]string{}
	for _, r := range customary[1:] { // a pair with a colour index holds where it colours alone
		if r[3] != "pair" || !strings.HasPrefix(r[1], "CI ") {
			b.customary[strings.ToLower(r[0])] = strings.Split(r[1], ";")
		}
	}
}

// reading returns what tox-use.csv says of a row, or of a name, in one column.
func (b *tableBook) reading(substance, name, column string) string {
	for _, u := range b.toxUse {
		if strings.EqualFold(u["substance"], substance) && (u["inci"] == "" || b.same(u["inci"], name)) &&
			u[column] != "" {
			return u[column]
		}
	}
	return ""
}

// closedTo says whether the threshold of concern is closed to a name.
func (b *tableBook) closedTo(name string) bool {
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
func (b *tableBook) isGuide(name string) bool {
	return slices.ContainsFunc(b.guides, func(r map[string]string) bool {
		return slices.ContainsFunc(strings.Split(r["names"], ";"), func(n string) bool { return b.same(n, name) })
	})
}

// numberOfAllergen says whether an allergen entry has a number of a name: the
// reaction with lye gives its parts numbers, and no other part has one here.
func (b *tableBook) numberOfAllergen(name string) bool {
	return slices.ContainsFunc(b.useOf(name).CAS, func(number string) bool {
		return slices.ContainsFunc(b.allergens,
			func(r map[string]string) bool { return strings.Contains(r["substances"], "|"+number+"|") })
	})
}
