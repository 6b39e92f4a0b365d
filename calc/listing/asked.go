package listing

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law/annex"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// gap is a material that does not say what a row asks for.
type gap struct {
	Ingredient string
	Most       exact.Num // highest share of it in any mixture, %
	list       string    // what it was declared against; "" for nothing
	material   *formula.Material
	missing    int // rows that its declaration does not cover
}

type declGaps []gap

// Unknown names the materials that leave a row open, and says whether together
// with what is known they could lift it above the threshold: each could, at
// worst, be that substance as a whole. before are the totals of other rows: materials that
// leave the same rows open are named in one list.
func (gs declGaps) Unknown(row *annex.Allergen, threshold exact.Num, t *AllergenTotal, before []AllergenTotal) bool {
	could := t.Worst.Max
	for i := range gs {
		if !formula.Covers(row, gs[i].list) {
			could = could.Add(gs[i].Most)
		}
	}
	const most = 16
	var room [most]string
	names := room[:0]
	for i := range gs {
		if threshold.Less(could) && !formula.Covers(row, gs[i].list) {
			names = append(names, gs[i].Ingredient)
		}
	}
	if len(names) == 0 {
		return false
	}
	for i := len(before) - 1; i >= 0; i-- {
		if slices.Equal(before[i].Uncovered, names) {
			t.Uncovered = before[i].Uncovered
			return true
		}
	}
	t.Uncovered = slices.Clip(append([]string(nil), names...))
	return true
}

// declarationGaps finds scents, oils and extracts that have no declaration, or
// one against a shorter list than the market's.
func declarationGaps(in *formula.Input, comps []*formula.Composition, materials map[string]*formula.Material,
	index *allergenIndex) (gaps declGaps) {
	rows := index.rows
	for _, u := range comps[0].Uses() {
		m := materials[u.Ingredient]
		if m == nil || !mayHold(in, m, index) {
			continue
		}
		g := gap{Ingredient: u.Ingredient, Most: mostOf(u.Ingredient, comps), material: m}
		if d := m.Sheet.Allergens; d != nil && !in.Date.Before(d.Dated) {
			g.list = d.List
		}
		for _, row := range rows {
			if !formula.Covers(row, g.list) && row.Threshold(in.Type.RinseOff).Less(g.Most) {
				g.missing++
			}
		}
		if g.missing > 0 {
			gaps = append(gaps, g)
		}
	}
	return gaps
}

// gapFinding asks for a declaration; all is how many rows the market's list has.
func gapFinding(in *formula.Input, g *gap, all int) finding.Finding {
	s := g.material.Sheet
	ask := func(code string, pos exact.Pos, v finding.Values) finding.Finding {
		return in.OnMaterial(finding.NewFinding(finding.Ask, code, pos, v.Day("day", in.Date).
			Source("law", in.AnnexSource("III")).Name("code", s.Supplier.Code)), s.ID).
			By(s.Asked())
	}
	switch {
	case g.list == "" && s.Allergens != nil:
		return ask("no-declaration", s.Allergens.Pos, formula.With().Day("dated", s.Allergens.Dated)).As("later").
			At(s.Allergens.Pos.File, "allergens.dated", nil)
	case g.list == "":
		return ask("no-declaration", s.Pos, formula.With()).At(s.Pos.File, "allergens", nil)
	}
	return ask("short-declaration", s.Allergens.Pos, formula.With().Term("list", "allergens-"+g.list, nil).
		Count("missing", g.missing).Count("all", all).Name("market", string(in.Market))).
		At(s.Allergens.Pos.File, "allergens", nil)
}

// heldMemory keeps of which lists a material may hold allergens.
type heldMemory struct {
	formula.Memo[allergenIndexKey, bool]
}

// mayHold is mayHoldAllergens, found once for each material and list.
func mayHold(in *formula.Input, m *formula.Material, index *allergenIndex) bool {
	known := formula.MaterialMemory[heldMemory](in, m)
	if known == nil {
		return mayHoldAllergens(m, index)
	}
	return known.Of(allergenIndexKey{in.Market, in.Date}, func() bool { return mayHoldAllergens(m, index) })
}

// mayHoldAllergens says whether a declaration is expected: for scents, for what
// is used as fragrance, and for oils and extracts that are entries themselves.
func mayHoldAllergens(m *formula.Material, index *allergenIndex) bool {
	if m.Sheet.IsScent() || m.Sheet.Allergens != nil || index.Scents(m.Sheet) {
		return true
	}
	for _, p := range m.Parts {
		for _, row := range index.claimOf(&formula.Substance{INCI: p.INCI, CAS: p.CAS}).rows {
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
		for _, u := range c.Uses() {
			if u.Ingredient == ingredient {
				most = most.Max(u.Pct)
			}
		}
	}
	return most
}

func openAllergen(in *formula.Input, t AllergenTotal) finding.Finding {
	most := t.Worst.Max
	f := finding.NewFinding(finding.Ask, "allergen-open", t.Contributions[0].SourcePos,
		formula.PortionNamed(formula.With().Range("content", t.Worst, "%", finding.FourDigits), t.WorstIn).
			Num("threshold", t.ThresholdPct, "%", finding.AsIs).
			Source("law", formula.RowSource("Annex III entry "+t.Row.Entry, "allergens.csv", t.Row.Key,
				t.Row.FromMemory()))).
		On(t.LabelName).By(formula.WidestParty(t.Contributions, in))
	f.Sum, f.Grade = in.TermsOf(t.Contributions), &most
	return f
}

// unlistedMemory keeps what is said of declared names that no list has, by name and place.
type unlistedMemory struct {
	formula.Memo[unlistedKey, finding.Finding]
}

type unlistedKey struct {
	inci string
	at   exact.Pos
}

// entryFindings reports substances that two entries claim, and declared names
// that none does, behind what was found before.
func entryFindings(findings []finding.Finding, in *formula.Input, whole *formula.Composition, claims []*claim,
	ambiguous map[string]bool) []finding.Finding {
	unlisted := func(s *formula.Substance, claim *claim) *formula.Contribution {
		at := slices.IndexFunc(s.Contributions,
			func(c formula.Contribution) bool { return c.Route == formula.ByDeclaration })
		if at < 0 || len(claim.rows) > 0 || in.Law.AllergenKnown(s.INCI, s.CAS) {
			return nil
		}
		return &s.Contributions[at]
	}
	declared := make([]*formula.Contribution, len(claims))
	n := len(ambiguous)
	for i, s := range whole.Substances {
		if declared[i] = unlisted(s, claims[i]); declared[i] != nil {
			n++
		}
	}
	findings = slices.Grow(findings, n)
	known := formula.MemoryOf[unlistedMemory](in.Session)
	for i, s := range whole.Substances {
		if ambiguous[s.Key()] {
			findings = append(findings, finding.NewFinding(finding.Ask, "allergen-entry", s.Contributions[0].SourcePos,
				formula.With().Name("cas", s.CAS).Names("entries", labelNames(claims[i].rows))).On(s.INCI).
				By(in.SupplierOf(s.Contributions[0].Ingredient)))
		}
		if k := declared[i]; k != nil {
			findings = append(findings, known.Of(unlistedKey{s.INCI, k.SourcePos}, func() finding.Finding {
				return unlistedFinding(in, s.INCI, k.SourcePos)
			}))
		}
	}
	return findings
}

// unlistedFinding asks about a declared name that no list has, with the listed name next to it.
func unlistedFinding(in *formula.Input, inci string, at exact.Pos) finding.Finding {
	near := ""
	if list := in.Dict.Names().Nearest(inci, 1); len(list) > 0 {
		near = list[0].Name
	}
	return finding.NewFinding(finding.Ask, "unlisted-allergen", at, formula.With().Name("near", near)).On(inci).
		By(finding.TheMaker).At(at.File, "allergens.declared.name", formula.With().Name("name", near))
}

func labelNames(rows []*annex.Allergen) []string {
	var list []string
	for _, r := range rows {
		list = append(list, r.LabelName)
	}
	return list
}
