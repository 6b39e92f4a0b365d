package listing

import (
	"slices"
	"strings"
	"sync"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/names"
)

// Verdict says how a total stands against its threshold.
type Verdict string

// The verdicts on a declarable allergen.
const (
	Declare  Verdict = "declare"  // above the threshold whatever the ranges
	Open     Verdict = "open"     // above or below, by where in its range; declared, as the cautious choice
	Below    Verdict = "below"    // not above the threshold whatever the ranges
	Unstated Verdict = "unstated" // a supplier has not said, and what is known is not above
)

// AllergenTotal is one label name of a market's list and its total in the
// product.
type AllergenTotal struct {
	Row           *annex.Allergen
	LabelName     string
	CAS           string      // of the members found
	Whole         exact.Range // % of the whole product
	Worst         exact.Range // % of the mixture with the highest content
	WorstIn       string      // that portion; "" for the whole
	ThresholdPct  exact.Num   // declared when above it
	Verdict       Verdict
	Contributions []formula.Contribution // of the worst mixture
	Uncovered     []string               // materials whose papers do not cover this name
}

// OnLabel says whether the name goes onto the label: certain or possible excess.
func (a *AllergenTotal) OnLabel() bool { return a.Verdict == Declare || a.Verdict == Open }

// Allergens totals each label name of the market's list that holds on the day.
//
//	total(name) = Σ over members, raw materials and routes of use × content / 100
//
// It is compared on the whole product and on each portion; the highest governs.
//
// Units: % w/w of the finished product; declared when the total exceeds the
// threshold, exactly at it is not above.
// Findings: ask "allergen-open" when the range straddles the threshold; ask
// "no-declaration" and "short-declaration" when a supplier has not stated what
// the market's list asks for; ask "allergen-entry" when a CAS number fits two
// entries; note "unlisted-allergen" when a declared name is on no list.
// Source: Regulation (EC) 1223/2009 Annex III, fragrance allergen entries;
// members and thresholds in allergens.csv.
func Allergens(in *formula.Input, comps []*formula.Composition,
	materials map[string]*formula.Material) ([]AllergenTotal, []finding.Finding) {
	s := sumOf(in, comps, materials)
	totals := s.totals()
	findings := make([]finding.Finding, 0, len(s.gaps))
	for i := range s.gaps {
		findings = append(findings, gapFinding(in, &s.gaps[i], len(s.index.rows)))
	}
	for _, t := range totals {
		if t.Verdict == Open {
			findings = append(findings, openAllergen(in, t))
		}
	}
	return totals, entryFindings(findings, in, comps[0], s.claims, s.ambiguous)
}

// Totals is [Allergens] without its findings, for another day or for what is counted again.
func Totals(in *formula.Input, comps []*formula.Composition, materials map[string]*formula.Material) []AllergenTotal {
	return sumOf(in, comps, materials).totals()
}

// summing is what the totals of a product are added up from.
type summing struct {
	in        *formula.Input
	comps     []*formula.Composition
	index     *allergenIndex
	gaps      declGaps
	claims    []*claim   // of the substances of the whole
	members   [][]member // of each mixture
	ambiguous map[string]bool
}

func sumOf(in *formula.Input, comps []*formula.Composition, materials map[string]*formula.Material) *summing {
	s := &summing{in: in, comps: comps, index: allergenIndexOf(in), ambiguous: map[string]bool{},
		members: make([][]member, len(comps))}
	s.gaps = declarationGaps(in, comps, materials, s.index)
	s.claims = s.index.claimsIn(comps[0])
	s.members[0] = membersOf(comps[0], s.claims, s.ambiguous)
	for i, c := range comps[1:] {
		s.members[1+i] = membersOf(c, s.index.claimsIn(c), s.ambiguous)
	}
	return s
}

// totals adds up; the members are used up by it.
func (s *summing) totals() []AllergenTotal {
	const most = 64
	var room [most]AllergenTotal // they are counted before they are kept
	totals := room[:0]
	for place, row := range s.index.rows {
		t := AllergenTotal{Row: row, LabelName: row.LabelName, ThresholdPct: row.Threshold(s.in.Type.RinseOff)}
		for i, c := range s.comps {
			var of []member
			of, s.members[i] = cutAt(s.members[i], place)
			sum, contributions, cas := totalOf(of)
			if i == 0 {
				t.Whole, t.Worst = sum, sum
				t.Contributions, t.CAS = contributions, cas
			} else if t.Worst.Max.Less(sum.Max) {
				t.Worst, t.WorstIn, t.Contributions = sum, c.Mixture.Name, contributions
			}
		}
		unknown := s.gaps.Unknown(row, t.ThresholdPct, &t, totals)
		t.Verdict = verdictOf(t, unknown)
		if t.Worst.IsZero() && len(t.Uncovered) == 0 {
			continue
		}
		totals = append(totals, t)
	}
	return append([]AllergenTotal(nil), totals...)
}

func verdictOf(t AllergenTotal, unknown bool) Verdict {
	switch {
	case t.ThresholdPct.Less(t.Worst.Min):
		return Declare
	case t.ThresholdPct.Less(t.Worst.Max):
		return Open
	case unknown:
		return Unstated
	}
	return Below
}

// allergenIndex finds the entries a substance belongs to, among the rows of one
// market on one day.
type allergenIndex struct {
	*formula.Session
	rows      []*annex.Allergen
	ByName    map[string][]*annex.Allergen
	byCAS     map[string][]*annex.Allergen
	bySpecies map[string][]*annex.Allergen // genus and species of botanical entries
	plants    map[string]*names.Plant      // label and member names of botanical entries

	claimed formula.Memo[formula.Identity, *claim]
}

// claim is what entries say of a substance. Nothing of it is changed.
type claim struct {
	rows   []*annex.Allergen
	places []int // of the rows in the index
	open   bool  // one row claims it, and its name leaves open whether rightly
}

// claimOf is rowsOf, found once for each substance.
func (ix *allergenIndex) claimOf(s *formula.Substance) *claim {
	return ix.claimed.Of(s.Identity(), func() *claim {
		c := &claim{rows: ix.rowsOf(s)}
		for _, row := range c.rows {
			c.places = append(c.places, slices.Index(ix.rows, row))
		}
		c.open = len(c.rows) == 1 && ix.openPlant(s, c.rows[0])
		return c
	})
}

// claimsIn is what entries say of the substances of a mixture, in their order.
func (ix *allergenIndex) claimsIn(c *formula.Composition) []*claim {
	claims := make([]*claim, len(c.Substances))
	for i, s := range c.Substances {
		claims[i] = ix.claimOf(s)
	}
	return claims
}

// allergenIndexKey is what an index rests on.
type allergenIndexKey struct {
	market rows.Market
	day    exact.Date
}

// allergenMemory keeps the index of a list of allergens: allergenIndexKey → *allergenIndex.
type allergenMemory struct{ sync.Map }

// allergenIndexOf returns the index of an assessment. Tables are never changed,
// so one is built for each market and day.
func allergenIndexOf(in *formula.Input) *allergenIndex {
	key := allergenIndexKey{in.Market, in.Date}
	known := formula.MemoryOf[allergenMemory](in.Session)
	if ix, ok := known.Load(key); ok {
		return ix.(*allergenIndex)
	}
	ix, _ := known.LoadOrStore(key, indexAllergens(in.Session, law.Allergens(in.Law, in.Market, in.Date)))
	return ix.(*allergenIndex)
}

func indexAllergens(s *formula.Session, rows []*annex.Allergen) *allergenIndex {
	ix := &allergenIndex{Session: s, rows: rows, ByName: map[string][]*annex.Allergen{},
		byCAS:     map[string][]*annex.Allergen{},
		bySpecies: map[string][]*annex.Allergen{}, plants: map[string]*names.Plant{}}
	add := func(m map[string][]*annex.Allergen, key string, row *annex.Allergen) {
		if key != "" && !slices.Contains(m[key], row) {
			m[key] = append(m[key], row)
		}
	}
	for _, row := range rows {
		add(ix.ByName, ingredients.NameKey(row.LabelName), row)
		for _, member := range row.Members {
			add(ix.ByName, ingredients.NameKey(member.Name), row)
			add(ix.ByName, ingredients.NameKey(s.Dict.CanonicalOf(member.Name)), row)
			add(ix.byCAS, member.CAS, row)
		}
		if !row.Botanical {
			continue
		}
		for _, name := range append([]string{row.LabelName}, memberNames(row)...) {
			if p := formula.Plant(s, name); p != nil {
				ix.plants[name] = p
				add(ix.bySpecies, p.Latin(), row)
			}
		}
	}
	return ix
}

func memberNames(row *annex.Allergen) []string {
	var list []string
	for _, m := range row.Members {
		list = append(list, m.Name)
	}
	return list
}

// rowsOf prefers the names; where none has a row, plant, part and preparation
// decide, and last a CAS number: that of the sheet, and those that the inventory
// gives its names (Dipentene is a limonene). A number never moves a plant material to another
// part: rows whose members are of another part or preparation are left out.
func (ix *allergenIndex) rowsOf(s *formula.Substance) []*annex.Allergen {
	var rows []*annex.Allergen
	for _, n := range s.AllNames() {
		for _, row := range ix.ByName[ingredients.NameKey(n)] {
			if !slices.Contains(rows, row) {
				rows = append(rows, row)
			}
		}
	}
	if len(rows) > 0 {
		return rows
	}
	for _, n := range s.Maybe {
		for _, row := range ix.ByName[ingredients.NameKey(n)] {
			if !slices.Contains(rows, row) {
				rows = append(rows, row)
			}
		}
	}
	material := ix.plantOf(s)
	for _, row := range ix.bySpecies[material.Latin()] {
		if !slices.Contains(rows, row) && ix.fits(material, s.CAS, row) != names.Unfits {
			rows = append(rows, row)
		}
	}
	for _, row := range ix.byCAS[s.CAS] {
		if !slices.Contains(rows, row) && (!row.Botanical || ix.fits(material, s.CAS, row) != names.Unfits) {
			rows = append(rows, row)
		}
	}
	for _, n := range s.AllNames() {
		for _, cas := range ix.Dict.Names().OfficialNumbers(n) {
			for _, row := range ix.byCAS[cas] {
				if !slices.Contains(rows, row) && !row.Botanical {
					rows = append(rows, row)
				}
			}
		}
	}
	return rows
}

// plantOf reads plant, part and preparation from the names of a substance.
func (ix *allergenIndex) plantOf(s *formula.Substance) *names.Plant {
	for _, n := range s.AllNames() {
		if p := formula.Plant(ix.Session, n); p != nil {
			return p
		}
	}
	return ix.bareSpecies(s.INCI)
}

// bareSpecies reads a name of two words that are a plant of the list, without part
// and preparation: Evernia Prunastri.
func (ix *allergenIndex) bareSpecies(name string) *names.Plant {
	of := strings.ToLower(strings.Join(strings.Fields(name), " "))
	if len(ix.bySpecies[of]) == 0 {
		return nil
	}
	return &names.Plant{Of: of}
}

// fits says how well a plant material fits a row: as well as the best of the
// members that have its plant or its number.
func (ix *allergenIndex) fits(material *names.Plant, cas string, row *annex.Allergen) names.Fit {
	best := names.Unfits
	if p := ix.plants[row.LabelName]; p.Latin() != "" && p.Latin() == material.Latin() {
		best = names.FitsEntry(material, p)
	}
	for _, m := range row.Members {
		p := ix.plants[m.Name]
		sameNumber := cas != "" && m.CAS == cas
		sameLatin := p.Latin() != "" && p.Latin() == material.Latin()
		switch {
		case p == nil && sameNumber:
			best = min(best, names.Open)
		case sameLatin:
			best = min(best, names.FitsEntry(material, p))
		case p != nil && sameNumber:
			best = min(best, max(names.Open, names.FitsEntry(material, p)))
		}
	}
	return best
}

// openPlant says whether a substance counts for a row only because its name leaves
// the part or the preparation open, or because it may be another substance.
func (ix *allergenIndex) openPlant(s *formula.Substance, row *annex.Allergen) bool {
	for _, n := range s.AllNames() {
		if slices.Contains(ix.ByName[ingredients.NameKey(n)], row) {
			return false
		}
	}
	return row.Botanical && ix.fits(ix.plantOf(s), s.CAS, row) == names.Open ||
		slices.ContainsFunc(s.Maybe, func(n string) bool {
			return slices.Contains(ix.ByName[ingredients.NameKey(n)], row)
		})
}

// member is a substance that counts for a row of the index.
type member struct {
	place int // of the row
	s     *formula.Substance
}

// membersOf returns the substances of a mixture that count for rows, by row and then in the
// order of the mixture, and notes those that more than one row claims.
func membersOf(c *formula.Composition, claims []*claim, ambiguous map[string]bool) []member {
	n := 0
	for i := range claims {
		n += len(claims[i].places)
	}
	members := make([]member, 0, n)
	for i, s := range c.Substances {
		claim := claims[i]
		if len(claim.rows) > 1 || claim.open {
			ambiguous[s.Key()] = true
		}
		for _, place := range claim.places {
			members = append(members, member{place, s})
		}
	}
	slices.SortStableFunc(members, func(a, b member) int { return a.place - b.place })
	return members
}

// cutAt parts the members of a row from those of later rows.
func cutAt(members []member, place int) (of, later []member) {
	n := 0
	for n < len(members) && members[n].place == place {
		n++
	}
	return members[:n], members[n:]
}

// totalOf adds up the members of a row.
func totalOf(members []member) (exact.Range, []formula.Contribution, string) {
	if len(members) == 1 {
		s := members[0].s
		return s.Total, slices.Clip(s.Contributions), s.CAS
	}
	var sum exact.Range
	var contributions []formula.Contribution
	var cas []string
	for _, m := range members {
		s := m.s
		sum = sum.Add(s.Total)
		contributions = append(contributions, s.Contributions...)
		if s.CAS != "" && !slices.Contains(cas, s.CAS) {
			cas = append(cas, s.CAS)
		}
	}
	return sum, contributions, strings.Join(cas, ", ")
}
