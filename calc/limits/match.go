package limits

import (
	"slices"
	"strings"
	"sync"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/calc/purpose"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/names"
	"gallipot/ingredients/pattern"
)

// rowMatch is a limit row that names a substance.
type rowMatch struct {
	Row *annex.Limit
	by  string // name, plant, cas or ec
	// doubt says why the match itself is open; "" where it is not.
	doubt string
	// standsFor is what the CAS number stands for where it contradicts the name.
	standsFor []string
	place     int // of the row in the table
}

// matcher finds the limit rows of substances. It remembers what it found, since
// the variants of a workshop share most of their substances.
type matcher struct {
	session   *formula.Session
	tables    *table.Tables
	species   map[string][]*annex.Limit // genus and species of entries that name a part or preparation
	ofPlant   map[string]*names.Plant   // what an entry's name says of a plant
	plants    map[string][]*annex.Limit // genus and species, or genus alone, of the entries "and its preparations"
	basis     map[string]exact.Num
	sums      sync.Map // sumKey → []*law.Limit
	found     formula.Memo[formula.Identity, *nameFacts]
	factors   formula.Memo[factorKey, Term]
	elems     []element
	Standards map[string]standardRows // by name of the Standard
	Counted   map[string][]string     // Standards that count the substances of an entry, by entry
	listed    func() map[string][]string
	carries   map[string]bool // names known for another function than preserving, colouring or filtering UV
}

// standardRows are the rows of one Standard.
type standardRows struct {
	Rows  []*trade.FragranceStandard
	Place int // of the first in the table
}

// sumKey names a sum on one day.
type sumKey struct {
	row    *annex.Limit
	market rows.Market
	day    exact.Date
}

// matcherMemory keeps the matcher of a session, made on first use.
type matcherMemory struct {
	once    sync.Once
	matcher *matcher
}

// matcherOf returns the matcher of the session.
func matcherOf(s *formula.Session) *matcher {
	m := formula.MemoryOf[matcherMemory](s)
	m.once.Do(func() { m.matcher = newMatcher(s) })
	return m.matcher
}

func newMatcher(s *formula.Session) *matcher {
	tables := s.Law
	m := &matcher{session: s, tables: tables, species: map[string][]*annex.Limit{},
		ofPlant: map[string]*names.Plant{},
		plants:  map[string][]*annex.Limit{}, basis: map[string]exact.Num{},
		carries:   map[string]bool{},
		Standards: map[string]standardRows{}, Counted: map[string][]string{}}
	for _, l := range law.Limits(tables) { // rules of Annex II alone have none of these
		for _, key := range l.Plants {
			m.plants[key] = append(m.plants[key], l)
		}
		for _, f := range l.Basis.Factors {
			for _, n := range []string{f.Name, f.Name + " (" + f.Form + ")"} {
				key := basisKey(l.Basis, n)
				m.basis[key] = m.basis[key].Max(f.Factor)
			}
		}
		for _, word := range l.Elements {
			m.elems = append(m.elems, element{word, l})
		}
	}
	for _, e := range tables.EntryPlants() {
		m.addEntryPlant(e)
	}
	for i, row := range law.Standards(tables) {
		s, known := m.Standards[row.Substance]
		if !known {
			s.Place = i
		}
		s.Rows = append(s.Rows, row)
		m.Standards[row.Substance] = s
		for _, e := range row.Entries {
			if !slices.Contains(m.Counted[e], row.Substance) {
				m.Counted[e] = append(m.Counted[e], row.Substance)
			}
		}
	}
	for _, mat := range law.Materials(tables) {
		m.addCarrier(mat)
	}
	m.listed = sync.OnceValue(m.listStandards)
	return m
}

// place returns where a rule stands in the tables; false where it stands in none of them.
func (m *matcher) place(l *annex.Limit) (int, bool) { return m.tables.ByLimit().Place(l) }

// order is the place of a rule that stands in the tables.
func (m *matcher) order(l *annex.Limit) int {
	at, _ := m.place(l)
	return at
}

// listStandards finds, by the key of an official name, the Standards that hold a number
// which the inventory gives it: estragole is Allylanisole there. The number of a plant
// says nothing of its part.
func (m *matcher) listStandards() map[string][]string {
	listed := map[string][]string{}
	resolver := m.tables.Dictionary().Names()
	for name, s := range m.Standards {
		for _, cas := range s.Rows[0].CAS {
			for _, official := range resolver.Inventory().ByCAS(cas) {
				if key := ingredients.NameKey(official); resolver.Plant(official) == nil &&
					!slices.Contains(listed[key], name) {
					listed[key] = append(listed[key], name)
				}
			}
		}
	}
	for _, names := range listed {
		slices.Sort(names)
	}
	return listed
}

// StandardsListed are the Standards that hold a number of an official name.
func (m *matcher) StandardsListed(inci string) []string { return m.listed()[ingredients.NameKey(inci)] }

// addCarrier notes what a common raw material is sold for where it is a single
// substance that neither preserves nor colours nor filters UV.
func (m *matcher) addCarrier(mat *trade.Material) {
	if len(mat.Constituents) == 0 {
		return
	}
	for _, f := range mat.Functions {
		switch fn, ok := purpose.FunctionOf(m.session, f); {
		case !ok, fn == purpose.Preservative, fn == purpose.Colorant, fn == purpose.UVFilter:
			return
		}
	}
	for _, c := range mat.Constituents {
		if !c.Inside {
			m.carries[ingredients.NameKey(m.tables.Dictionary().CanonicalOf(c.INCI))] = true
		}
	}
}

// basisKey names a substance in what a limit is expressed as: rows with the same
// basis share their factors.
func basisKey(b annex.Basis, name string) string {
	return strings.Join(b.As, ";") + "|" + ingredients.NameKey(name)
}

var inBrackets = pattern.New(`\s*\([^)]*\)`)

// nameFacts is what the tables say of a substance by its name and numbers.
type nameFacts struct {
	matches  []rowMatch
	elements []element // those whose word stands in its name
	// botanical says that it is an oil, extract or other preparation of a plant.
	botanical bool
}

// known returns what the tables say of a substance.
func (m *matcher) known(s *formula.Substance) *nameFacts {
	return m.found.Of(s.Identity(), func() *nameFacts { return m.factsOf(s) })
}

func (m *matcher) factsOf(s *formula.Substance) *nameFacts {
	f := &nameFacts{matches: m.search(s)}
	f.botanical = slices.ContainsFunc(s.AllNames(), func(n string) bool { return formula.IsBotanical(m.tables, n) })
	words := NameWords(s.INCI)
	for _, e := range m.elems {
		if slices.Contains(words, e.word) {
			f.elements = append(f.elements, e)
		}
	}
	return f
}

// search returns the rows of all markets and times that name a substance, in
// the order of the table.
//
// The name counts first. A number adds rows that the name does not give, except
// for plant oils and extracts, where one number stands for several parts and
// preparations: there a name that an entry knows decides, and a number that fits
// two entries leaves both in doubt. A number that contradicts a known name
// leaves the rows it gives in doubt.
func (m *matcher) search(s *formula.Substance) []rowMatch {
	by := map[*annex.Limit]*rowMatch{}
	add := func(row *annex.Limit, how, doubt string, standsFor ...string) {
		old := by[row]
		if old == nil || rank(how) < rank(old.by) || how == old.by && old.doubt != "" && doubt == "" {
			by[row] = &rowMatch{row, how, doubt, standsFor, m.order(row)}
		}
	}
	printed := s.AllNames()
	if plain := inBrackets.ReplaceAllString(s.INCI, ""); plain != s.INCI && plain != "" {
		printed = append(printed, plain)
	}
	if s.Nano {
		printed = append(printed, s.INCI+" (nano)")
	}
	for _, n := range printed {
		for _, f := range law.LimitsOf(m.tables, n, nil, nil) { // with the numbers the dictionary ties to the name
			switch {
			case f.By == table.ByLinkedName:
				add(f.Limit, f.By, linkedToClass)
			case f.Limit.SharedNumber && rank(f.By) > 1:
				add(f.Limit, f.By, sharedNumber)
			default:
				add(f.Limit, f.By, "")
			}
		}
	}
	permitted := permittedByName(by)
	doubt := ""
	var standsFor []string
	if ok, others := m.tables.CASFits(s.INCI, s.CAS); s.CAS != "" && !ok && len(others) > 0 {
		doubt = "CAS " + s.CAS + " stands for " + strings.Join(others, " or ") + ", not for " + s.INCI
		standsFor = others
	}
	for _, f := range law.LimitsOf(m.tables, "", formula.List(s.CAS), formula.List(s.EC)) {
		why := doubt
		switch {
		case why != "" || f.Limit.Annex != "II":
		case f.Limit.SharedNumber:
			why = sharedNumber
		case permitted != "":
			why = "by name it belongs to entry " + permitted + ", which permits it"
		}
		add(f.Limit, f.By, why, standsFor...)
	}
	m.addSalts(s, by, add)
	m.addSpecies(s, add)
	words := strings.Fields(strings.ToLower(s.INCI))
	if len(words) > 1 {
		for _, row := range append(slices.Clone(m.plants[words[0]+" "+words[1]]), m.plants[words[0]]...) {
			add(row, "plant", "")
		}
	}
	for _, e := range m.elems { // "Lead and its compounds" names lead itself
		if e.row.ElementSelf && strings.EqualFold(s.INCI, e.word) {
			add(e.row, "name", "")
		}
	}
	inName := NameWords(s.INCI)
	for _, n := range s.Maybe {
		for _, f := range law.LimitsOf(m.tables, n, nil, nil) {
			ofClass := slices.ContainsFunc(m.elems, func(e element) bool { // asked about as a member
				return e.row == f.Limit && slices.Contains(inName, e.word)
			})
			if old := by[f.Limit]; !ofClass && (old == nil || old.doubt != "") {
				add(f.Limit, f.By, "its name leaves open whether it is "+n)
			}
		}
	}
	out := make([]rowMatch, 0, len(by))
	for _, f := range by {
		if m.otherPart(s, f) || leftOut(printed, f.Row) {
			continue
		}
		out = append(out, *f)
	}
	slices.SortFunc(out, func(a, b rowMatch) int { return a.place - b.place })
	if formula.IsBotanical(m.tables, s.INCI) {
		out = decidePreparation(out)
	}
	return out
}

// leftOut says whether an entry leaves a substance out by one of its names: such as the
// absolute, where the oil of the plant is prohibited.
func leftOut(printed []string, row *annex.Limit) bool {
	return slices.ContainsFunc(row.ExemptNames, func(n string) bool {
		return slices.ContainsFunc(printed, func(p string) bool { return ingredients.NameKey(p) == ingredients.NameKey(n) })
	})
}

// Doubts of a match; [doubtForms] has the form of the finding for each.
const (
	sharedNumber   = "its number stands for other parts, preparations or forms too"
	linkedToClass  = "an official list ties it to this class entry; what it is made of decides"
	severalEntries = "its number fits more than one entry; the plant part and the preparation decide"
	partOpen       = "its name does not say which part of the plant it is, or how it was won"
	partByNumber   = "the number is that of the plant; the name does not say which part it is, or how it was won"
	otherByName    = "the number is that of the prohibited material; the name says another part or preparation of the plant"
	saltOfNamed    = "its name is that of a salt of what the entry names"
)

// doubtForms are the forms of the finding for a match in doubt.
var doubtForms = map[string]string{
	sharedNumber: "shared", linkedToClass: "linked", severalEntries: "entries", partOpen: "part",
	partByNumber: "part", otherByName: "contradicts",
	saltOfNamed: "salt",
}

// permittedByName names an entry of the annexes that permit by which a substance
// is known, "" for none: a number that leads to a prohibition besides is then not
// enough to say that it is prohibited.
func permittedByName(found map[*annex.Limit]*rowMatch) string {
	entry := ""
	for row, m := range found {
		if m.by == "name" && row.Annex != "II" && row.Annex != "own" && !row.Prohibited() {
			if e := formula.EntryOf(row); entry == "" || e < entry {
				entry = e
			}
		}
	}
	return entry
}

// rank orders the ways of matching, the surest first.
func rank(by string) int {
	return slices.Index([]string{"name", "plant", "cas", "ec", table.ByLinkedName}, by)
}

// decidePreparation settles which entries a plant material belongs to.
func decidePreparation(found []rowMatch) []rowMatch {
	named := map[string]bool{} // CAS numbers of the entries that know the name
	for _, f := range found {
		if rank(f.by) < 2 {
			for _, c := range f.Row.CAS {
				named[c] = true
			}
		}
	}
	var out []rowMatch
	entries := map[string]bool{}
	for _, f := range found {
		if rank(f.by) == 2 && slices.ContainsFunc(f.Row.CAS, func(c string) bool { return named[c] }) {
			continue // the name has decided between the entries of this number
		}
		out = append(out, f)
		if rank(f.by) >= 2 && f.Row.Annex != "IV" {
			entries[formula.EntryOf(f.Row)] = true
		}
	}
	if len(entries) < 2 {
		return out
	}
	for i, f := range out {
		if rank(f.by) >= 2 && entries[formula.EntryOf(f.Row)] && f.doubt == "" && !sameNames(out, f) {
			out[i].doubt = severalEntries
		}
	}
	return out
}

// sameNames says whether the other entries found by number name the same things:
// entries of two markets that stand for one rule leave no doubt.
func sameNames(found []rowMatch, f rowMatch) bool {
	for _, o := range found {
		if rank(o.by) >= 2 && !slices.Equal(o.Row.Names, f.Row.Names) {
			return false
		}
	}
	return true
}

// sumRows returns the rows whose substances are added to those of l.
func (m *matcher) sumRows(l *annex.Limit, market rows.Market, day exact.Date) []*annex.Limit {
	key := sumKey{l, market, day}
	if rows, ok := m.sums.Load(key); ok {
		return rows.([]*annex.Limit)
	}
	rows := m.tables.SumRows(l, market, day)
	m.sums.Store(key, rows)
	return rows
}

// element is a class entry that names a chemical element and its compounds.
type element struct {
	word string // as it stands in ingredient names, lower case
	row  *annex.Limit
}

// NameWords splits a name into lower-case words.
func NameWords(name string) []string {
	return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return r == ' ' || r == '-' ||
			r == '/'
	})
}
