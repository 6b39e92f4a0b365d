package dossier

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/ingredients"
)

// Document builds the report on a batch.
func (r *BatchReview) Document(w *Workshop, day ingredients.Date) *Document {
	b := r.Batch
	d := &Document{Title: "Batch report", Subtitle: b.Code, Language: "en-GB", Author: w.Maker.Name, Subject: "Batch " + b.Code, Date: day,
		Product: productName(b), Fingerprint: b.Fingerprint, Caution: "as far as files can tell; a named person decides on release", Marks: marks, NoContents: true}
	d.Sections = []*Section{r.headSection(w), r.linesSection(w), r.contentsSection(), r.findingsSection()}
	d.NumberSections()
	return d
}

func (r *BatchReview) headSection(w *Workshop) *Section {
	b := r.Batch
	sec := &Section{ID: "batch", Title: "Batch " + b.Code}
	title := "Not to be released as far as files can tell"
	if b.Released() {
		title = "Released, with points open"
	}
	if len(r.Open) == 0 {
		sec.Add(&Callout{Kind: CalloutNote, Title: "Nothing in the files speaks against release", Body: []*Paragraph{Para("Every figure that was written down is in order. What was not written down nobody has looked at: a named person checks the batch and decides.")}})
	} else {
		sec.Add(&Callout{Kind: CalloutStop, Title: title, Body: []*Paragraph{Para(r.openText() + ":")}}, List(r.Open...))
	}
	t := &Table{ID: "batch-facts", SheetName: "Batch", Columns: []Column{{Head: "Item", Fixed: true, Weight: 0.8}, {Head: "As recorded", Weight: 2, Kind: KindText}}}
	fact := func(label string, c Cell) { t.Add(TextCell(label), c) }
	fact("Product", TextCell(r.productText()))
	if r.Otherwise != "" {
		fact("Figures", TextCell(upperFirst(r.Otherwise)+"."))
	}
	fact("Date", DateCell(b.Date))
	fact("Made by", textOr(b.MadeBy))
	fact("State", TextCell(b.State()))
	fact("Decided by, on", textOr(strings.Trim(b.Release.By+", "+b.Release.Date.String(), ", ")))
	weighed := MissingCell("nothing yet")
	if !b.weighedG().IsZero() {
		weighed = NumCell(b.weighedG(), RuleExact).In("g")
	}
	fact("Weighed in", weighed)
	fact("Packs filled", unitsCell(b.Yield.FilledUnits))
	fact("Mass filled", r.filledCell())
	fact("Packs rejected", unitsCell(b.Yield.RejectedUnits))
	fact("Sample kept", r.retainedCell())
	fact("Labels used", unitsCell(b.Labels.Used))
	if r.Yield != nil {
		fact("Yield", TextCell(r.yieldText()))
	} else {
		fact("Yield", MissingCell("figures are missing"))
	}
	return sec.Add(t, r.checksTable())
}

// openText counts what is open: in the record, and beside it.
func (r *BatchReview) openText() string {
	text := pointsAre(len(r.Open)) + " open"
	if beside := len(r.Open) - r.OpenInRecord; beside > 0 && r.OpenInRecord > 0 {
		text += fmt.Sprintf(", %d in the record and %d about the product or its assessment", r.OpenInRecord, beside)
	}
	return text
}

// yieldText words the yield, with what is usual and what cannot be.
func (r *BatchReview) yieldText() string {
	y := r.Yield
	text := y.Pct.Fixed(1) + " % of what was weighed in"
	if y.OverG.Sign() > 0 {
		return text + ": " + y.OverG.Sig(4) + " g more than there was"
	}
	return text + ", usual " + y.LowPct.Sig(3) + " to " + y.HighPct.Sig(3) + " %"
}

func (r *BatchReview) filledCell() Cell {
	y := r.Batch.Yield
	if y.FilledG == nil {
		return MissingCell("not filled in")
	}
	text := y.FilledG.Exact() + " g"
	switch {
	case r.Product == nil || r.Product.DriesPct().IsZero():
	case y.Dried == nil:
		return MissingCell(text + "; wet or after drying is not filled in")
	case *y.Dried:
		text += ", after drying"
	default:
		text += ", wet"
	}
	return TextCell(text)
}

func (r *BatchReview) productText() string {
	text := productName(r.Batch)
	if r.Product != nil {
		text = r.Product.Name + " (" + text + ")"
	}
	if r.Batch.Revision > 0 {
		text += ", revision " + itoa(r.Batch.Revision)
	}
	if r.Product != nil && r.Batch.Revision > 0 && r.Batch.Revision != r.Product.Revision {
		text += "; the formula is at revision " + itoa(r.Product.Revision) + " now"
	}
	return text
}

// checkName heads a row; the p of pH stays small.
func checkName(what string) string {
	if what == "pH" {
		return what
	}
	return upperFirst(what)
}

func unitsCell(n *int) Cell {
	if n == nil {
		return MissingCell("not filled in")
	}
	return IntCell(*n)
}

func (r *BatchReview) retainedCell() Cell {
	k := r.Batch.Retained
	var parts []string
	if k.Units != nil {
		parts = append(parts, count(*k.Units, "pack", "packs"))
	}
	if k.G != nil {
		parts = append(parts, k.G.Exact()+" g")
	}
	if len(parts) == 0 {
		return MissingCell("not filled in")
	}
	if k.Where != "" {
		parts = append(parts, k.Where)
	}
	return TextCell(joinNames(parts))
}

func (r *BatchReview) checksTable() *Table {
	t := &Table{ID: "batch-checks", Title: "Checks", SheetName: "Checks", Empty: "No check is recorded.", Columns: []Column{{Head: "Check", Fixed: true}, {Head: "Wanted", Weight: 1.5}, {Head: "Found", Weight: 1.5}, {Head: "Verdict"}, {Head: "By"}}}
	for _, c := range r.Batch.Checks {
		found := TextCell(c.Found)
		if c.Found == "" {
			found = MissingCell("not filled in")
		}
		verdict := VerdictCell(VerdictOpen, "not judged")
		switch {
		case c.OK != nil && !*c.OK || outside(c):
			verdict = VerdictCell(VerdictFail, "not in order")
		case c.OK != nil:
			verdict = VerdictCell(VerdictMet, "in order")
		case c.Found != "":
			verdict = VerdictCell(VerdictMet, "as recorded")
		}
		t.Add(TextCell(checkName(c.What)), textOr(c.Wanted), found, verdict, TextCell(c.By))
	}
	return t
}

// linesSection compares each mass with its plan.
func (r *BatchReview) linesSection(w *Workshop) *Section {
	sec := &Section{ID: "weighed", Title: "Weighed against plan"}
	t := &Table{ID: "batch-lines", SheetName: "Weighed", Columns: []Column{{Head: "Raw material", Fixed: true, Weight: 1.4}, {Head: "Where"}, {Head: "Planned", Unit: "g", Kind: KindNumber},
		{Head: "Weighed", Unit: "g", Kind: KindNumber}, {Head: "Off", Unit: "g", Kind: KindNumber}, {Head: "Allowed", Unit: "± g", Kind: KindNumber}, {Head: "Verdict"}, {Head: "Lot", Weight: 1.2}}}
	at := 0
	for _, l := range r.Batch.Lines {
		off, allowed, verdict := BlankCell(), BlankCell(), VerdictCell(VerdictOpen, "not weighed")
		if l.WeighedG != nil {
			off, allowed, verdict = r.deviationCells(at)
			at++
		}
		t.Add(TextCell(l.Ingredient), TextCell(placeIn(l)), gramsCell(l.PlannedG, "by need"), gramsCell(l.WeighedG, "not filled in"), off, allowed, verdict, TextCell(lotsText(l.Lots)))
	}
	t.Total(TextCell("Sum"), BlankCell(), BlankCell(), NumCell(r.Batch.weighedG(), RuleExact), BlankCell(), BlankCell(), BlankCell(), BlankCell())
	sec.Add(t)
	if len(r.Batch.Portions) > 0 {
		p := &Table{ID: "batch-portions", Title: "Base in each portion", SheetName: "Portions", Columns: []Column{{Head: "Portion", Fixed: true, Weight: 1.6}, {Head: "Planned", Unit: "g", Kind: KindNumber}, {Head: "Weighed", Unit: "g", Kind: KindNumber}}}
		for _, x := range r.Batch.Portions {
			p.Add(TextCell(x.Name), gramsCell(x.PlannedG, "not planned"), gramsCell(x.BaseG, "not filled in"))
		}
		if r.Base != nil {
			p.Total(TextCell("All"), BlankCell(), NumCell(r.Base.OutG, RuleExact))
			p.Total(TextCell("Base weighed in"), BlankCell(), NumCell(r.Base.InG, RuleExact))
		}
		sec.Add(p)
	}
	return sec
}

// deviationCells shows the deviation of line i of what was weighed.
func (r *BatchReview) deviationCells(i int) (off, allowed, verdict Cell) {
	for _, d := range r.Deviations {
		if d.Line != i {
			continue
		}
		off, allowed = NumCell(d.DiffG, RuleExact), NumCell(d.AllowedG, RuleSig(3))
		if d.Rule != nil {
			allowed = allowed.MarkedIf(d.Rule.FromMemory(), memoryMark)
		}
		if d.Within {
			return off, allowed, VerdictCell(VerdictMet, "within")
		}
		return off, allowed, VerdictCell(VerdictFail, "off")
	}
	return BlankCell(), BlankCell(), VerdictCell(VerdictNone, "no plan")
}

func placeIn(l BatchLine) string {
	var parts []string
	if l.Phase != "" {
		parts = append(parts, "phase "+l.Phase)
	}
	if l.Portion != "" {
		parts = append(parts, l.Portion)
	}
	if l.Added {
		parts = append(parts, "stirred in last")
	}
	return joinNames(parts)
}

func gramsCell(n *ingredients.Num, missing string) Cell {
	if n == nil {
		return MissingCell(missing)
	}
	return NumCell(*n, RuleExact)
}

func lotsText(lots []BatchLot) string {
	var parts []string
	for _, l := range lots {
		text := l.Lot
		if l.SupplierLot != "" {
			text = strings.TrimSpace(text + " (supplier " + l.SupplierLot + ")")
		}
		if !l.BestBefore.IsZero() {
			text += ", until " + l.BestBefore.String()
		}
		if l.G != nil {
			text += ": " + l.G.Exact() + " g"
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, "\n")
}

func (r *BatchReview) findingsSection() *Section {
	return (&Section{ID: "findings", Title: "Findings"}).Add(&FindingList{ID: "batch-findings", Findings: r.Findings, Empty: "Nothing was found."})
}

// BatchList builds the list of all batches, the newest first.
func BatchList(w *Workshop, day ingredients.Date) *Document {
	d := &Document{Title: "Batches", Language: "en-GB", Author: w.Maker.Name, Date: day, NoContents: true}
	t := &Table{ID: "batches", SheetName: "Batches", Empty: "No batch is on record. gallipot weigh PRODUCT/VARIANT --batch 2kg --record makes one.",
		Columns: []Column{{Head: "Batch", Fixed: true}, {Head: "Date", Kind: KindText}, {Head: "Product", Weight: 1.6}, {Head: "Revision", Kind: KindNumber}, {Head: "Weighed in", Unit: "g", Kind: KindNumber}, {Head: "Packs", Kind: KindNumber}, {Head: "State"}}}
	list := slices.Clone(w.BatchRecords)
	slices.SortStableFunc(list, func(a, b *Batch) int { return int(b.Date) - int(a.Date) })
	for _, b := range list {
		revision := MissingCell("not stated")
		if b.Revision > 0 {
			revision = IntCell(b.Revision)
		}
		weighed := MissingCell("nothing yet")
		if !b.weighedG().IsZero() {
			weighed = NumCell(b.weighedG(), RuleExact)
		}
		t.Add(TextCell(b.Code), DateCell(b.Date), TextCell(productName(b)), revision, weighed, unitsCell(b.Yield.FilledUnits), TextCell(b.State()))
	}
	d.AddSection("on-record", "Batches on record").Add(t)
	return d
}
