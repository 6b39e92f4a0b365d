package calc

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"gallipot/calc/law"
	"gallipot/ingredients"
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
	Row           *law.Allergen
	LabelName     string
	CAS           string            // of the members found
	Whole         ingredients.Range // % of the whole product
	Worst         ingredients.Range // % of the mixture with the highest content
	WorstIn       string            // that portion; "" for the whole
	ThresholdPct  ingredients.Num   // declared when above it
	Verdict       Verdict
	Contributions []Contribution // of the worst mixture
	Uncovered     []string       // materials whose papers do not cover this name
}

// OnLabel says whether the name goes onto the label: certain or possible excess.
func (a AllergenTotal) OnLabel() bool { return a.Verdict == Declare || a.Verdict == Open }

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
func Allergens(in *Input, comps []*Composition, materials map[string]*Material) ([]AllergenTotal, []ingredients.Finding) {
	index := allergenIndexOf(in)
	rows := index.rows
	gaps, findings := declarationGaps(in, comps, materials, index)
	var totals []AllergenTotal
	ambiguous := map[string]bool{}
	members := make([]map[*law.Allergen][]*Substance, len(comps))
	for i, c := range comps {
		members[i] = index.membersIn(c, ambiguous)
	}
	for _, row := range rows {
		t := AllergenTotal{Row: row, LabelName: row.LabelName, ThresholdPct: row.Threshold(in.Type.RinseOff)}
		for i, c := range comps {
			sum, contributions, cas := totalOf(members[i][row])
			if i == 0 {
				t.Whole, t.Worst = sum, sum
				t.Contributions, t.CAS = contributions, cas
			} else if t.Worst.Max.Less(sum.Max) {
				t.Worst, t.WorstIn, t.Contributions = sum, c.Mixture.Name, contributions
			}
		}
		unknown := gaps.unknown(row, t.ThresholdPct, &t)
		t.Verdict = verdictOf(t, unknown)
		if t.Worst.IsZero() && len(t.Uncovered) == 0 {
			continue
		}
		totals = append(totals, t)
		if t.Verdict == Open {
			findings = append(findings, openAllergen(in, t))
		}
	}
	findings = append(findings, entryFindings(in, comps[0], index, ambiguous)...)
	return totals, findings
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
	*Session
	rows      []*law.Allergen
	byName    map[string][]*law.Allergen
	byCAS     map[string][]*law.Allergen
	bySpecies map[string][]*law.Allergen // genus and species of botanical entries
	plants    map[string]*names.Plant    // label and member names of botanical entries
}

// allergenIndexKey is what an index rests on.
type allergenIndexKey struct {
	market law.Market
	day    ingredients.Date
}

// allergenMemory keeps the index of a list of allergens: allergenIndexKey → *allergenIndex.
type allergenMemory struct{ sync.Map }

// allergenIndexOf returns the index of an assessment. Tables are never changed,
// so one is built for each market and day.
func allergenIndexOf(in *Input) *allergenIndex {
	key := allergenIndexKey{in.Market, in.Date}
	known := memoryOf[allergenMemory](in.Session)
	if ix, ok := known.Load(key); ok {
		return ix.(*allergenIndex)
	}
	ix, _ := known.LoadOrStore(key, indexAllergens(in.Session, in.Law.Allergens(in.Market, in.Date)))
	return ix.(*allergenIndex)
}

func indexAllergens(s *Session, rows []*law.Allergen) *allergenIndex {
	ix := &allergenIndex{Session: s, rows: rows, byName: map[string][]*law.Allergen{}, byCAS: map[string][]*law.Allergen{},
		bySpecies: map[string][]*law.Allergen{}, plants: map[string]*names.Plant{}}
	add := func(m map[string][]*law.Allergen, key string, row *law.Allergen) {
		if key != "" && !slices.Contains(m[key], row) {
			m[key] = append(m[key], row)
		}
	}
	for _, row := range rows {
		add(ix.byName, ingredients.NameKey(row.LabelName), row)
		for _, member := range row.Members {
			add(ix.byName, ingredients.NameKey(member.Name), row)
			add(ix.byName, ingredients.NameKey(s.Dict.Canonical(member.Name)), row)
			add(ix.byCAS, member.CAS, row)
		}
		if !row.Botanical {
			continue
		}
		for _, name := range append([]string{row.LabelName}, memberNames(row)...) {
			if p := plant(s.Dict, name); p != nil {
				ix.plants[name] = p
				add(ix.bySpecies, p.Latin(), row)
			}
		}
	}
	return ix
}

func memberNames(row *law.Allergen) []string {
	var list []string
	for _, m := range row.Members {
		list = append(list, m.Name)
	}
	return list
}

// rowsOf prefers the names; where none has a row, plant, part and preparation
// decide, and last a CAS number. A number never moves a plant material to another
// part: rows whose members are of another part or preparation are left out.
func (ix *allergenIndex) rowsOf(s *Substance) []*law.Allergen {
	var rows []*law.Allergen
	for _, n := range s.allNames() {
		for _, row := range ix.byName[ingredients.NameKey(n)] {
			if !slices.Contains(rows, row) {
				rows = append(rows, row)
			}
		}
	}
	if len(rows) > 0 {
		return rows
	}
	for _, n := range s.Maybe {
		for _, row := range ix.byName[ingredients.NameKey(n)] {
			if !slices.Contains(rows, row) {
				rows = append(rows, row)
			}
		}
	}
	material := ix.plantOf(s)
	if material != nil && material.Latin() != "" {
		for _, row := range ix.bySpecies[material.Latin()] {
			if !slices.Contains(rows, row) && ix.fits(material, s.CAS, row) != names.Unfits {
				rows = append(rows, row)
			}
		}
	}
	for _, row := range ix.byCAS[s.CAS] {
		if !slices.Contains(rows, row) && (!row.Botanical || ix.fits(material, s.CAS, row) != names.Unfits) {
			rows = append(rows, row)
		}
	}
	return rows
}

// plantOf reads plant, part and preparation from the names of a substance.
func (ix *allergenIndex) plantOf(s *Substance) *names.Plant {
	for _, n := range s.allNames() {
		if p := plant(ix.Dict, n); p != nil {
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
func (ix *allergenIndex) fits(material *names.Plant, cas string, row *law.Allergen) names.Fit {
	best := names.Unfits
	if p := ix.plants[row.LabelName]; p != nil && p.Latin() != "" && p.Latin() == material.Latin() {
		best = names.FitsEntry(material, p)
	}
	for _, m := range row.Members {
		p := ix.plants[m.Name]
		sameNumber := cas != "" && m.CAS == cas
		sameLatin := material != nil && p.Latin() != "" && p.Latin() == material.Latin()
		switch {
		case p == nil && sameNumber:
			best = min(best, names.Open)
		case p != nil && sameLatin:
			best = min(best, names.FitsEntry(material, p))
		case p != nil && sameNumber:
			best = min(best, max(names.Open, names.FitsEntry(material, p)))
		}
	}
	return best
}

// openPlant says whether a substance counts for a row only because its name leaves
// the part or the preparation open, or because it may be another substance.
func (ix *allergenIndex) openPlant(s *Substance, row *law.Allergen) bool {
	for _, n := range s.allNames() {
		if slices.Contains(ix.byName[ingredients.NameKey(n)], row) {
			return false
		}
	}
	return row.Botanical && ix.fits(ix.plantOf(s), s.CAS, row) == names.Open || slices.ContainsFunc(s.Maybe, func(n string) bool {
		return slices.Contains(ix.byName[ingredients.NameKey(n)], row)
	})
}

// membersIn returns the substances of a mixture that count for each row, in the
// order of the mixture, and notes those that more than one row claims.
func (ix *allergenIndex) membersIn(c *Composition, ambiguous map[string]bool) map[*law.Allergen][]*Substance {
	members := map[*law.Allergen][]*Substance{}
	for _, s := range c.Substances {
		rows := ix.rowsOf(s)
		if len(rows) > 1 || len(rows) == 1 && ix.openPlant(s, rows[0]) {
			ambiguous[s.Key()] = true
		}
		for _, row := range rows {
			members[row] = append(members[row], s)
		}
	}
	return members
}

// totalOf adds up the members of a row.
func totalOf(members []*Substance) (ingredients.Range, []Contribution, string) {
	var sum ingredients.Range
	var contributions []Contribution
	var cas []string
	for _, s := range members {
		sum = sum.Add(s.Total)
		contributions = append(contributions, s.Contributions...)
		if s.CAS != "" && !slices.Contains(cas, s.CAS) {
			cas = append(cas, s.CAS)
		}
	}
	return sum, contributions, strings.Join(cas, ", ")
}

// gap is a material that does not say what a row asks for.
type gap struct {
	ingredient string
	most       ingredients.Num // highest share of it in any mixture, %
	list       string          // what it was declared against; "" for nothing
}

type declGaps []gap

// unknown names the materials that leave a row open, and says whether together
// with what is known they could lift it above the threshold: each could, at
// worst, be that substance as a whole.
func (gs declGaps) unknown(row *law.Allergen, threshold ingredients.Num, t *AllergenTotal) bool {
	could := t.Worst.Max
	for _, g := range gs {
		if !covers(row, g.list) {
			t.Uncovered = append(t.Uncovered, g.ingredient)
			could = could.Add(g.most)
		}
	}
	if !threshold.Less(could) {
		t.Uncovered = nil
	}
	return len(t.Uncovered) > 0
}

// declarationGaps finds scents, oils and extracts that have no declaration, or
// one against a shorter list than the market's.
func declarationGaps(in *Input, comps []*Composition, materials map[string]*Material, index *allergenIndex) (declGaps, []ingredients.Finding) {
	var gaps declGaps
	var findings []ingredients.Finding
	rows := index.rows
	for _, u := range useOf(comps[0].Mixture) {
		m := materials[u.ingredient]
		if m == nil || !mayHoldAllergens(m, index) {
			continue
		}
		g := gap{ingredient: u.ingredient, most: mostOf(u.ingredient, comps)}
		if d := m.Sheet.Allergens; d != nil && !in.Date.Before(d.Dated) {
			g.list = d.List
		}
		missing := 0
		for _, row := range rows {
			if !covers(row, g.list) && row.Threshold(in.Type.RinseOff).Less(g.most) {
				missing++
			}
		}
		if missing == 0 {
			continue
		}
		gaps = append(gaps, g)
		findings = append(findings, gapFinding(in, m, g, missing, len(rows)))
	}
	return gaps, findings
}

func gapFinding(in *Input, m *Material, g gap, missing, all int) ingredients.Finding {
	s := m.Sheet
	ask := func(code string, pos ingredients.Pos, v ingredients.Values) ingredients.Finding {
		return in.onMaterial(ingredients.NewFinding(ingredients.Ask, code, pos, v.Day("day", in.Date).Name("code", s.Supplier.Code)), s.ID).
			By(s.Asked())
	}
	switch {
	case g.list == "" && s.Allergens != nil:
		return ask("no-declaration", s.Allergens.Pos, with().Day("dated", s.Allergens.Dated)).As("later").
			At(s.Allergens.Pos.File, "allergens.dated", nil)
	case g.list == "":
		return ask("no-declaration", s.Pos, with()).At(s.Pos.File, "allergens", nil)
	}
	return ask("short-declaration", s.Allergens.Pos, with().Name("list", g.list).Count("missing", missing).Count("all", all).Name("market", string(in.Market))).
		At(s.Allergens.Pos.File, "allergens", nil)
}

// mayHoldAllergens says whether a declaration is expected: for scents, for what
// is used as fragrance, and for oils and extracts that are entries themselves.
func mayHoldAllergens(m *Material, index *allergenIndex) bool {
	if m.Sheet.IsScent() || m.Sheet.Allergens != nil || index.scents(m.Sheet) {
		return true
	}
	for _, p := range m.Parts {
		for _, row := range index.rowsOf(&Substance{INCI: p.INCI, CAS: p.CAS}) {
			if row.Botanical {
				return true
			}
		}
	}
	return false
}

// scents says whether a sheet names a function of scenting.
func (s *Session) scents(sheet *ingredients.Sheet) bool {
	return slices.ContainsFunc(sheet.Functions, s.Law.Words(law.WordsScenting).In)
}

// mostOf is the highest share of a material in the whole or any portion.
func mostOf(ingredient string, comps []*Composition) ingredients.Num {
	var most ingredients.Num
	for _, c := range comps {
		for _, u := range useOf(c.Mixture) {
			if u.ingredient == ingredient {
				most = most.Max(u.pct)
			}
		}
	}
	return most
}

func openAllergen(in *Input, t AllergenTotal) ingredients.Finding {
	most := t.Worst.Max
	f := ingredients.NewFinding(ingredients.Ask, "allergen-open", t.Contributions[0].SourcePos,
		portion(with().Range("content", t.Worst, "%", ingredients.FourDigits), t.WorstIn).Num("threshold", t.ThresholdPct, "%", ingredients.AsIs).
			Source("law", rowSource("Annex III entry "+t.Row.Entry, "allergens.csv", t.Row.Key, t.Row.FromMemory()))).
		On(t.LabelName).By(widestParty(t.Contributions, in))
	f.Sum, f.Grade = in.termsOf(t.Contributions), &most
	return f
}

func placeName(portion string) string {
	if portion == "" {
		return "the product"
	}
	return "portion " + portion
}

// String words the arithmetic of a contribution, rounded to four figures.
func (c Contribution) String() string {
	return fmt.Sprintf("%s %% of %s × %s in it = %s %%", c.UsePct.Sig(4), c.Ingredient, givenText(c), rangeText(c.Pct))
}

// givenText is the content as typed, with its unit where none was typed, and
// what it comes to where it is the rest to 100.
func givenText(c Contribution) string {
	if givenAsRest(c) {
		return strings.TrimSpace(c.Given) + " (" + rangeText(c.InMaterial) + " %)"
	}
	return givenOnly(c)
}

func rangeText(r ingredients.Range) string {
	if r.IsExact() {
		return r.Max.Sig(4)
	}
	return r.Min.Sig(4) + " to " + r.Max.Sig(4)
}

// entryFindings reports substances that two entries claim, and declared names
// that none does.
func entryFindings(in *Input, whole *Composition, index *allergenIndex, ambiguous map[string]bool) []ingredients.Finding {
	var findings []ingredients.Finding
	for _, s := range whole.Substances {
		if ambiguous[s.Key()] {
			findings = append(findings, ingredients.NewFinding(ingredients.Ask, "allergen-entry", s.Contributions[0].SourcePos,
				with().Name("cas", s.CAS).Names("entries", labelNames(index.rowsOf(s)))).On(s.INCI).By(in.supplierOf(s.Contributions[0].Ingredient)))
		}
		declared := slices.IndexFunc(s.Contributions, func(c Contribution) bool { return c.Route == ByDeclaration })
		if declared < 0 || len(index.rowsOf(s)) > 0 || in.Law.AllergenKnown(s.INCI, s.CAS) {
			continue
		}
		near := ""
		if list := in.Dict.Names().Nearest(s.INCI, 1); len(list) > 0 {
			near = list[0].Name
		}
		k := s.Contributions[declared]
		findings = append(findings, ingredients.NewFinding(ingredients.Ask, "unlisted-allergen", k.SourcePos, with().Name("near", near)).On(s.INCI).
			By(ingredients.TheMaker).At(k.SourcePos.File, "allergens.declared.name", with().Name("name", near)))
	}
	return findings
}

// widestParty is the supplier whose range is widest in the product.
func widestParty(contributions []Contribution, in *Input) ingredients.Party {
	var widest ingredients.Num
	who := ingredients.TheSupplier
	for _, c := range contributions {
		if w := c.Pct.Max.Sub(c.Pct.Min); widest.Less(w) {
			widest, who = w, in.supplierOf(c.Ingredient)
		}
	}
	return who
}

// termsOf is the arithmetic of contributions, a summand each.
func (in *Input) termsOf(contributions []Contribution) []ingredients.Term {
	terms := make([]ingredients.Term, len(contributions))
	for i, c := range contributions {
		v := with().Num("use", c.UsePct, "%", ingredients.FourDigits).Is("material", in.material(c.Ingredient)).Quote("content", givenOnly(c))
		if givenAsRest(c) {
			v = v.Range("rest", c.InMaterial, "%", ingredients.FourDigits)
		}
		terms[i] = ingredients.Term{Pos: c.LinePos, Key: "contribution", Values: v.Range("result", c.Pct, "%", ingredients.FourDigits)}
	}
	return terms
}

// givenAsRest says whether a content is given as the rest to 100.
func givenAsRest(c Contribution) bool {
	return strings.HasPrefix(strings.ToLower(strings.TrimSpace(c.Given)), "q")
}

// givenOnly is the content as typed, with its unit where none was typed.
func givenOnly(c Contribution) string {
	given := strings.TrimSpace(c.Given)
	if given != "" && given[len(given)-1] >= '0' && given[len(given)-1] <= '9' {
		return given + " %"
	}
	return given
}

func labelNames(rows []*law.Allergen) []string {
	var list []string
	for _, r := range rows {
		list = append(list, r.LabelName)
	}
	return list
}
