package labelling

import (
	"slices"
	"strings"
	"unicode"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// precautions are the maker's warnings and the wording that rows of the limit
// tables ask for, each once, then directions and storage.
func (b *labelling) precautions() {
	var said []string
	for _, w := range b.facts.Warnings {
		b.add(LabelItem{Kind: ItemPrecaution, Text: w.Text, State: LabelGiven}, "L05", "L40")
		said = append(said, plainWords(w.Text))
	}
	for _, r := range b.results {
		for _, t := range limits.LabelTexts(r.Limits) {
			words := plainWords(t.Text)
			if slices.ContainsFunc(said, func(s string) bool { return strings.Contains(" "+s+" ", " "+words+" ") }) {
				continue
			}
			said = append(said, words)
			i := LabelItem{Kind: ItemPrecaution, Text: t.Text, State: LabelGiven, Row: t.Row}
			if !t.Certain {
				i.Remark = "due only if the rule applies: printed as the cautious choice"
			}
			b.add(i, "L05", "L40")
		}
	}
	if len(said) == 0 {
		b.add(LabelItem{Kind: ItemPrecaution, State: labelNotNeeded,
			Remark: "none is stated and no row of the limit tables asks for any; the assessor may"}, "L05", "L40")
	}
	if t := b.facts.Directions.Text; t != "" {
		b.add(LabelItem{Kind: ItemDirections, Lead: "Directions", Text: t, State: labelByChoice,
			Remark: "part of the precautions where safe use depends on it"}, "L05")
	}
	if t := b.facts.Storage.Text; t != "" {
		b.add(LabelItem{Kind: ItemStorage, Text: t, State: LabelGiven}, "L31")
	}
}

// plainWords folds a sentence to its words, so that two spellings of one
// warning are told as one.
func plainWords(s string) string {
	var b strings.Builder
	b.Grow(len(s))
	between := false
	for _, r := range s {
		if r = unicode.ToLower(r); !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r > 127) {
			between = b.Len() > 0
			continue
		}
		if between {
			b.WriteByte(' ')
			between = false
		}
		b.WriteRune(r)
	}
	return b.String()
}

// ingredients prints the list. A pack for several markets bears the one list
// that holds every name of the others.
func (b *labelling) ingredients() {
	list, fits := commonList(b.results)
	i := LabelItem{Kind: ItemIngredients, Lead: law.LabelRule(b.law, "I01").Wording[0], Text: list.Line(),
		State: LabelGiven}
	var unnamed []string
	var sheet *ingredients.Sheet // of the first of them
	for _, e := range list.Entries {
		if e.Kind == listing.EntryUndeclared {
			unnamed = append(unnamed, e.Name)
			if sheet == nil {
				sheet = e.Sheet(b.results[0].Input.Sheets)
			}
		}
	}
	if len(unnamed) > 0 {
		i.State = LabelMissing
		f := finding.NewFinding(finding.Ask, "label-list-incomplete", b.facts.Pos, formula.With().
			Names("entries", unnamed))
		if sheet != nil {
			f = f.At(sheet.Composition.Pos.File, "composition", nil)
		}
		b.say(f, "L08")
	}
	if !fits {
		i.State, i.Remark = LabelMissing,
			"the lists for "+b.marketNames()+" differ in more than the allergens they name: print a label for each market"
	}
	if len(list.Open) > 0 {
		i.Remark = joinRemarks(i.Remark, "not settled by the papers: "+places(len(list.Open))+" of the order")
	}
	if both := twoNames(b.results); len(both) > 0 {
		i.Remark = joinRemarks(i.Remark,
			formula.JoinAnd(both)+" "+standWord(len(both))+" under the name of the material and under that of its allergen entry: whether one of the two would do is not settled in the texts read, ask the assessor")
	}
	if open := openNames(b.results); len(open) > 0 {
		i.Remark = joinRemarks(i.Remark, "names not settled: "+formula.JoinAnd(open))
		b.say(finding.NewFinding(finding.Ask, "label-names-open", b.facts.Pos, formula.With().
			Names("names", open)), "I11")
	}
	if oils := oilsBothWays(b.results); len(oils) > 0 {
		b.say(finding.NewFinding(finding.Ask, "oil-two-names", b.facts.Pos, formula.With().
			Names("oils", oils)), "I10")
	}
	if off := offList(b.results); len(off) > 0 { // it may have to be named, and the list says so
		i.Text += ", [" + strings.Join(off, "], [") + "]"
	}
	b.add(i, "L08", "I01", "I02", "I03", "I10", "I11")
}

// openNames are the names of the sheets that no list settles, in order.
func openNames(results []*calc.Result) []string {
	codes := []string{"unlisted-allergen", "unknown-inci", "name-several", "name-ambiguous", "name-in-part",
		"bracket-contradicts",
		"named-by-bracket", "named-by-number", "number-fits-several", "plant-number"}
	return subjectsOf(results, codes...)
}

// offList are the declared allergens that are on no list under any name.
func offList(results []*calc.Result) []string { return subjectsOf(results, "unlisted-allergen") }

func subjectsOf(results []*calc.Result, codes ...string) []string {
	var names []string
	for _, r := range results {
		for _, f := range r.Findings {
			if slices.Contains(codes, f.Code) && !slices.Contains(names, f.Subject) {
				names = append(names, f.Subject)
			}
		}
	}
	return names
}

// twoNames lists what stands in the list twice, as an ingredient and as the
// allergen that it is: an oil under its own name and under that of its group.
func twoNames(results []*calc.Result) []string {
	var both []string
	for _, r := range results {
		counts := listing.CountsIn(r.Input, r.Whole())
		for i := range r.Allergens {
			a := &r.Allergens[i]
			named := a.OnLabel() && r.List.Has(func(e *listing.ListEntry) bool {
				return e.Kind == listing.EntryAllergen && e.Name == a.LabelName
			})
			if !named {
				continue
			}
			for at, s := range r.Whole().Substances {
				if !counts(at, a.Row) {
					continue
				}
				alone := r.List.Has(func(e *listing.ListEntry) bool {
					return e.Kind != listing.EntryAllergen && e.NameKey() == s.NameKey()
				})
				if alone && !slices.Contains(both, s.INCI) {
					both = append(both, s.INCI)
				}
			}
		}
	}
	return both
}

// oilsBothWays are the oils and extracts of plants that one material brings in under
// their own name and another inside Parfum or Aroma.
func oilsBothWays(results []*calc.Result) []string {
	var oils []string
	for _, r := range results {
		for _, s := range r.Whole().Substances {
			named, inside := false, false
			for _, c := range s.Contributions {
				if sheet := r.Input.Sheets[c.Ingredient]; sheet != nil {
					named, inside = named || !sheet.IsScent(), inside || sheet.IsScent()
				}
			}
			if named && inside && formula.IsBotanical(r.Input.Law, s.INCI) && !slices.Contains(oils, s.INCI) {
				oils = append(oils, s.INCI)
			}
		}
	}
	return oils
}

func joinRemarks(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}

func standWord(n int) string {
	if n == 1 {
		return "stands"
	}
	return "stand"
}

func places(n int) string {
	if n == 1 {
		return "1 place"
	}
	return formula.Itoa(n) + " places"
}

// commonList returns the list that names all that the others do. It is false
// where they differ in anything but the allergens named.
func commonList(results []*calc.Result) (*listing.List, bool) {
	best := results[0].List
	for _, r := range results[1:] {
		if len(r.List.Entries) > len(best.Entries) {
			best = r.List
		}
	}
	if len(results) == 1 {
		return best, true
	}
	for _, r := range results {
		if !slices.Equal(withoutAllergens(best), withoutAllergens(r.List)) {
			return best, false
		}
		for _, e := range r.List.Entries {
			if !slices.ContainsFunc(best.Entries, func(o listing.ListEntry) bool { return o.Name == e.Name }) {
				return best, false
			}
		}
	}
	return best, true
}

func withoutAllergens(l *listing.List) []string {
	var names []string
	for _, e := range l.Entries {
		if e.Kind != listing.EntryAllergen {
			names = append(names, e.Name)
		}
	}
	return names
}
