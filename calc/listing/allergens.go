package listing

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
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
	Row           *table.Allergen
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
func Allergens(in *formula.Input, comps []*formula.Composition, materials map[string]*formula.Material) ([]AllergenTotal, []finding.Finding) {
	index := allergenIndexOf(in)
	rows := index.rows
	gaps, findings := declarationGaps(in, comps, materials, index)
	var totals []AllergenTotal
	ambiguous := map[string]bool{}
	members := make([]map[*table.Allergen][]*formula.Substance, len(comps))
	for i, c := range comps {
		members[i] = index.membersIn(c, ambiguous)
	}
	for _, row := range rows {
		t := AllergenTotal{Row: row, LabelName: row.LabelName, ThresholdPct: row.Threshold(in.Type.RinseOff)}
		for i, c := range comps {
			sum, contributions, cas := TotalOf(members[i][row])
			if i == 0 {
				t.Whole, t.Worst = sum, sum
				t.Contributions, t.CAS = contributions, cas
			} else if t.Worst.Max.Less(sum.Max) {
				t.Worst, t.WorstIn, t.Contributions = sum, c.Mixture.Name, contributions
			}
		}
		unknown := gaps.Unknown(row, t.ThresholdPct, &t)
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
	rows   []*table.Allergen
	ByName map[string][]*table.Allergen
	byCAS  map[string][]*table.Allergen
}

// allergenIndexKey is what an index rests on.
type allergenIndexKey struct {
	tables *table.Tables
	dict   *ingredients.Dictionary
	market table.Market
	day    exact.Date
}

var allergenIndexes sync.Map // allergenIndexKey → *allergenIndex

// allergenIndexOf returns the index of an assessment. Tables are never changed,
// so one is built for each market and day.
func allergenIndexOf(in *formula.Input) *allergenIndex {
	key := allergenIndexKey{in.Law, in.Dict, in.Market, in.Date}
	if ix, ok := allergenIndexes.Load(key); ok {
		return ix.(*allergenIndex)
	}
	ix, _ := allergenIndexes.LoadOrStore(key, IndexAllergens(law.Allergens(in.Law, in.Market, in.Date), in.Dict))
	return ix.(*allergenIndex)
}

func IndexAllergens(rows []*table.Allergen, dict *ingredients.Dictionary) *allergenIndex {
	ix := &allergenIndex{rows: rows, ByName: map[string][]*table.Allergen{}, byCAS: map[string][]*table.Allergen{}}
	add := func(m map[string][]*table.Allergen, key string, row *table.Allergen) {
		if key != "" && !slices.Contains(m[key], row) {
			m[key] = append(m[key], row)
		}
	}
	for _, row := range rows {
		add(ix.ByName, ingredients.NameKey(row.LabelName), row)
		for _, member := range row.Members {
			add(ix.ByName, ingredients.NameKey(member.Name), row)
			add(ix.ByName, ingredients.NameKey(dict.Canonical(member.Name)), row)
			add(ix.byCAS, member.CAS, row)
		}
	}
	return ix
}

// rowsOf prefers the name; a CAS number decides only where no name does.
func (ix *allergenIndex) rowsOf(s *formula.Substance) []*table.Allergen {
	if rows := ix.ByName[s.NameKey()]; len(rows) > 0 {
		return rows
	}
	return ix.byCAS[s.CAS]
}

// membersIn returns the substances of a mixture that count for each row, in the
// order of the mixture, and notes those that more than one row claims.
func (ix *allergenIndex) membersIn(c *formula.Composition, ambiguous map[string]bool) map[*table.Allergen][]*formula.Substance {
	members := map[*table.Allergen][]*formula.Substance{}
	for _, s := range c.Substances {
		rows := ix.rowsOf(s)
		if len(rows) > 1 {
			ambiguous[s.Key()] = true
		}
		for _, row := range rows {
			members[row] = append(members[row], s)
		}
	}
	return members
}

// TotalOf adds up the members of a row.
func TotalOf(members []*formula.Substance) (exact.Range, []formula.Contribution, string) {
	var sum exact.Range
	var contributions []formula.Contribution
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
	Ingredient string
	Most       exact.Num // highest share of it in any mixture, %
	list       string    // what it was declared against; "" for nothing
}

type DeclGaps []gap

// Unknown names the materials that leave a row open, and says whether together
// with what is known they could lift it above the threshold: each could, at
// worst, be that substance as a whole.
func (gs DeclGaps) Unknown(row *table.Allergen, threshold exact.Num, t *AllergenTotal) bool {
	could := t.Worst.Max
	for _, g := range gs {
		if !formula.Covers(row, g.list) {
			t.Uncovered = append(t.Uncovered, g.Ingredient)
			could = could.Add(g.Most)
		}
	}
	if !threshold.Less(could) {
		t.Uncovered = nil
	}
	return len(t.Uncovered) > 0
}

// declarationGaps finds scents, oils and extracts that have no declaration, or
// one against a shorter list than the market's.
func declarationGaps(in *formula.Input, comps []*formula.Composition, materials map[string]*formula.Material, index *allergenIndex) (DeclGaps, []finding.Finding) {
	var gaps DeclGaps
	var findings []finding.Finding
	rows := index.rows
	for _, u := range formula.UseOf(comps[0].Mixture) {
		m := materials[u.Ingredient]
		if m == nil || !mayHoldAllergens(m, index) {
			continue
		}
		g := gap{Ingredient: u.Ingredient, Most: mostOf(u.Ingredient, comps)}
		if d := m.Sheet.Allergens; d != nil && !in.Date.Before(d.Dated) {
			g.list = d.List
		}
		missing := 0
		for _, row := range rows {
			if !formula.Covers(row, g.list) && row.Threshold(in.Type.RinseOff).Less(g.Most) {
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

func gapFinding(in *formula.Input, m *formula.Material, g gap, missing, all int) finding.Finding {
	s := m.Sheet
	why := fmt.Sprintf("each name of the market's list above its threshold is declared; Regulation (EC) 1223/2009 Annex III as it stands on %s", in.Date)
	if g.list == "" && s.Allergens != nil {
		return finding.Findingf(finding.Ask, "no-declaration", s.Allergens.Pos, "the allergen declaration of %s is dated %s, after %s: what it leaves out is unknown, not zero", s.ID, s.Allergens.Dated, in.Date).
			On(s.ID).AskOf(s.Supplier.Name).WithWhy("%s", why).
			WithFix("correct the date, or ask %s for the declaration there is", formula.SupplierName(s))
	}
	if g.list == "" {
		return finding.Findingf(finding.Ask, "no-declaration", s.Pos, "%s has no allergen declaration: its allergens are unknown, not zero", s.ID).
			On(s.ID).AskOf(s.Supplier.Name).WithWhy("%s", why).
			WithFix("ask %s for the allergen declaration of %s%s against the list of Regulation (EU) 2023/1545", formula.SupplierName(s), s.Name, formula.CodeText(s))
	}
	return finding.Findingf(finding.Ask, "short-declaration", s.Allergens.Pos, "%s is declared against list %s: %d of the %d names that the %s list asks for are not stated",
		s.ID, g.list, missing, all, in.Market).
		On(s.ID).AskOf(s.Supplier.Name).WithWhy("%s", why).
		WithFix("ask %s for a declaration of %s%s against the list of Regulation (EU) 2023/1545", formula.SupplierName(s), s.Name, formula.CodeText(s))
}

// mayHoldAllergens says whether a declaration is expected: for scents, for what
// is used as fragrance, and for oils and extracts that are entries themselves.
func mayHoldAllergens(m *formula.Material, index *allergenIndex) bool {
	if m.Sheet.IsScent() || m.Sheet.Allergens != nil || formula.UsedAsFragrance(m.Sheet) {
		return true
	}
	for _, p := range m.Parts {
		for _, row := range index.rowsOf(&formula.Substance{INCI: p.INCI, CAS: p.CAS}) {
			if row.Botanical {
				return true
			}
		}
	}
	return false
}

// mostOf is the highest share of a material in the whole or any portion.
func mostOf(ingredient string, comps []*formula.Composition) exact.Num {
	var most exact.Num
	for _, c := range comps {
		for _, u := range formula.UseOf(c.Mixture) {
			if u.Ingredient == ingredient {
				most = most.Max(u.Pct)
			}
		}
	}
	return most
}

func openAllergen(in *formula.Input, t AllergenTotal) finding.Finding {
	f := finding.Findingf(finding.Ask, "allergen-open", t.Contributions[0].SourcePos,
		"%s is %s to %s %% of %s, threshold %s %%: it is on the label as the cautious choice",
		t.LabelName, t.Worst.Min.Sig(4), t.Worst.Max.Sig(4), formula.PlaceName(t.WorstIn), t.ThresholdPct.Exact()).On(t.LabelName)
	f.Sum = formula.TermsOf(t.Contributions)
	f.Ask = formula.WidestSource(t.Contributions, in)
	return f.WithFix("ask %s for the exact content, or leave the name on the label", f.Ask).
		WithWhy("named when above the threshold; Annex III entry %s (allergens.csv, row %s)", t.Row.Entry, t.Row.Key)
}

// entryFindings reports substances that two entries claim, and declared names
// that none does.
func entryFindings(in *formula.Input, whole *formula.Composition, index *allergenIndex, ambiguous map[string]bool) []finding.Finding {
	var findings []finding.Finding
	for _, s := range whole.Substances {
		if ambiguous[s.Key()] {
			findings = append(findings, finding.Findingf(finding.Ask, "allergen-entry", s.Contributions[0].SourcePos,
				"CAS %s of %s fits more than one allergen entry: it is counted in each", s.CAS, s.INCI).On(s.INCI).
				WithFix("ask the supplier which plant part and preparation it is, and write the name the entry uses"))
		}
		declared := slices.IndexFunc(s.Contributions, func(c formula.Contribution) bool { return c.Route == formula.ByDeclaration })
		if declared < 0 || len(index.rowsOf(s)) > 0 || in.Law.AllergenKnown(s.INCI, s.CAS) {
			continue
		}
		sev := finding.Note
		if s.CAS == "" { // a label name may be misspelt, and then it is missing on the label
			sev = finding.Ask
		}
		f := finding.Findingf(sev, "unlisted-allergen", s.Contributions[declared].SourcePos,
			"%s is declared as an allergen, but no list in the tables has that name or CAS number: it is not named on the label", s.INCI).On(s.INCI).
			WithFix("check the name and the CAS number against the supplier's paper")
		if near := source.Nearest(s.INCI, in.Law.AllergenNames()); near != "" {
			f.Fix = "did you mean " + near + "? " + f.Fix
			f.Severity = finding.Ask
		}
		findings = append(findings, f)
	}
	return findings
}
