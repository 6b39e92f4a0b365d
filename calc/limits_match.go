package calc

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"gallipot/calc/law"
	"gallipot/ingredients"
	"gallipot/ingredients/names"
)

// rowMatch is a limit row that names a substance.
type rowMatch struct {
	row *law.Limit
	by  string // name, plant, cas or ec
	// doubt says why the match itself is open; "" where it is not.
	doubt string
	// standsFor is what the CAS number stands for where it contradicts the name.
	standsFor []string
}

// matcher finds the limit rows of substances. It remembers what it found, since
// the variants of a workshop share most of their substances.
type matcher struct {
	session   *Session
	tables    *law.Tables
	species   map[string][]*law.Limit // genus and species of entries that name a part or preparation
	ofPlant   map[string]*names.Plant // what an entry's name says of a plant
	plants    map[string][]*law.Limit // genus and species, or genus alone, of the entries "and its preparations"
	order     map[*law.Limit]int      // place in the table
	basis     map[string]ingredients.Num
	sums      sync.Map // sumKey → []*law.Limit
	found     sync.Map // matchKey → *nameFacts
	elems     []element
	standards map[string]standardRows // by name of the Standard
	counted   map[string][]string     // Standards that count the substances of an entry, by entry
	carries   map[string]bool         // names known for another function than preserving, colouring or filtering UV
}

// inForce says whether a row binds a newly placed product on a day.
func (run *limitRun) inForce(row *law.Limit, day ingredients.Date) bool {
	return row.In(run.in.Market, day)
}

// standardRows are the rows of one Standard.
type standardRows struct {
	rows  []*law.FragranceStandard
	place int // of the first in the table
}

// matchKey is what a match rests on.
type matchKey struct {
	inci, cas, ec string
	also, maybe   string
	nano          bool
}

// sumKey names a sum on one day.
type sumKey struct {
	row    *law.Limit
	market law.Market
	day    ingredients.Date
}

// matcherMemory keeps the matcher of a session, made on first use.
type matcherMemory struct {
	once    sync.Once
	matcher *matcher
}

// matcherOf returns the matcher of the session.
func matcherOf(s *Session) *matcher {
	m := memoryOf[matcherMemory](s)
	m.once.Do(func() { m.matcher = newMatcher(s) })
	return m.matcher
}

func newMatcher(s *Session) *matcher {
	tables := s.Law
	m := &matcher{session: s, tables: tables, species: map[string][]*law.Limit{}, ofPlant: map[string]*names.Plant{},
		plants: map[string][]*law.Limit{}, order: map[*law.Limit]int{}, basis: map[string]ingredients.Num{}, carries: map[string]bool{},
		standards: map[string]standardRows{}, counted: map[string][]string{}}
	for i, l := range tables.EveryLimit() {
		m.order[l] = i
		for _, n := range l.Names {
			m.addEntryPlant(n, l)
		}
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
	for i, row := range tables.Standards() {
		s, known := m.standards[row.Substance]
		if !known {
			s.place = i
		}
		s.rows = append(s.rows, row)
		m.standards[row.Substance] = s
		for _, e := range row.Entries {
			if !slices.Contains(m.counted[e], row.Substance) {
				m.counted[e] = append(m.counted[e], row.Substance)
			}
		}
	}
	for _, mat := range tables.Materials() {
		m.addCarrier(mat)
	}
	return m
}

// addCarrier notes what a common raw material is sold for where it is a single
// substance that neither preserves nor colours nor filters UV.
func (m *matcher) addCarrier(mat *law.Material) {
	if len(mat.Constituents) == 0 {
		return
	}
	for _, f := range mat.Functions {
		switch fn, ok := m.session.functionOf(f); {
		case !ok, fn == fnPreservative, fn == fnColorant, fn == fnUVFilter:
			return
		}
	}
	for _, c := range mat.Constituents {
		if !c.Inside {
			m.carries[ingredients.NameKey(m.tables.Dictionary().Canonical(c.INCI))] = true
		}
	}
}

// basisKey names a substance in what a limit is expressed as: rows with the same
// basis share their factors.
func basisKey(b law.Basis, name string) string {
	return strings.Join(b.As, ";") + "|" + ingredients.NameKey(name)
}

var inBrackets = regexp.MustCompile(`\s*\([^)]*\)`)

// nameFacts is what the tables say of a substance by its name and numbers.
type nameFacts struct {
	matches  []rowMatch
	elements []element // those whose word stands in its name
}

// known returns what the tables say of a substance.
func (m *matcher) known(s *Substance) *nameFacts {
	key := matchKey{s.INCI, s.CAS, s.EC, strings.Join(s.Also, ";"), strings.Join(s.Maybe, ";"), s.Nano}
	if found, ok := m.found.Load(key); ok {
		return found.(*nameFacts)
	}
	f := &nameFacts{matches: m.search(s)}
	words := nameWords(s.INCI)
	for _, e := range m.elems {
		if slices.Contains(words, e.word) {
			f.elements = append(f.elements, e)
		}
	}
	m.found.Store(key, f)
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
func (m *matcher) search(s *Substance) []rowMatch {
	by := map[*law.Limit]*rowMatch{}
	add := func(row *law.Limit, how, doubt string, standsFor ...string) {
		old := by[row]
		if old == nil || rank(how) < rank(old.by) || how == old.by && old.doubt != "" && doubt == "" {
			by[row] = &rowMatch{row, how, doubt, standsFor}
		}
	}
	printed := s.allNames()
	if plain := inBrackets.ReplaceAllString(s.INCI, ""); plain != s.INCI && plain != "" {
		printed = append(printed, plain)
	}
	if s.Nano {
		printed = append(printed, s.INCI+" (nano)")
	}
	for _, n := range printed {
		for _, f := range m.tables.LimitsOf(n, nil, nil) { // with the numbers the dictionary ties to the name
			switch {
			case f.By == law.ByLinkedName:
				add(f.Limit, f.By, "an official list ties it to this class entry; what it is made of decides")
			case f.Limit.SharedNumber && rank(f.By) > 1:
				add(f.Limit, f.By, sharedNumber)
			default:
				add(f.Limit, f.By, "")
			}
		}
	}
	permitted := permittedByName(by)
	for _, n := range s.Maybe {
		for _, f := range m.tables.LimitsOf(n, nil, nil) {
			add(f.Limit, f.By, "its name leaves open whether it is "+n)
		}
	}
	doubt := ""
	var standsFor []string
	if ok, others := m.tables.CASFits(s.INCI, s.CAS); s.CAS != "" && !ok && len(others) > 0 {
		doubt = "CAS " + s.CAS + " stands for " + strings.Join(others, " or ") + ", not for " + s.INCI
		standsFor = others
	}
	for _, f := range m.tables.LimitsOf("", list(s.CAS), list(s.EC)) {
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
	out := make([]rowMatch, 0, len(by))
	for _, f := range by {
		if m.otherPart(s, f) {
			continue
		}
		out = append(out, *f)
	}
	slices.SortFunc(out, func(a, b rowMatch) int { return m.order[a.row] - m.order[b.row] })
	if isBotanical(m.tables, s.INCI) {
		out = decidePreparation(out)
	}
	return out
}

// sharedNumber is the doubt of a number that a prohibition shares with others.
const sharedNumber = "its number stands for other parts, preparations or forms too"

// permittedByName names an entry of the annexes that permit by which a substance
// is known, "" for none: a number that leads to a prohibition besides is then not
// enough to say that it is prohibited.
func permittedByName(found map[*law.Limit]*rowMatch) string {
	entry := ""
	for row, m := range found {
		if m.by == "name" && row.Annex != "II" && row.Annex != "own" && !row.Prohibited() {
			if e := entryOf(row); entry == "" || e < entry {
				entry = e
			}
		}
	}
	return entry
}

func list(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}

// rank orders the ways of matching, the surest first.
func rank(by string) int {
	return slices.Index([]string{"name", "plant", "cas", "ec", law.ByLinkedName}, by)
}

// decidePreparation settles which entries a plant material belongs to.
func decidePreparation(found []rowMatch) []rowMatch {
	named := map[string]bool{} // CAS numbers of the entries that know the name
	for _, f := range found {
		if rank(f.by) < 2 {
			for _, c := range f.row.CAS {
				named[c] = true
			}
		}
	}
	var out []rowMatch
	entries := map[string]bool{}
	for _, f := range found {
		if rank(f.by) == 2 && slices.ContainsFunc(f.row.CAS, func(c string) bool { return named[c] }) {
			continue // the name has decided between the entries of this number
		}
		out = append(out, f)
		if rank(f.by) >= 2 && f.row.Annex != "IV" {
			entries[entryOf(f.row)] = true
		}
	}
	if len(entries) < 2 {
		return out
	}
	for i, f := range out {
		if rank(f.by) >= 2 && entries[entryOf(f.row)] && f.doubt == "" && !sameNames(out, f) {
			out[i].doubt = "its number fits more than one entry; the plant part and the preparation decide"
		}
	}
	return out
}

// sameNames says whether the other entries found by number name the same things:
// entries of two markets that stand for one rule leave no doubt.
func sameNames(found []rowMatch, f rowMatch) bool {
	for _, o := range found {
		if rank(o.by) >= 2 && !slices.Equal(o.row.Names, f.row.Names) {
			return false
		}
	}
	return true
}

// entryOf names the entry of a row, such as III/98.
func entryOf(l *law.Limit) string {
	if l.Annex == "own" {
		return "own " + l.Entry
	}
	return l.Annex + "/" + l.Entry
}

// sumRows returns the rows whose substances are added to those of l.
func (m *matcher) sumRows(l *law.Limit, market law.Market, day ingredients.Date) []*law.Limit {
	key := sumKey{l, market, day}
	if rows, ok := m.sums.Load(key); ok {
		return rows.([]*law.Limit)
	}
	rows := m.tables.SumRows(l, market, day)
	m.sums.Store(key, rows)
	return rows
}

// element is a class entry that names a chemical element and its compounds.
type element struct {
	word string // as it stands in ingredient names, lower case
	row  *law.Limit
}
