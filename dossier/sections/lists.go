package sections

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/listing"
	"gallipot/calc/standards"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// listsSection shows the ingredient list of each variant: once where all markets
// have the same, else one for each.
func listsSection(v *show.View) *document.Section {
	s := &document.Section{ID: "ingredient-lists", Title: "Ingredient lists",
		Intro: "In the order of Article 19(1)(g): descending by typical content down to 1 %, then those below 1 %, colourants last. Names in square brackets stand for substances with no name yet; a list that holds one cannot be printed."}
	for _, x := range v.Variants {
		sub := s.AddSection("ingredient-list-"+show.AnchorOf(x), words.UpperFirst(show.VariantName(x)))
		for _, g := range SameLists(v, x) {
			sub.Add(document.Rich(document.Span{Text: strings.Join(g.Markets, " and ") + ": ", Strong: true},
				document.Span{Text: "Ingredients: " + g.Result.List.Line()}))
		}
		if v.IsRange() {
			sub.Add(shortVariant(v, x)...)
		}
	}
	s.AddSection("ingredient-list-order", "Order and copies").Add(OpenOrderTable(v), ListTable(v))
	return s
}

// shortVariant says in a few lines what sets a variant of a range apart.
func shortVariant(v *show.View, x *formula.Variant) []document.Block {
	r := v.First(x)
	var blocks []document.Block
	var scents []string
	for _, f := range r.Fragrances {
		text := v.Material(f.Ingredient) + " " + document.FormatPct(f.UsePct) + " %, " + string(f.Status)
		if f.LimitPct != nil {
			text += " (limit " + document.FormatPct(*f.LimitPct) + " % in category " + f.Category + ")"
		}
		scents = append(scents, text)
	}
	if len(scents) > 0 {
		blocks = append(blocks, document.Rich(document.Span{Text: "Fragrance: ", Strong: true},
			document.Span{Text: strings.Join(scents, "; ")}))
	}
	var declared []string
	for _, row := range AllergenRows(v, x) {
		if row.Total.OnLabel() {
			declared = append(declared, row.Total.LabelName+" "+document.FormatRange(row.Total.Worst,
				document.RulePctBeside(row.Total.ThresholdPct))+" %")
		}
	}
	if len(declared) > 0 {
		blocks = append(blocks, document.Rich(document.Span{Text: "Allergens declared: ", Strong: true},
			document.Span{Text: strings.Join(declared, "; ")}))
	}
	for _, m := range v.A.ByVariant(x.ID) {
		unstated := 0
		for _, a := range m.Allergens {
			if a.Verdict == listing.Unstated {
				unstated++
			}
		}
		if unstated > 0 {
			blocks = append(blocks,
				document.Para(words.Count(unstated, "name",
					"names")+" of the "+string(m.Input.Market)+" list not stated by a supplier: unknown, not zero."))
		}
	}
	for _, p := range r.List.Open {
		blocks = append(blocks, document.Para("Order open: "+p.First+" before "+p.Second+"."))
	}
	return blocks
}

// ListGroup is a list and the markets that share it.
type ListGroup struct {
	Result  *calc.Result
	Markets []string
}

func SameLists(v *show.View, x *formula.Variant) []ListGroup {
	var groups []ListGroup
	for _, r := range v.A.ByVariant(x.ID) {
		found := false
		for i := range groups {
			if groups[i].Result.List.Line() == r.List.Line() {
				groups[i].Markets = append(groups[i].Markets, string(r.Input.Market))
				found = true
			}
		}
		if !found {
			groups = append(groups, ListGroup{r, []string{string(r.Input.Market)}})
		}
	}
	return groups
}

// OpenOrderTable shows each place that the papers do not settle once, with the
// variants it is in.
func OpenOrderTable(v *show.View) *document.Table {
	t := &document.Table{ID: "open-order", Title: "Order not settled by the papers", SheetName: "Open order",
		Empty: "The papers settle the order of every list.",
		Columns: []document.Column{{Head: "Printed first"}, {Head: "Could be more"},
			{Head: "Least difference", Unit: "% w/w",
				Kind: document.KindNumber}, {Head: "Settled by the composition of",
				Weight: 1.4}, {Head: "Variants", Weight: 1.4}}}
	type open struct {
		pair     listing.OpenPair
		variants []string
	}
	var list []*open
	for _, x := range v.Variants {
		for _, p := range v.First(x).List.Open {
			i := slices.IndexFunc(list, func(o *open) bool {
				return o.pair.First == p.First &&
					o.pair.Second == p.Second
			})
			if i < 0 {
				list = append(list, &open{pair: p})
				i = len(list) - 1
			}
			if p.LeastPct.Less(list[i].pair.LeastPct) {
				list[i].pair = p
			}
			list[i].variants = append(list[i].variants, show.ShortName(x))
		}
	}
	for _, o := range list {
		word := " or "
		if o.pair.Together {
			word = " and "
		}
		t.Add(document.TextCell(o.pair.First), document.TextCell(o.pair.Second), document.PctCell(o.pair.LeastPct),
			document.TextCell(strings.Join(o.pair.Materials, word)), document.TextCell(words.JoinNames(o.variants)))
	}
	return t
}

// ListTable holds the lists for the workbook, to copy from.
func ListTable(v *show.View) *document.Table {
	t := &document.Table{ID: "lists-table", Title: "Ingredient lists to copy", SheetName: "Ingredient lists",
		InWorkbook: true, Columns: []document.Column{{Head: "Variant", Fixed: true}, {Head: "Markets"},
			{Head: "Ingredients", Weight: 4}}}
	for _, x := range v.Variants {
		for _, g := range SameLists(v, x) {
			t.Add(document.TextCell(show.VariantName(x)), document.TextCell(words.JoinNames(g.Markets)),
				document.TextCell(g.Result.List.Line()))
		}
	}
	return t
}

// AllergensSection shows the totals of declarable allergens for each variant
// against their threshold, with the verdict in each market.
func AllergensSection(v *show.View) *document.Section {
	s := &document.Section{ID: "allergens", Title: "Declarable fragrance allergens",
		Intro: "Total of each label name over all raw materials, in the whole product or the portion with most of it. A name is declared when the total exceeds the threshold; where a range straddles it the name is declared as the cautious choice. A total is only as good as the suppliers' declarations. Source: Regulation (EC) 1223/2009 Annex III, the entry beside each name."}
	if v.IsRange() {
		return s.Add(AllergensOfRange(v)...)
	}
	for _, x := range v.Variants {
		allergenBlocks(v, s.AddSection("allergens-"+show.AnchorOf(x), words.UpperFirst(show.VariantName(x))), x)
	}
	return s
}

// AllergensOfRange shows the highest total of each name over all variants, and
// in how many it is declared; the totals of every variant stand in the workbook.
func AllergensOfRange(v *show.View) []document.Block {
	worst := &document.Table{ID: "allergens-range", SheetName: "Allergens, range",
		Columns: []document.Column{{Head: "Label name", Fixed: true, Weight: 1.5}, {Head: "Entry"},
			{Head: "Highest total", Unit: "% w/w", Kind: document.KindRange}, {Head: "Threshold", Unit: "% w/w",
				Kind: document.KindNumber}, {Head: "Highest in"}, {Head: "Declared in", Weight: 1.3}}}
	full := &document.Table{ID: "allergens-full", SheetName: "Allergens", Title: "Totals of every variant",
		InWorkbook: true, Columns: []document.Column{{Head: "Variant", Fixed: true},
			{Head: "Label name", Weight: 1.5}, {Head: "Entry"}, {Head: "Total", Unit: "% w/w",
				Kind: document.KindRange}, {Head: "Threshold", Unit: "% w/w",
				Kind: document.KindNumber}, {Head: "Highest in"}}}
	for _, m := range v.A.Markets {
		full.Columns = append(full.Columns, document.Column{Head: string(m), Kind: document.KindText})
	}
	type sum struct {
		row      *allergenRow
		variant  string
		declared int
	}
	var sums []*sum
	at := map[string]*sum{}
	for _, x := range v.Variants {
		named := map[string]bool{}
		for _, row := range AllergenRows(v, x) {
			full.Add(append([]document.Cell{document.TextCell(show.ShortName(x))}, allergenCells(v, row, false)...)...)
			w := at[row.Total.LabelName]
			if w == nil {
				w = &sum{row: row, variant: show.ShortName(x)}
				at[row.Total.LabelName] = w
				sums = append(sums, w)
			}
			if w.row.Total.Worst.Max.Less(row.Total.Worst.Max) {
				w.row, w.variant = row, show.ShortName(x)
			}
			if row.Total.OnLabel() && !named[row.Total.LabelName] {
				named[row.Total.LabelName] = true
				w.declared++
			}
		}
	}
	slices.SortStableFunc(sums, func(a, b *sum) int { return b.row.Total.Worst.Max.Cmp(a.row.Total.Worst.Max) })
	chart := &document.HBarLog{ID: "chart-allergens", Title: "Highest totals against the threshold",
		Unit: "% w/w"}
	for _, w := range sums {
		a := w.row.Total
		worst.Add(document.TextCell(a.LabelName), document.TextCell("III/"+a.Row.Entry),
			document.RangeCell(a.Worst).By(document.RulePctBeside(a.ThresholdPct)), document.PctCell(a.ThresholdPct).
				MarkedIf(a.Row.FromMemory(), show.MemoryMark),
			document.TextCell(w.variant), document.TextCell(words.Count(w.declared, "variant", "variants")))
		chart.Rows = append(chart.Rows, document.HBar{Label: a.LabelName, Value: a.Worst.Max.Float(),
			Limit: a.ThresholdPct.Float(), Used: document.PctCell(a.Worst.Max),
			Bound: document.PctCell(a.ThresholdPct), State: allergenState(a)})
	}
	blocks := []document.Block{worst}
	if len(chart.Rows) > 0 {
		blocks = append(blocks, chart)
	}
	return append(blocks, full)
}

// allergenCells are the cells of one total, with or without the materials it
// comes from, and the verdict in each market.
func allergenCells(v *show.View, row *allergenRow, from bool) []document.Cell {
	a := row.Total
	cells := []document.Cell{document.TextCell(a.LabelName), document.TextCell("III/" + a.Row.Entry),
		document.RangeCell(a.Worst).By(document.RulePctBeside(a.ThresholdPct)),
		document.PctCell(a.ThresholdPct).MarkedIf(a.Row.FromMemory(),
			show.MemoryMark), document.TextCell(show.WholeOr(a.WorstIn))}
	if from {
		cells = append(cells, document.TextCell(strings.Join(ingredientsOf(a.Contributions), ", ")))
	}
	for _, m := range v.A.Markets {
		verdict, listed := row.Verdicts[m]
		if !listed {
			verdict = document.TextCell("not on its list")
		}
		cells = append(cells, verdict)
	}
	return cells
}

// allergenRow is one total with the markets that count it so.
type allergenRow struct {
	Total    listing.AllergenTotal
	Verdicts map[rows.Market]document.Cell
}

// AllergenRows joins the totals of all markets: a market with other members
// under the same name gets a row of its own.
func AllergenRows(v *show.View, x *formula.Variant) []*allergenRow {
	var tableRows []*allergenRow
	for _, r := range v.A.ByVariant(x.ID) {
		for _, a := range r.Allergens {
			if a.Verdict == listing.Unstated && a.Worst.IsZero() {
				continue
			}
			i := slices.IndexFunc(tableRows, func(row *allergenRow) bool {
				t := row.Total
				return t.LabelName == a.LabelName && t.WorstIn == a.WorstIn && t.Worst.Min.Equal(a.Worst.Min) &&
					t.Worst.Max.Equal(a.Worst.Max)
			})
			if i < 0 {
				tableRows = append(tableRows, &allergenRow{a, map[rows.Market]document.Cell{}})
				i = len(tableRows) - 1
			}
			tableRows[i].Verdicts[r.Input.Market] = show.AllergenVerdict(a)
		}
	}
	slices.SortStableFunc(tableRows,
		func(a, b *allergenRow) int { return b.Total.Worst.Max.Cmp(a.Total.Worst.Max) })
	return tableRows
}

func allergenBlocks(v *show.View, sub *document.Section, x *formula.Variant) {
	t := &document.Table{ID: "allergen-totals-" + show.AnchorOf(x), SheetName: "Allergens", Title: "Totals, " +
		show.VariantName(x), Empty: "No declarable allergen is known to be in it.",
		Columns: []document.Column{{Head: "Label name", Fixed: true, Weight: 1.4}, {Head: "Entry"},
			{Head: "Total", Unit: "% w/w", Kind: document.KindRange}, {Head: "Threshold", Unit: "% w/w",
				Kind: document.KindNumber}, {Head: "Highest in"}, {Head: "From"}}}
	for _, m := range v.A.Markets {
		t.Columns = append(t.Columns, document.Column{Head: string(m), Kind: document.KindText})
	}
	chart := &document.HBarLog{ID: "chart-" + t.ID, Title: "Allergens against the threshold", Unit: "% w/w"}
	for _, row := range AllergenRows(v, x) {
		a := row.Total
		t.Add(allergenCells(v, row, true)...)
		chart.Rows = append(chart.Rows, document.HBar{Label: a.LabelName, Value: a.Worst.Max.Float(),
			Limit: a.ThresholdPct.Float(),
			Used:  document.PctCell(a.Worst.Max), Bound: document.PctCell(a.ThresholdPct), State: allergenState(a)})
	}
	sub.Add(t)
	if len(chart.Rows) > 0 {
		sub.Add(chart)
	}
	for _, r := range v.A.ByVariant(x.ID) {
		sub.Add(show.UnstatedNames(r)...)
	}
}

func allergenState(a listing.AllergenTotal) document.Verdict {
	if a.Verdict == listing.Open || a.Verdict == listing.Unstated {
		return document.VerdictOpen
	}
	return document.VerdictMet
}

func ingredientsOf(cs []formula.Contribution) []string {
	var ids []string
	for _, c := range cs {
		ids = words.AddOnce(ids, c.Ingredient)
	}
	return ids
}

// FragranceSection shows each scent and oil against its certificate.
func FragranceSection(v *show.View) *document.Section {
	s := &document.Section{ID: "fragrance", Title: "Fragrance certificates",
		Intro: "Use of each fragrance and oil in the whole product or the portion with most of it, against the category of its conformity certificate. Several together are screened by the sum of use ÷ limit, which is cautious: no certificate covers a blend."}
	t := &document.Table{ID: "fragrance-uses", SheetName: "Fragrance",
		Empty: "No fragrance or oil in it needs a certificate.",
		Columns: []document.Column{{Head: "Variant", Fixed: true}, {Head: "Fragrance", Weight: 1.4},
			{Head: "Category"}, {Head: "Use", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Highest in"},
			{Head: "Limit", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Use ÷ limit",
				Kind: document.KindNumber}, {Head: "Verdict"}, {Head: "Amendment",
				Kind: document.KindNumber}, {Head: "Dated"}}}
	sums := &document.Table{ID: "fragrance-sums", Title: "Several fragrances together", SheetName: "Fragrance",
		Empty: "No mixture holds more than one.",
		Columns: []document.Column{{Head: "Variant", Fixed: true}, {Head: "In"},
			{Head: "Fragrances with a limit", Kind: document.KindNumber}, {Head: "Σ use ÷ limit",
				Kind: document.KindNumber}, {Head: "Verdict"}}}
	chart := &document.HBarLog{ID: "chart-fragrance", Title: "Use against the certificate's limit",
		Unit: "% w/w"}
	for _, x := range v.Variants {
		r := v.First(x)
		for _, f := range r.Fragrances {
			t.Add(document.TextCell(show.ShortName(x)), document.TextCell(v.Material(f.Ingredient)),
				document.TextCell(f.Category), document.PctCell(f.UsePct), document.TextCell(show.WholeOr(f.Portion)),
				NumOr(f.LimitPct,
					"none known"), ratioCell(f.Ratio), fragranceVerdict(f.Status), amendmentCell(f), document.DateCell(f.Dated))
			if f.LimitPct != nil {
				chart.Rows = append(chart.Rows, document.HBar{Label: show.ShortName(x) + ": " + f.Ingredient,
					Value: f.UsePct.Float(), Limit: f.LimitPct.Float(),
					Used: document.PctCell(f.UsePct), Bound: document.PctCell(*f.LimitPct),
					State: FragranceState(f.Status)})
			}
		}
		for _, sum := range r.FragranceSums {
			if sum.Count > 1 {
				verdict := document.VerdictCell(document.VerdictMet, "within the screen")
				if exact.Int(1).Less(sum.Ratio) {
					verdict = document.VerdictCell(document.VerdictOpen, "screen failed: assessor to sum by substance")
				}
				sums.Add(document.TextCell(show.ShortName(x)), document.TextCell(show.WholeOr(sum.Portion)),
					document.IntCell(sum.Count), document.NumCell(sum.Ratio, document.RuleSig(4)), verdict)
			}
		}
	}
	s.Add(t)
	if len(chart.Rows) > 0 {
		s.Add(chart)
	}
	return s.Add(sums, standardsTable(v))
}

func NumOr(n *exact.Num, missing string) document.Cell {
	if n == nil {
		return document.MissingCell(missing)
	}
	return document.PctCell(*n)
}

func ratioCell(n *exact.Num) document.Cell {
	if n == nil {
		return document.BlankCell()
	}
	return document.NumCell(*n, document.RuleSig(4))
}

func amendmentCell(f standards.FragranceUse) document.Cell {
	if f.Amendment == 0 {
		return document.MissingCell("no certificate")
	}
	return document.IntCell(f.Amendment)
}

func fragranceVerdict(s standards.FragranceStatus) document.Cell {
	return document.VerdictCell(FragranceState(s), string(s))
}

func FragranceState(s standards.FragranceStatus) document.Verdict {
	switch s {
	case standards.FragranceKept, standards.FragranceNoLimit:
		return document.VerdictMet
	case standards.FragranceExceeded, standards.FragranceNotPermitted:
		return document.VerdictFail
	}
	return document.VerdictOpen
}
