package pack

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/dossier/document"
	"gallipot/dossier/profile"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/stability"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// What stands on the pages of a pack: the sections that a terminal shows and the
// workbook keeps, cut down to what a judgement rests on.

// formulaPages is the formula without pictures of it.
func formulaPages(v *show.View) *document.Section {
	s := sections.FormulaSection(v)
	sections.WithoutCharts(s)
	return s
}

// methodPages say in a few lines how the product is made; the steps stand in C.1.
func methodPages(v *show.View) *document.Section {
	s := &document.Section{ID: "method", Title: "Method in short"}
	var steps []string
	for _, x := range v.A.Product.Process {
		var at []string
		for _, f := range []struct {
			n    *exact.Num
			unit string
		}{{x.TempC, "°C"}, {x.Minutes, "min"}, {x.RPM, "1/min"}} {
			if f.n != nil {
				at = append(at, f.n.Exact()+"\u00a0"+f.unit)
			}
		}
		step := lowered(strings.TrimSuffix(x.Do, "."))
		if len(at) > 0 {
			step += " (" + strings.Join(at, ", ") + ")"
		}
		steps = append(steps, step)
	}
	if len(steps) == 0 {
		return s.Add(document.Para("□ The product file states no method of manufacture."))
	}
	return s.Add(document.Para(words.UpperFirst(strings.Join(steps, "; ")) + ". By phases and steps: C.1."))
}

// compositionPages show each substance once: its range in the variant with most of
// it, and the highest content in each variant.
func compositionPages(v *show.View) *document.Section {
	s := &document.Section{ID: "composition", Title: "Composition by substance",
		Intro: "Raw materials split into their substances and added up by name. Where a supplier gives a range, lowest and highest are what can add up to 100 in that raw material, and typical is the supplier's own value or computed. The assessment uses the highest."}
	if v.IsRange() {
		t := plain(sections.CompositionOfRange(v))
		t.ID, t.Title = "substances", "Substances over all variants"
		return s.Add(t)
	}
	t := &document.Table{ID: "substances", Title: "Substances by variant",
		Remark: "% w/w; lowest, typical and highest in the variant with most; then the highest by variant",
		Columns: []document.Column{
			{Head: "Substance (INCI)", Fixed: true, Weight: 1.6}, {Head: "CAS"}, {Head: "EC"}, {Head: "Lowest",
				Kind: document.KindNumber}, {Head: "Typical", Kind: document.KindNumber}, {Head: "Highest",
				Kind: document.KindNumber},
		}}
	if len(v.Variants) > 1 {
		for _, x := range v.Variants {
			t.Columns = append(t.Columns, document.Column{Head: show.ShortName(x), Kind: document.KindNumber})
		}
	}
	for _, sub := range v.Substances() {
		t.Add(substanceRow(v, sub)...)
	}
	t.Note("Grey: equal to the first variant. – no number in the supplier's documents, or none exists. Fragrances and oils stand here as a whole; what is declared inside them is part of these figures and stands under allergens.")
	s.Add(t)
	if sections.PortionTables(v, &document.Section{}) > 0 {
		s.Add(&document.Paragraph{Small: true,
			Spans: []document.Span{{Text: "Portions of a pack that a user may take alone are computed each on its own: spreadsheet, sheet Composition."}}})
	}
	return s
}

func substanceRow(v *show.View, sub *formula.Substance) []document.Cell {
	var most exact.Range
	var highest []document.Cell
	for i, x := range v.Variants {
		c := sections.ContentCell(v.First(x).Whole(), sub)
		if c.Kind != document.CellRange {
			highest = append(highest, document.BlankCell())
			continue
		}
		if most.Max.Less(c.Range.Max) || most.Max.IsZero() {
			most = c.Range
		}
		cell := document.PctCell(c.Range.Max)
		highest = append(highest, cell.Dim(i > 0 && highest[0].Kind == document.CellNum &&
			highest[0].String() == cell.String()))
	}
	row := []document.Cell{document.TextCell(show.SubstanceName(sub)), dashOr(sub.CAS), dashOr(sub.EC),
		document.PctCell(most.Min), document.PctCell(most.Typ), document.PctCell(most.Max)}
	if len(v.Variants) > 1 {
		row = append(row, highest...)
	}
	return row
}

func dashOr(number string) document.Cell {
	if number == "" {
		return document.MissingCell("–")
	}
	return document.TextCell(number)
}

// allergenPages show all variants in one table.
func allergenPages(v *show.View) *document.Section {
	s := &document.Section{ID: "allergens", Title: "Declarable fragrance allergens"}
	if v.IsRange() {
		blocks := sections.AllergensOfRange(v)
		t, _ := blocks[0].(*document.Table)
		t.ID, t.Title = "allergens-variants", "Highest totals of all variants"
		return s.Add(plain(t)).Add(unstatedNote(v)...)
	}
	t := &document.Table{ID: "allergens-variants", Title: "Totals over all raw materials",
		Empty: "No declarable allergen is known to be in it.", Columns: []document.Column{{Head: "Label name",
			Fixed: true}, {Head: "Entry"}, {Head: "Threshold", Kind: document.KindNumber}, {Head: "Lowest",
			Kind: document.KindNumber}}}
	t.Remark = "% w/w; in the whole or the portion with most; lowest: in the variant with most, where a supplier gives a range"
	for _, x := range v.Variants {
		head := show.ShortName(x)
		if len(v.Variants) == 1 {
			head = "Highest"
		}
		t.Columns = append(t.Columns, document.Column{Head: head, Kind: document.KindNumber})
	}
	for _, m := range v.A.Markets {
		t.Columns = append(t.Columns, document.Column{Head: string(m), Kind: document.KindText})
	}
	for _, a := range allergensOver(v) {
		low := document.BlankCell()
		if !a.most.IsExact() {
			low = document.PctCell(a.most.Min)
		}
		row := []document.Cell{document.TextCell(a.total.LabelName), document.TextCell("III/" + a.total.Row.Entry),
			document.PctCell(a.total.ThresholdPct).MarkedIf(a.total.Row.FromMemory(), show.MemoryMark), low}
		row = append(row, a.highest...)
		for _, m := range v.A.Markets {
			verdict, listed := a.verdicts[m]
			if !listed {
				verdict = document.TextCell("–\u00a0not on the list")
			}
			row = append(row, verdict)
		}
		t.Add(row...)
	}
	t.Note("A name is declared when the total exceeds the threshold; where a range straddles it the name is declared by caution. Totals are only as good as the suppliers' declarations. What each total is made of: D.2.")
	return s.Add(t).Add(unstatedNote(v)...)
}

// allergenOver is a total over all variants.
type allergenOver struct {
	total    listing.AllergenTotal
	most     exact.Range
	highest  []document.Cell
	verdicts map[rows.Market]document.Cell
	rank     map[rows.Market]int
}

// allergensOver joins the totals of all variants and markets by label name, the
// highest first; the gravest verdict of any variant speaks for a market.
func allergensOver(v *show.View) []*allergenOver {
	var list []*allergenOver
	at := map[string]*allergenOver{}
	for i, x := range v.Variants {
		for _, row := range sections.AllergenRows(v, x) {
			a := at[row.Total.LabelName]
			if a == nil {
				a = &allergenOver{total: row.Total, highest: make([]document.Cell, len(v.Variants)),
					verdicts: map[rows.Market]document.Cell{}, rank: map[rows.Market]int{}}
				at[row.Total.LabelName] = a
				list = append(list, a)
			}
			if a.most.Max.Less(row.Total.Worst.Max) {
				a.most = row.Total.Worst
			}
			if old := a.highest[i]; old.Kind == document.CellBlank || old.Num.Less(row.Total.Worst.Max) {
				a.highest[i] = document.NumCell(row.Total.Worst.Max, document.RulePctBeside(row.Total.ThresholdPct))
			}
			for m := range row.Verdicts {
				verdict, rank := shortAllergen(row.Total)
				old := a.rank[m]
				if named, open := 3, 4; old != 0 && old != rank && min(old, rank) == named && max(old, rank) >= open {
					rank, verdict = open+1, document.VerdictCell(document.VerdictOpen, "named, partly not stated")
				}
				if rank > old {
					a.rank[m], a.verdicts[m] = rank, verdict
				}
			}
		}
	}
	slices.SortStableFunc(list, func(a, b *allergenOver) int {
		return cmp.Or(b.most.Max.Cmp(a.most.Max), cmp.Compare(a.total.LabelName, b.total.LabelName))
	})
	return list
}

func shortAllergen(a listing.AllergenTotal) (document.Cell, int) {
	switch a.Verdict {
	case listing.Declare:
		return document.VerdictCell(document.VerdictMet, "named"), 3
	case listing.Open:
		return document.VerdictCell(document.VerdictOpen, "by caution"), 2
	case listing.Unstated:
		return document.MissingCell("□\u00a0not stated"), 4
	}
	return document.VerdictCell(document.VerdictNone, "below"), 1
}

// unstatedNote counts the names that no document speaks of, once for each market.
func unstatedNote(v *show.View) (blocks []document.Block) {
	for _, m := range v.A.Markets {
		var names, by, in []string
		for _, x := range v.Variants {
			for _, r := range v.A.ByVariant(x.ID) {
				if r.Input.Market != m {
					continue
				}
				for _, a := range r.Allergens {
					if a.Verdict == listing.Unstated && a.Worst.IsZero() {
						names, in = words.AddOnce(names, a.LabelName), words.AddOnce(in, show.ShortName(x))
						for _, id := range a.Uncovered {
							by = words.AddOnce(by, materialName(v, id))
						}
					}
				}
			}
		}
		if len(names) > 0 {
			blocks = append(blocks,
				document.Para("□ Not stated: "+words.Count(len(names), "name",
					"names")+" of the "+string(m)+" list, in "+words.JoinNames(in)+", until "+strings.Join(by,
					" and ")+" is declared against the full list. These totals are unknown, not zero; the names stand in the spreadsheet, sheet Allergens."))
		}
	}
	return blocks
}

// listPages show the ingredient lists together.
func listPages(v *show.View) *document.Section {
	s := &document.Section{ID: "ingredient-lists", Title: "Ingredient lists",
		Intro: "In the order of Article 19(1)(g): descending by typical content down to 1 %, then those below 1 %, colourants last. A name in square brackets stands for a substance with no name yet; such a list cannot be printed."}
	t := &document.Table{ID: "ingredient-lists-all", Title: "Ingredient lists by variant",
		Columns: []document.Column{{Head: "Variant", Fixed: true}, {Head: "Markets"},
			{Head: "Ingredients", Weight: 4}}}
	for _, x := range v.Variants {
		for _, g := range sections.SameLists(v, x) {
			t.Add(document.TextCell(words.OrWord(x.ID, v.A.Product.ID)), document.TextCell(words.JoinNames(g.Markets)),
				document.TextCell(g.Result.List.Line()))
		}
	}
	return s.Add(t, sections.OpenOrderTable(v))
}

// limitPages show the law by market: entries that apply and those looked at that do
// not.
func limitPages(v *show.View) *document.Section {
	s := &document.Section{ID: "limits", Title: "Legal limits by market",
		Intro: "By the law of " + v.A.Options.Date.String() +
			". Contents are the highest that the documents allow, counted on the basis the law names, in the variant and portion with most of it. A substance without an entry is on no list in the tables. " +
			sections.ProhibitedHeld}
	apply := &document.Table{ID: "law-apply", Title: "Entries that apply or may apply", Remark: "% w/w",
		Empty: "There is none.", Columns: []document.Column{{Head: "Entry"},
			{Head: "Substance", Fixed: true, Weight: 1.2}, {Head: "Variant"}, {Head: "Content",
				Kind: document.KindNumber}, {Head: "Limit", Kind: document.KindNumber}}}
	other := &document.Table{ID: "law-other-entries", Title: "Entries looked at that do not apply",
		Empty: "There is none.", Columns: []document.Column{{Head: "Entry"}, {Head: "Substances", Weight: 1.4},
			{Head: "Markets"}, {Head: "Reason", Weight: 2}}}
	for _, m := range v.A.Markets {
		apply.Columns = append(apply.Columns, document.Column{Head: string(m), Kind: document.KindText})
	}
	apply.Columns = append(apply.Columns, document.Column{Head: "Reason", Weight: 2})
	all := sections.LimitRows(v)
	slices.SortStableFunc(all, func(a, b *sections.LimitRow) int {
		return cmp.Or(cmp.Compare(limitGravity(a), limitGravity(b)), cmp.Compare(annexRank(a.Check.Row.Annex),
			annexRank(b.Check.Row.Annex)))
	})
	reasons := map[string]int{} // row of the table, by entry, substances and markets
	for _, row := range all {
		c := row.Check
		entry := document.TextCell(c.Row.Annex + "/" + c.Row.Entry)
		if c.Verdict == limits.LimitNotApplicable {
			names, markets := words.JoinNames(c.Substances), sections.MarketsText(row.Markets)
			reason := strings.Replace(c.Reason, "the row is", "the entry is", 1)
			key := strings.Join([]string{entry.Text, names, markets}, "\x00")
			if i, there := reasons[key]; there {
				cell := &other.Rows[i].Cells[3]
				if !slices.Contains(strings.Split(cell.Text, "; "), reason) {
					cell.Text += "; " + reason
				}
				continue
			}
			reasons[key] = len(other.Rows)
			other.Add(entry, document.TextCell(names), document.TextCell(markets), document.TextCell(reason))
			continue
		}
		content := document.PctCell(c.Content.Max)
		if c.LimitPct != nil && !c.LimitPct.IsZero() {
			content = content.By(document.RulePctBeside(*c.LimitPct))
		}
		where := row.Variant
		if c.WorstIn != "" {
			where += ", " + c.WorstIn
		}
		cells := []document.Cell{entry, document.TextCell(words.JoinNames(c.Substances)), document.TextCell(where),
			content, sections.NumOr(c.LimitPct, "–").MarkedIf(c.Row.FromMemory(), show.MemoryMark)}
		for _, m := range v.A.Markets {
			verdict := document.BlankCell()
			if slices.Contains(row.Markets, m) {
				verdict = show.LimitVerdict(c.Verdict)
			}
			cells = append(cells, verdict)
		}
		apply.Add(append(cells, document.TextCell(c.Reason))...)
	}
	return s.Add(apply, wordingTable(v), other)
}

// limitGravity puts what someone must act on first, then the annexes in their order.
func limitGravity(r *sections.LimitRow) int {
	switch r.Check.Verdict {
	case limits.LimitExceeded:
		return 0
	case limits.LimitUndecided:
		return 1
	}
	return 2
}

func annexRank(annex string) int {
	return slices.IndexFunc(lawAnnexes, func(a struct{ annex, subject string }) bool { return a.annex == annex })
}

func wordingTable(v *show.View) *document.Table {
	t, _ := sections.WordingSection(v).Blocks[0].(*document.Table)
	t.Title = "Wording that the annexes ask for on the label"
	return t
}

// fragrancePages show certificates and Standards without a picture of them.
func fragrancePages(v *show.View) *document.Section {
	s := sections.FragranceSection(v)
	sections.WithoutCharts(s)
	t, _ := s.Blocks[0].(*document.Table)
	t.Title = "Use against the certificate's limit"
	return s
}

// characteristicsPages leave out what nobody filled in.
func characteristicsPages(v *show.View) *document.Section {
	s := sections.CharacteristicsSection(v)
	for _, b := range s.Blocks {
		switch t := b.(*document.Table); t.ID {
		case "characteristics-materials":
			withoutUnfilled(t, "Not supplied")
			for _, r := range t.Rows {
				for j, cell := range r.Cells {
					if cell.Kind == document.CellMissing {
						r.Cells[j].Text = "□"
					}
				}
			}
			t.Remark = "□ not supplied"
			functions := map[string]string{}
			for _, m := range v.A.UsedSheets() {
				functions[cmp.Or(m.Name, m.ID)] = strings.Join(m.Functions, ", ")
			}
			t.Columns = append(t.Columns, document.Column{Head: "Function", Weight: 1.4},
				document.Column{Head: "Composition"})
			for i, m := range v.A.UsedSheets() {
				t.Rows[i].Cells = append(t.Rows[i].Cells, show.TextOr(functions[cmp.Or(m.Name, m.ID)]),
					sections.CompositionCell(m))
			}
		case "characteristics-substances":
			withoutUnfilled(without(t, "Row"), "Not in the tables")
		}
	}
	return s
}

// stabilityPages show tests, readings and what they support; of the curves that of the pH,
// beside what storage stands for.
func stabilityPages(v *show.View) *document.Section {
	s := saidOnce(stability.StabilitySection(v), "stability-tests", "stability-")
	if len(v.A.Product.Stability) == 0 {
		s.Intro = ""
	}
	var curve *document.LineBand
	for _, b := range s.Blocks {
		if c, ok := b.(*document.LineBand); ok && c.YLabel == "pH" && curve == nil {
			curve = c
		}
	}
	sections.WithoutCharts(s)
	for i, b := range s.Blocks {
		if t, ok := b.(*document.Table); ok && t.ID == "stability-life" && curve != nil && len(t.Rows) > 0 {
			s.Blocks[i] = &document.Beside{Share: 0.58, Left: []document.Block{curve}, Right: []document.Block{t}}
		}
	}
	return s
}

// impuritiesPages name who states no impurity.
func impuritiesPages(v *show.View) *document.Section {
	s := sections.ImpuritiesSection(v)
	s.Blocks[0] = tracePages(v)
	if t, ok := s.Blocks[1].(*document.Table); ok {
		without(t, "Row")
		for i, r := range t.Rows {
			t.Rows[i].Cells[0] = document.TextCell(materialName(v, r.Cells[0].Text))
		}
	}
	return s.Add(profile.ExpectedTable(v))
}

// contributionPages show what the contents are made of that a verdict rests on: those
// with a limit, the allergens on the label, and the lowest margins.
func contributionPages(v *show.View) *document.Section {
	s := &document.Section{ID: "contributions", Title: "How each content is made up",
		Intro: "Use of the raw material × content of the substance in it, for the contents that a verdict rests on: those with a legal limit, the allergens named on the label, and the lowest margins. All others stand in the spreadsheet, sheet Contributions."}
	wanted := map[string]bool{}
	for _, row := range sections.LimitRows(v) {
		if c := row.Check; c.LimitPct != nil && c.Verdict != limits.LimitNotApplicable {
			for _, name := range c.Substances {
				wanted[name] = true
			}
		}
	}
	for i, m := range lowestMargins(v) {
		wanted[m.name] = wanted[m.name] || i < mostLow
	}
	for _, r := range v.A.Results {
		for _, a := range r.Allergens {
			for _, c := range a.Contributions {
				if a.OnLabel() {
					wanted[allergenMember(r, c)] = true
				}
			}
		}
	}
	t := &document.Table{ID: "contributions-verdicts", Title: "Contributions", Remark: "% w/w",
		Columns: []document.Column{
			{Head: "Substance", Fixed: true, Weight: 1.3}, {Head: "Raw material", Weight: 1.3}, {Head: "Use",
				Kind: document.KindNumber},
			{Head: "In the material", Kind: document.KindRange}, {Head: "Gives",
				Kind: document.KindRange}, {Head: "Variants"}}}
	substance := ""
	for _, c := range sections.Contributions(v) {
		if !wanted[c.Substance] {
			continue
		}
		name := document.BlankCell()
		if c.Substance != substance {
			substance, name = c.Substance, document.TextCell(c.Substance)
		}
		t.Add(name, document.TextCell(materialName(v, c.Ingredient)), document.PctCell(c.UsePct),
			document.RangeCell(c.InMaterial), document.RangeCell(c.Pct), document.TextCell(c.Where()))
	}
	return s.Add(t)
}

// allergenMember is the substance behind a contribution to an allergen's total.
func allergenMember(r *calc.Result, c formula.Contribution) string {
	for _, s := range r.Whole().Substances {
		for _, x := range s.Contributions {
			if x.Ingredient == c.Ingredient && x.SourcePos == c.SourcePos {
				return show.SubstanceName(s)
			}
		}
	}
	return ""
}
