package dossier

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// listsSection shows the ingredient list of each variant: once where all markets
// have the same, else one for each.
func (v *view) listsSection() *Section {
	s := &Section{ID: "ingredient-lists", Title: "Ingredient lists",
		Intro: "In the order of Article 19(1)(g): descending by typical content down to 1 %, then those below 1 %, colourants last. Names in square brackets stand for substances with no name yet; a list that holds one cannot be printed."}
	for _, x := range v.variants {
		sub := s.AddSection("ingredient-list-"+anchorOf(x), upperFirst(variantName(x)))
		for _, g := range v.sameLists(x) {
			sub.Add(Rich(Span{Text: strings.Join(g.markets, " and ") + ": ", Strong: true}, Span{Text: "Ingredients: " + g.result.List.Line()}))
		}
		if v.isRange() {
			sub.Add(v.shortVariant(x)...)
		}
	}
	s.AddSection("ingredient-list-order", "Order and copies").Add(v.openOrderTable(), v.listTable())
	return s
}

// shortVariant says in a few lines what sets a variant of a range apart.
func (v *view) shortVariant(x *calc.Variant) []Block {
	r := v.first(x)
	var blocks []Block
	var scents []string
	for _, f := range r.Fragrances {
		text := v.material(f.Ingredient) + " " + FormatPct(f.UsePct) + " %, " + string(f.Status)
		if f.LimitPct != nil {
			text += " (limit " + FormatPct(*f.LimitPct) + " % in category " + f.Category + ")"
		}
		scents = append(scents, text)
	}
	if len(scents) > 0 {
		blocks = append(blocks, Rich(Span{Text: "Fragrance: ", Strong: true}, Span{Text: strings.Join(scents, "; ")}))
	}
	var declared []string
	for _, row := range v.allergenRows(x) {
		if row.total.OnLabel() {
			declared = append(declared, row.total.LabelName+" "+FormatRange(row.total.Worst, RulePctBeside(row.total.ThresholdPct))+" %")
		}
	}
	if len(declared) > 0 {
		blocks = append(blocks, Rich(Span{Text: "Allergens declared: ", Strong: true}, Span{Text: strings.Join(declared, "; ")}))
	}
	for _, m := range v.a.ByVariant(x.ID) {
		unstated := 0
		for _, a := range m.Allergens {
			if a.Verdict == calc.Unstated {
				unstated++
			}
		}
		if unstated > 0 {
			blocks = append(blocks, Para(count(unstated, "name", "names")+" of the "+string(m.Input.Market)+" list not stated by a supplier: unknown, not zero."))
		}
	}
	for _, p := range r.List.Open {
		blocks = append(blocks, Para("Order open: "+p.First+" before "+p.Second+"."))
	}
	return blocks
}

func anchorOf(x *calc.Variant) string {
	if x.ID == "" {
		return "product"
	}
	return x.ID
}

// listGroup is a list and the markets that share it.
type listGroup struct {
	result  *calc.Result
	markets []string
}

func (v *view) sameLists(x *calc.Variant) []listGroup {
	var groups []listGroup
	for _, r := range v.a.ByVariant(x.ID) {
		found := false
		for i := range groups {
			if groups[i].result.List.Line() == r.List.Line() {
				groups[i].markets = append(groups[i].markets, string(r.Input.Market))
				found = true
			}
		}
		if !found {
			groups = append(groups, listGroup{r, []string{string(r.Input.Market)}})
		}
	}
	return groups
}

// openOrderTable shows each place that the papers do not settle once, with the
// variants it is in.
func (v *view) openOrderTable() *Table {
	t := &Table{ID: "open-order", Title: "Order not settled by the papers", SheetName: "Open order", Empty: "The papers settle the order of every list.",
		Columns: []Column{{Head: "Printed first"}, {Head: "Could be more"}, {Head: "Least difference", Unit: "% w/w", Kind: KindNumber}, {Head: "Settled by the composition of", Weight: 1.4}, {Head: "Variants", Weight: 1.4}}}
	type open struct {
		pair     calc.OpenPair
		variants []string
	}
	var list []*open
	for _, x := range v.variants {
		for _, p := range v.first(x).List.Open {
			i := slices.IndexFunc(list, func(o *open) bool { return o.pair.First == p.First && o.pair.Second == p.Second })
			if i < 0 {
				list = append(list, &open{pair: p})
				i = len(list) - 1
			}
			if p.LeastPct.Less(list[i].pair.LeastPct) {
				list[i].pair = p
			}
			list[i].variants = append(list[i].variants, shortName(x))
		}
	}
	for _, o := range list {
		word := " or "
		if o.pair.Together {
			word = " and "
		}
		t.Add(TextCell(o.pair.First), TextCell(o.pair.Second), PctCell(o.pair.LeastPct), TextCell(strings.Join(o.pair.Materials, word)), TextCell(joinNames(o.variants)))
	}
	return t
}

// listTable holds the lists for the workbook, to copy from.
func (v *view) listTable() *Table {
	t := &Table{ID: "lists-table", Title: "Ingredient lists to copy", SheetName: "Ingredient lists", InWorkbook: true, Columns: []Column{{Head: "Variant", Fixed: true}, {Head: "Markets"}, {Head: "Ingredients", Weight: 4}}}
	for _, x := range v.variants {
		for _, g := range v.sameLists(x) {
			t.Add(TextCell(variantName(x)), TextCell(joinNames(g.markets)), TextCell(g.result.List.Line()))
		}
	}
	return t
}

// allergensSection shows the totals of declarable allergens for each variant
// against their threshold, with the verdict in each market.
func (v *view) allergensSection() *Section {
	s := &Section{ID: "allergens", Title: "Declarable fragrance allergens",
		Intro: "Total of each label name over all raw materials, in the whole product or the portion with most of it. A name is declared when the total exceeds the threshold; where a range straddles it the name is declared as the cautious choice. A total is only as good as the suppliers' declarations. Source: Regulation (EC) 1223/2009 Annex III, the entry beside each name."}
	if v.isRange() {
		return s.Add(v.allergensOfRange()...)
	}
	for _, x := range v.variants {
		v.allergenBlocks(s.AddSection("allergens-"+anchorOf(x), upperFirst(variantName(x))), x)
	}
	return s
}

// allergensOfRange shows the highest total of each name over all variants, and
// in how many it is declared; the totals of every variant stand in the workbook.
func (v *view) allergensOfRange() []Block {
	worst := &Table{ID: "allergens-range", SheetName: "Allergens, range", Columns: []Column{{Head: "Label name", Fixed: true, Weight: 1.5}, {Head: "Entry"}, {Head: "Highest total", Unit: "% w/w", Kind: KindRange}, {Head: "Threshold", Unit: "% w/w", Kind: KindNumber}, {Head: "Highest in"}, {Head: "Declared in", Weight: 1.3}}}
	full := &Table{ID: "allergens-full", SheetName: "Allergens", Title: "Totals of every variant", InWorkbook: true, Columns: []Column{{Head: "Variant", Fixed: true}, {Head: "Label name", Weight: 1.5}, {Head: "Entry"}, {Head: "Total", Unit: "% w/w", Kind: KindRange}, {Head: "Threshold", Unit: "% w/w", Kind: KindNumber}, {Head: "Highest in"}}}
	for _, m := range v.a.Markets {
		full.Columns = append(full.Columns, Column{Head: string(m), Kind: KindText})
	}
	type sum struct {
		row      *allergenRow
		variant  string
		declared int
	}
	var sums []*sum
	at := map[string]*sum{}
	for _, x := range v.variants {
		named := map[string]bool{}
		for _, row := range v.allergenRows(x) {
			full.Add(append([]Cell{TextCell(shortName(x))}, v.allergenCells(row, false)...)...)
			w := at[row.total.LabelName]
			if w == nil {
				w = &sum{row: row, variant: shortName(x)}
				at[row.total.LabelName] = w
				sums = append(sums, w)
			}
			if w.row.total.Worst.Max.Less(row.total.Worst.Max) {
				w.row, w.variant = row, shortName(x)
			}
			if row.total.OnLabel() && !named[row.total.LabelName] {
				named[row.total.LabelName] = true
				w.declared++
			}
		}
	}
	slices.SortStableFunc(sums, func(a, b *sum) int { return b.row.total.Worst.Max.Cmp(a.row.total.Worst.Max) })
	chart := &HBarLog{ID: "chart-allergens", Title: "Highest totals against the threshold", Unit: "% w/w"}
	for _, w := range sums {
		a := w.row.total
		worst.Add(TextCell(a.LabelName), TextCell("III/"+a.Row.Entry), RangeCell(a.Worst).By(RulePctBeside(a.ThresholdPct)), PctCell(a.ThresholdPct).MarkedIf(a.Row.FromMemory(), memoryMark),
			TextCell(w.variant), TextCell(count(w.declared, "variant", "variants")))
		chart.Rows = append(chart.Rows, HBar{Label: a.LabelName, Value: a.Worst.Max.Float(), Limit: a.ThresholdPct.Float(), Used: PctCell(a.Worst.Max), Bound: PctCell(a.ThresholdPct), State: allergenState(a)})
	}
	blocks := []Block{worst}
	if len(chart.Rows) > 0 {
		blocks = append(blocks, chart)
	}
	return append(blocks, full)
}

// allergenCells are the cells of one total, with or without the materials it
// comes from, and the verdict in each market.
func (v *view) allergenCells(row *allergenRow, from bool) []Cell {
	a := row.total
	cells := []Cell{TextCell(a.LabelName), TextCell("III/" + a.Row.Entry), RangeCell(a.Worst).By(RulePctBeside(a.ThresholdPct)),
		PctCell(a.ThresholdPct).MarkedIf(a.Row.FromMemory(), memoryMark), TextCell(wholeOr(a.WorstIn))}
	if from {
		cells = append(cells, TextCell(strings.Join(ingredientsOf(a.Contributions), ", ")))
	}
	for _, m := range v.a.Markets {
		verdict, listed := row.verdicts[m]
		if !listed {
			verdict = TextCell("not on its list")
		}
		cells = append(cells, verdict)
	}
	return cells
}

// allergenRow is one total with the markets that count it so.
type allergenRow struct {
	total    calc.AllergenTotal
	verdicts map[law.Market]Cell
}

// allergenRows joins the totals of all markets: a market with other members
// under the same name gets a row of its own.
func (v *view) allergenRows(x *calc.Variant) []*allergenRow {
	var rows []*allergenRow
	for _, r := range v.a.ByVariant(x.ID) {
		for _, a := range r.Allergens {
			if a.Verdict == calc.Unstated && a.Worst.IsZero() {
				continue
			}
			i := slices.IndexFunc(rows, func(row *allergenRow) bool {
				t := row.total
				return t.LabelName == a.LabelName && t.WorstIn == a.WorstIn && t.Worst.Min.Equal(a.Worst.Min) && t.Worst.Max.Equal(a.Worst.Max)
			})
			if i < 0 {
				rows = append(rows, &allergenRow{a, map[law.Market]Cell{}})
				i = len(rows) - 1
			}
			rows[i].verdicts[r.Input.Market] = allergenVerdict(a)
		}
	}
	slices.SortStableFunc(rows, func(a, b *allergenRow) int { return b.total.Worst.Max.Cmp(a.total.Worst.Max) })
	return rows
}

func (v *view) allergenBlocks(sub *Section, x *calc.Variant) {
	t := &Table{ID: "allergen-totals-" + anchorOf(x), SheetName: "Allergens", Title: "Totals, " + variantName(x), Empty: "No declarable allergen is known to be in it.",
		Columns: []Column{{Head: "Label name", Fixed: true, Weight: 1.4}, {Head: "Entry"}, {Head: "Total", Unit: "% w/w", Kind: KindRange}, {Head: "Threshold", Unit: "% w/w", Kind: KindNumber}, {Head: "Highest in"}, {Head: "From"}}}
	for _, m := range v.a.Markets {
		t.Columns = append(t.Columns, Column{Head: string(m), Kind: KindText})
	}
	chart := &HBarLog{ID: "chart-" + t.ID, Title: "Allergens against the threshold", Unit: "% w/w"}
	for _, row := range v.allergenRows(x) {
		a := row.total
		t.Add(v.allergenCells(row, true)...)
		chart.Rows = append(chart.Rows, HBar{Label: a.LabelName, Value: a.Worst.Max.Float(), Limit: a.ThresholdPct.Float(),
			Used: PctCell(a.Worst.Max), Bound: PctCell(a.ThresholdPct), State: allergenState(a)})
	}
	sub.Add(t)
	if len(chart.Rows) > 0 {
		sub.Add(chart)
	}
	for _, r := range v.a.ByVariant(x.ID) {
		sub.Add(unstatedNames(r)...)
	}
}

// unstatedNames says which names of a market's list no paper speaks of.
func unstatedNames(r *calc.Result) []Block {
	var names, by []string
	for _, a := range r.Allergens {
		if a.Verdict == calc.Unstated && a.Worst.IsZero() {
			names = append(names, a.LabelName)
			for _, id := range a.Uncovered {
				by = addOnce(by, id)
			}
		}
	}
	if len(names) == 0 {
		return nil
	}
	text := count(len(names), "name", "names") + " of the " + string(r.Input.Market) + " list: the totals are unknown, not zero, until " + strings.Join(by, " and ") + " is declared against the full list: " + strings.Join(names, ", ") + "."
	return []Block{&Callout{Kind: CalloutNote, Title: "Not stated by a supplier", Body: []*Paragraph{Para(text)}}}
}

func allergenVerdict(a calc.AllergenTotal) Cell {
	switch a.Verdict {
	case calc.Declare:
		return VerdictCell(VerdictMet, "declare")
	case calc.Open:
		return VerdictCell(VerdictOpen, "declare (range straddles the threshold)")
	case calc.Unstated:
		return VerdictCell(VerdictOpen, "not stated by "+strings.Join(a.Uncovered, ", "))
	}
	return VerdictCell(VerdictMet, "below")
}

func allergenState(a calc.AllergenTotal) Verdict {
	if a.Verdict == calc.Open || a.Verdict == calc.Unstated {
		return VerdictOpen
	}
	return VerdictMet
}

func wholeOr(portion string) string {
	if portion == "" {
		return "whole product"
	}
	return portion
}

func ingredientsOf(cs []calc.Contribution) []string {
	var ids []string
	for _, c := range cs {
		ids = addOnce(ids, c.Ingredient)
	}
	return ids
}

// fragranceSection shows each scent and oil against its certificate.
func (v *view) fragranceSection() *Section {
	s := &Section{ID: "fragrance", Title: "Fragrance certificates",
		Intro: "Use of each fragrance and oil in the whole product or the portion with most of it, against the category of its conformity certificate. Several together are screened by the sum of use ÷ limit, which is cautious: no certificate covers a blend."}
	t := &Table{ID: "fragrance-uses", SheetName: "Fragrance", Empty: "No fragrance or oil in it needs a certificate.",
		Columns: []Column{{Head: "Variant", Fixed: true}, {Head: "Fragrance", Weight: 1.4}, {Head: "Category"}, {Head: "Use", Unit: "% w/w", Kind: KindNumber}, {Head: "Highest in"},
			{Head: "Limit", Unit: "% w/w", Kind: KindNumber}, {Head: "Use ÷ limit", Kind: KindNumber}, {Head: "Verdict"}, {Head: "Amendment", Kind: KindNumber}, {Head: "Dated"}}}
	sums := &Table{ID: "fragrance-sums", Title: "Several fragrances together", SheetName: "Fragrance", Empty: "No mixture holds more than one.",
		Columns: []Column{{Head: "Variant", Fixed: true}, {Head: "In"}, {Head: "Fragrances with a limit", Kind: KindNumber}, {Head: "Σ use ÷ limit", Kind: KindNumber}, {Head: "Verdict"}}}
	chart := &HBarLog{ID: "chart-fragrance", Title: "Use against the certificate's limit", Unit: "% w/w"}
	for _, x := range v.variants {
		r := v.first(x)
		for _, f := range r.Fragrances {
			t.Add(TextCell(shortName(x)), TextCell(v.material(f.Ingredient)), TextCell(f.Category), PctCell(f.UsePct), TextCell(wholeOr(f.Portion)),
				numOr(f.LimitPct, "none known"), ratioCell(f.Ratio), fragranceVerdict(f.Status), amendmentCell(f), DateCell(f.Dated))
			if f.LimitPct != nil {
				chart.Rows = append(chart.Rows, HBar{Label: shortName(x) + ": " + f.Ingredient, Value: f.UsePct.Float(), Limit: f.LimitPct.Float(),
					Used: PctCell(f.UsePct), Bound: PctCell(*f.LimitPct), State: fragranceState(f.Status)})
			}
		}
		for _, sum := range r.FragranceSums {
			if sum.Count > 1 {
				verdict := VerdictCell(VerdictMet, "within the screen")
				if ingredients.Int(1).Less(sum.Ratio) {
					verdict = VerdictCell(VerdictOpen, "screen failed: assessor to sum by substance")
				}
				sums.Add(TextCell(shortName(x)), TextCell(wholeOr(sum.Portion)), IntCell(sum.Count), NumCell(sum.Ratio, RuleSig(4)), verdict)
			}
		}
	}
	s.Add(t)
	if len(chart.Rows) > 0 {
		s.Add(chart)
	}
	return s.Add(sums, v.standardsTable())
}

func numOr(n *ingredients.Num, missing string) Cell {
	if n == nil {
		return MissingCell(missing)
	}
	return PctCell(*n)
}

func ratioCell(n *ingredients.Num) Cell {
	if n == nil {
		return BlankCell()
	}
	return NumCell(*n, RuleSig(4))
}

func amendmentCell(f calc.FragranceUse) Cell {
	if f.Amendment == 0 {
		return MissingCell("no certificate")
	}
	return IntCell(f.Amendment)
}

func fragranceVerdict(s calc.FragranceStatus) Cell { return VerdictCell(fragranceState(s), string(s)) }

func fragranceState(s calc.FragranceStatus) Verdict {
	switch s {
	case calc.FragranceKept, calc.FragranceNoLimit:
		return VerdictMet
	case calc.FragranceExceeded, calc.FragranceNotPermitted:
		return VerdictFail
	}
	return VerdictOpen
}
