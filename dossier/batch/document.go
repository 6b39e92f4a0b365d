package batch

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/soap"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/wanted"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Document builds the report on a batch.
func (r *BatchReview) Document(w *workshop.Workshop, day exact.Date) *document.Document {
	b := r.Batch
	d := &document.Document{Title: "Batch report", Subtitle: b.Code, Language: "en-GB", Author: w.Maker.Name,
		Subject: "Batch " + b.Code, Date: day,
		Product: productName(b), Fingerprint: b.Fingerprint,
		Caution: "as far as files can tell; a named person decides on release", Marks: show.Marks, NoContents: true}
	d.Sections = []*document.Section{r.headSection(w), r.linesSection(w), r.contentsSection(),
		r.findingsSection()}
	d.NumberSections()
	return d
}

func (r *BatchReview) headSection(w *workshop.Workshop) *document.Section {
	b := r.Batch
	sec := &document.Section{ID: "batch", Title: "Batch " + b.Code}
	title := "Not to be released as far as files can tell"
	if b.Released() {
		title = "Released, with points open"
	}
	if len(r.Open) == 0 {
		sec.Add(&document.Callout{Kind: document.CalloutNote, Title: "Nothing in the files speaks against release",
			Body: []*document.Paragraph{document.Para("Every figure that was written down is in order. What was not written down nobody has looked at: a named person checks the batch and decides.")}})
	} else {
		sec.Add(&document.Callout{Kind: document.CalloutStop, Title: title,
			Body: []*document.Paragraph{document.Para(r.openText() + ":")}}, document.List(r.Open...))
	}
	t := &document.Table{ID: "batch-facts", SheetName: "Batch",
		Columns: []document.Column{{Head: "Item", Fixed: true, Weight: 0.8},
			{Head: "As recorded", Weight: 2, Kind: document.KindText}}}
	fact := func(label string, c document.Cell) { t.Add(document.TextCell(label), c) }
	fact("Product", document.TextCell(r.productText()))
	if r.Otherwise != "" {
		fact("Figures", document.TextCell(words.UpperFirst(r.Otherwise)+"."))
	}
	fact("Date", document.DateCell(b.Date))
	fact("Made by", show.TextOr(b.MadeBy))
	fact("State", document.TextCell(b.State()))
	fact("Decided by, on", show.TextOr(strings.Trim(b.Release.By+", "+b.Release.Date.String(), ", ")))
	weighed := document.MissingCell("nothing yet")
	if !b.WeighedG().IsZero() {
		weighed = document.NumCell(b.WeighedG(), document.RuleExact).In("g")
	}
	fact("Weighed in", weighed)
	fact("Packs filled", unitsCell(b.Yield.FilledUnits))
	fact("Mass filled", r.filledCell())
	fact("Packs rejected", unitsCell(b.Yield.RejectedUnits))
	fact("Sample kept", r.retainedCell())
	fact("Labels used", unitsCell(b.Labels.Used))
	if r.Yield != nil {
		fact("Yield", document.TextCell(r.yieldText()))
	} else {
		fact("Yield", document.MissingCell("figures are missing"))
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

func (r *BatchReview) filledCell() document.Cell {
	y := r.Batch.Yield
	if y.FilledG == nil {
		return document.MissingCell("not filled in")
	}
	text := y.FilledG.Exact() + " g"
	switch {
	case r.Product == nil || soap.DriesPct(r.Product.Product).IsZero():
	case y.Dried == nil:
		return document.MissingCell(text + "; wet or after drying is not filled in")
	case *y.Dried:
		text += ", after drying"
	default:
		text += ", wet"
	}
	return document.TextCell(text)
}

func (r *BatchReview) productText() string {
	text := productName(r.Batch)
	if r.Product != nil {
		text = r.Product.Name + " (" + text + ")"
	}
	if r.Batch.Revision > 0 {
		text += ", revision " + words.Itoa(r.Batch.Revision)
	}
	if r.Product != nil && r.Batch.Revision > 0 && r.Batch.Revision != r.Product.Revision {
		text += "; the formula is at revision " + words.Itoa(r.Product.Revision) + " now"
	}
	return text
}

func unitsCell(n *int) document.Cell {
	if n == nil {
		return document.MissingCell("not filled in")
	}
	return document.IntCell(*n)
}

func (r *BatchReview) retainedCell() document.Cell {
	k := r.Batch.Retained
	var parts []string
	if k.Units != nil {
		parts = append(parts, words.Count(*k.Units, "pack", "packs"))
	}
	if k.G != nil {
		parts = append(parts, k.G.Exact()+" g")
	}
	if len(parts) == 0 {
		return document.MissingCell("not filled in")
	}
	if k.Where != "" {
		parts = append(parts, k.Where)
	}
	return document.TextCell(words.JoinNames(parts))
}

func (r *BatchReview) checksTable() *document.Table {
	t := &document.Table{ID: "batch-checks", Title: "Checks", SheetName: "Checks",
		Empty: "No check is recorded.", Columns: []document.Column{{Head: "Check", Fixed: true},
			{Head: "Wanted", Weight: 1.5}, {Head: "Found", Weight: 1.5}, {Head: "Verdict"}, {Head: "By"}}}
	for _, c := range r.Batch.Checks {
		found := document.TextCell(c.Found)
		if c.Found == "" {
			found = document.MissingCell("not filled in")
		}
		verdict := document.VerdictCell(document.VerdictOpen, "not judged")
		switch {
		case c.OK != nil && !*c.OK || wanted.Of(c.Found, c.Wanted) == wanted.Outside:
			verdict = document.VerdictCell(document.VerdictFail, "not in order")
		case uncompared(c):
			verdict = document.VerdictCell(document.VerdictOpen, "not compared")
		case c.OK != nil:
			verdict = document.VerdictCell(document.VerdictMet, "in order")
		case c.Found != "":
			verdict = document.VerdictCell(document.VerdictMet, "as recorded")
		}
		t.Add(document.TextCell(words.CheckName(c.What)), show.TextOr(c.Wanted), found, verdict,
			document.TextCell(c.By))
	}
	return t
}

// linesSection compares each mass with its plan.
func (r *BatchReview) linesSection(w *workshop.Workshop) *document.Section {
	sec := &document.Section{ID: "weighed", Title: "Weighed against plan"}
	t := &document.Table{ID: "batch-lines", SheetName: "Weighed",
		Columns: []document.Column{{Head: "Raw material", Fixed: true, Weight: 1.4}, {Head: "Where"},
			{Head: "Planned", Unit: "g", Kind: document.KindNumber},
			{Head: "Weighed", Unit: "g", Kind: document.KindNumber}, {Head: "Off", Unit: "g",
				Kind: document.KindNumber}, {Head: "Allowed", Unit: "± g",
				Kind: document.KindNumber}, {Head: "Verdict"}, {Head: "Lot", Weight: 1.2}}}
	at := 0
	for _, l := range r.Batch.Lines {
		off, allowed, verdict := document.BlankCell(), document.BlankCell(),
			document.VerdictCell(document.VerdictOpen, "not weighed")
		if l.WeighedG != nil {
			off, allowed, verdict = r.deviationCells(at)
			at++
		}
		t.Add(document.TextCell(w.Material(l.Ingredient).Text), document.TextCell(placeIn(l)),
			gramsCell(l.PlannedG, "by need"),
			gramsCell(l.WeighedG, "not filled in"), off, allowed, verdict, document.TextCell(lotsText(l.Lots)))
	}
	t.Total(document.TextCell("Sum"), document.BlankCell(), document.BlankCell(),
		document.NumCell(r.Batch.WeighedG(),
			document.RuleExact), document.BlankCell(), document.BlankCell(), document.BlankCell(), document.BlankCell())
	sec.Add(t)
	if len(r.Batch.Portions) > 0 {
		p := &document.Table{ID: "batch-portions", Title: "Base in each portion", SheetName: "Portions",
			Columns: []document.Column{{Head: "Portion", Fixed: true, Weight: 1.6},
				{Head: "Planned", Unit: "g", Kind: document.KindNumber}, {Head: "Weighed", Unit: "g",
					Kind: document.KindNumber}}}
		for _, x := range r.Batch.Portions {
			p.Add(document.TextCell(x.Name), gramsCell(x.PlannedG, "not planned"), gramsCell(x.BaseG, "not filled in"))
		}
		if r.Base != nil {
			p.Total(document.TextCell("All"), document.BlankCell(), document.NumCell(r.Base.OutG, document.RuleExact))
			p.Total(document.TextCell("Base weighed in"), document.BlankCell(),
				document.NumCell(r.Base.InG, document.RuleExact))
		}
		sec.Add(p)
	}
	return sec
}

// deviationCells shows the deviation of line i of what was weighed.
func (r *BatchReview) deviationCells(i int) (off, allowed, verdict document.Cell) {
	for _, d := range r.Deviations {
		if d.Line != i {
			continue
		}
		off, allowed = document.NumCell(d.DiffG, document.RuleExact), document.NumCell(d.AllowedG,
			document.RuleSig(3))
		if d.Rule != nil {
			allowed = allowed.MarkedIf(d.Rule.FromMemory(), show.MemoryMark)
		}
		if d.Within {
			return off, allowed, document.VerdictCell(document.VerdictMet, "within")
		}
		return off, allowed, document.VerdictCell(document.VerdictFail, "off")
	}
	return document.BlankCell(), document.BlankCell(), document.VerdictCell(document.VerdictNone, "no plan")
}

func placeIn(l workshop.BatchLine) string {
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
	return words.JoinNames(parts)
}

func gramsCell(n *exact.Num, missing string) document.Cell {
	if n == nil {
		return document.MissingCell(missing)
	}
	return document.NumCell(*n, document.RuleExact)
}

func lotsText(lots []workshop.BatchLot) string {
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

func (r *BatchReview) findingsSection() *document.Section {
	return (&document.Section{ID: "findings", Title: "Findings"}).
		Add(&document.FindingList{ID: "batch-findings", Findings: r.Findings, Empty: "Nothing was found."})
}

// BatchList builds the list of all batches, the newest first, with what is open of the
// findings.
func BatchList(w *workshop.Workshop, day exact.Date, findings []finding.Finding) *document.Document {
	d := &document.Document{Title: "Batches", Language: "en-GB", Author: w.Maker.Name, Date: day,
		NoContents: true}
	t := &document.Table{ID: "batches", SheetName: "Batches",
		Empty: "No batch is on record. gallipot weigh PRODUCT/VARIANT --batch 2kg --record makes one.",
		Columns: []document.Column{{Head: "Batch", Fixed: true}, {Head: "Date", Kind: document.KindText},
			{Head: "Product", Weight: 1.6}, {Head: "Revision", Kind: document.KindNumber}, {Head: "Weighed in",
				Unit: "g", Kind: document.KindNumber}, {Head: "Packs",
				Kind: document.KindNumber}, {Head: "State"}, {Head: "Open points"}}}
	list := slices.Clone(w.BatchRecords)
	slices.SortStableFunc(list, func(a, b *workshop.Batch) int { return int(b.Date) - int(a.Date) })
	for _, b := range list {
		revision := document.MissingCell("not stated")
		if b.Revision > 0 {
			revision = document.IntCell(b.Revision)
		}
		weighed := document.MissingCell("nothing yet")
		if !b.WeighedG().IsZero() {
			weighed = document.NumCell(b.WeighedG(), document.RuleExact)
		}
		t.Add(document.TextCell(b.Code), document.DateCell(b.Date), document.TextCell(productName(b)), revision,
			weighed, unitsCell(b.Yield.FilledUnits), document.TextCell(b.State()), openCell(b, findings))
	}
	d.AddSection("on-record", "Batches on record").Add(t)
	return d
}

// openCell counts the findings of one record by their kind.
func openCell(b *workshop.Batch, findings []finding.Finding) document.Cell {
	var of []finding.Finding
	for _, f := range findings {
		if f.Pos.File == b.Pos.File {
			of = append(of, f)
		}
	}
	c := finding.Count(of)
	var parts []string
	for _, x := range []struct {
		n    int
		word string
	}{{c.Stop, "stop"}, {c.Ask, "ask"}, {c.Note, "note"}} {
		if x.n > 0 {
			parts = append(parts, strconv.Itoa(x.n)+" "+x.word)
		}
	}
	if parts == nil {
		return document.TextCell("none")
	}
	return document.TextCell(strings.Join(parts, ", "))
}
