package weigh

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/calc/masses"
	"gallipot/dossier/document"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/show"
	"gallipot/dossier/store"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Document builds the weighing sheet.
func (s *WeighSheet) Document() *document.Document {
	d := &document.Document{Title: "Weighing sheet", Subtitle: s.P.Name, Language: "en-GB",
		Author: s.W.Maker.Name, Subject: "Weighing sheet of " + s.P.Name, Date: s.Date,
		Product: s.onPages(), Revision: "revision " +
			words.Itoa(s.Revision), Fingerprint: s.Fingerprint,
		Caution: "read the safety data sheet of each lot before weighing: it wins over this sheet",
		Marks:   show.Marks, NoContents: true, Dense: true, AtHand: true}
	d.Sections = append(d.Sections, s.headSection())
	if s.Blocked() {
		return d
	}
	making := d.AddSection("making", "Weighing and making")
	making.Quiet = true
	for i, st := range s.Stages {
		making.Subsections = append(making.Subsections, s.stageSection(i, st))
	}
	d.Sections = append(d.Sections, s.endSection(), s.cautionSection())
	if s.priced() {
		d.Workbook = []*document.Section{(&document.Section{ID: "cost-materials",
			Title: "Cost of each raw material"}).Add(s.costTable())}
	}
	d.NumberSections()
	return d
}

// onPages names the product on each page, with the batch once it has a code.
func (s *WeighSheet) onPages() string {
	if s.Code == "" {
		return s.P.Name
	}
	return s.P.Name + ", batch " + s.Code
}

// headSection says what is made, and what speaks against it.
func (s *WeighSheet) headSection() *document.Section {
	sec := &document.Section{ID: "batch", Title: "Batch", Quiet: true}
	t := &document.Table{ID: "weigh-batch", SheetName: "Batch",
		Columns: []document.Column{{Head: "Item", Fixed: true, Weight: 0.8},
			{Head: "Value", Weight: 2, Kind: document.KindText}}}
	code := document.WriteInCell()
	if s.Code != "" {
		code = document.TextCell(s.Code).Strong()
	}
	t.Add(document.TextCell("Batch code"), code)
	t.Add(document.TextCell("Product"),
		document.TextCell(s.P.Name+" ("+s.P.ID+"), revision "+words.Itoa(s.Revision)))
	t.Add(document.TextCell("Variant"), document.TextCell(words.UpperFirst(show.VariantName(s.v))))
	t.Add(document.TextCell("Mass to weigh in"), document.NumCell(s.Plan.TotalG, s.massRule()).In("g"))
	if !s.Plan.TotalG.Equal(s.Plan.BatchG) {
		t.Add(document.TextCell("Mass asked for"), document.NumCell(s.Plan.BatchG, document.RuleExact).In("g"))
	}
	t.Add(document.TextCell("Packs to fill"), s.unitsCell())
	if s.FillG != nil && s.DriesPct.Sign() > 0 {
		t.Add(document.TextCell("Each pack when filled"), document.TextCell(s.fillText()))
	}
	if s.LossPct.Sign() > 0 {
		t.Add(document.TextCell("Loss allowed for"), document.NumCell(s.LossPct, document.RuleExact).In("%"))
	}
	t.Add(document.TextCell("Balance"), document.TextCell(s.BalanceText()))
	t.Add(document.TextCell("Cost of the materials"), document.TextCell(s.costText()))
	var stops, rest []finding.Finding
	for _, f := range s.Findings {
		if f.Severity == finding.Stop {
			stops = append(stops, f)
		} else {
			rest = append(rest, f)
		}
	}
	switch {
	case s.Blocked():
		sec.Add(&document.Callout{Kind: document.CalloutStop, Title: "Do not make this batch",
			Body: []*document.Paragraph{document.Para("The formula cannot be made as it stands. No masses are printed until what follows is put right.")}})
	case len(stops) > 0:
		sec.Add(&document.Callout{Kind: document.CalloutStop, Title: "Not for sale as it stands",
			Body: []*document.Paragraph{document.Para("Something is against a law, a certificate or a fragrance Standard, or not computable: see below. A trial batch may be made, not one to sell.")}})
	}
	if len(stops) > 0 {
		sec.Add(&document.FindingList{ID: "weigh-stops", Title: "Stop", Findings: stops})
	}
	if s.Blocked() {
		return sec.Add(t)
	}
	gear := law.Caution(s.law, "T13")
	sec.Add(&document.Paragraph{Small: true,
		Spans: []document.Span{{Text: words.UpperFirst(gear.Hazard) + ": ", Strong: true}, {Text: gear.Text}}})
	if len(rest) > 0 {
		sec.Add(&document.FindingList{ID: "weigh-notes", Title: "Weighing", Findings: rest})
	}
	start := &document.Fields{Items: []document.Field{
		{Label: "Date", Value: s.Date.String()}, {Label: "Made by"}, {Label: "Room and equipment"},
		{Label: "Before the start", Options: []string{"this sheet is the right revision",
			"materials are released and in date", "equipment is clean", "the area is cleared",
			"scale checked with a test mass"}},
	}}
	return sec.Add(&document.Beside{Left: []document.Block{t}, Right: []document.Block{start}})
}

// stepRule prints a mass with as many decimals as its balance shows.
func stepRule(step exact.Num) document.Rule {
	_, decimals, _ := strings.Cut(step.Exact(), ".")
	return document.RuleFixed(len(decimals))
}

// massRule prints sums as the finest balance in use shows them.
func (s *WeighSheet) massRule() document.Rule {
	finest := s.Balance.DivisionG
	for _, l := range s.Plan.Lines {
		finest = finest.Min(l.StepG)
	}
	return stepRule(finest)
}

func (s *WeighSheet) unitsCell() document.Cell {
	switch {
	case s.NetG == nil:
		return document.MissingCell("net content not known in g")
	case s.Units == 0:
		return document.MissingCell("the batch does not fill one")
	}
	text := fmt.Sprintf("%d of %s g", s.Units, s.NetG.Sig(6))
	if s.DriesPct.Sign() > 0 {
		text += " as sold, after drying"
	}
	return document.TextCell(text)
}

// fillText says what a pack has to weigh before it dries, so that the net content
// is left; up to the division of the balance, never below.
func (s *WeighSheet) fillText() string {
	return document.FormatNum(masses.RoundUpToStep(*s.FillG, s.Balance.DivisionG),
		stepRule(s.Balance.DivisionG)) + " g while wet: " + s.DriesPct.Exact() +
		" % of it, water, dries off, and " + s.NetG.Sig(6) + " g have to be left"
}

func (s *WeighSheet) BalanceText() string {
	text := "steps of " + s.Balance.DivisionG.Exact() + " g"
	if s.Balance.FineG != nil { // see calc.Balance: what is well weighed on the coarse one stays there
		below := law.Fact(s.law, "balance-good-load").Number.Mul(s.Balance.DivisionG)
		if s.Balance.FineMaxG.Less(below) {
			text += ", masses up to " + s.Balance.FineMaxG.Exact() + " g in steps of " + s.Balance.FineG.Exact() + " g"
		} else {
			text += ", masses below " + below.Exact() + " g in steps of " + s.Balance.FineG.Exact() + " g"
		}
	}
	return text
}

// stageSection is one stretch of the making: cautions first, then what to weigh,
// then the steps.
func (s *WeighSheet) stageSection(i int, st weighStage) *document.Section {
	sec := &document.Section{ID: fmt.Sprintf("stage-%d", i+1), Title: st.Title}
	if box := s.cautionBox(st); box != nil {
		sec.Add(box)
	}
	if st.divide {
		sec.Add(s.divideTable())
	}
	switch {
	case len(st.Lines) > 0 && len(st.Steps) > 0:
		sec.Add(&document.Beside{Share: linesShare, Left: []document.Block{s.linesTable(i, st)},
			Right: []document.Block{s.stepsTable(i, st)}})
	case len(st.Lines) > 0:
		sec.Add(s.linesTable(i, st))
	case len(st.Steps) > 0:
		sec.Add(s.stepsTable(i, st))
	}
	return sec
}

// linesShare is how much of the width the lines to weigh take beside the steps.
const linesShare = 0.7

// cautionBox shows each caution once with the materials it is about.
func (s *WeighSheet) cautionBox(st weighStage) *document.Callout {
	box := &document.Callout{Kind: document.CalloutCaution, Title: "Before you weigh", Keep: true}
	var again []document.Span
	for _, row := range s.cautions {
		var who []string
		for _, c := range st.Cautions {
			if slices.Contains(c.Rows, row.Key) {
				who = append(who, c.Ingredient)
			}
		}
		switch {
		case len(who) == 0:
		case slices.Contains(st.seen, row.Key):
			if len(again) > 0 {
				again = append(again, document.Span{Text: "; "})
			}
			again = append(again, document.Span{Text: strings.Join(who, ", ") + ": " + row.Hazard, Strong: true},
				document.Span{Text: " (" + row.Key + ")"})
		default:
			box.Body = append(box.Body, document.Rich(document.Span{Text: strings.Join(who, ", ") + ": " + row.Hazard +
				". ", Strong: true}, document.Span{Text: row.Text + " (" + row.Key + ")"}))
		}
	}
	for _, c := range st.Cautions {
		for _, text := range c.Sheet {
			box.Body = append(box.Body, document.Rich(document.Span{Text: c.Ingredient + ": ", Strong: true},
				document.Span{Text: text + " (its sheet)"}))
		}
	}
	if len(again) > 0 {
		box.Body = append(box.Body, document.Rich(append([]document.Span{{Text: "As said above: "}}, again...)...))
	}
	if len(box.Body) == 0 {
		return nil
	}
	one := &document.Paragraph{Small: true}
	for i, p := range box.Body {
		if i > 0 {
			one.Spans = append(one.Spans, document.Span{Text: "  ·  "})
		}
		one.Spans = append(one.Spans, p.Spans...)
	}
	box.Body = []*document.Paragraph{one}
	return box
}

func (s *WeighSheet) linesTable(i int, st weighStage) *document.Table {
	t := &document.Table{ID: fmt.Sprintf("weigh-%d", i+1), Whole: true, SheetName: "Weigh", Follows: true,
		Columns: []document.Column{
			{Head: "Done", Weight: 0.5}, {Head: "Raw material", Fixed: true, Weight: 2}, {Head: "Share", Unit: "%",
				Kind: document.KindNumber},
			{Head: "Weigh", Unit: "g", Kind: document.KindNumber, Key: "g"}, {Head: "Weighed", Unit: "g",
				Weight: 1.2}, {Head: "Lot", Weight: 1.4}}}
	if len(s.Proposed) > 0 {
		t.Columns = slices.Insert(t.Columns, lotColumn, document.Column{Head: "Take lot", Kind: document.KindText})
	}
	row := func(add func(...document.Cell) *document.Table, take document.Cell, cells ...document.Cell) {
		if len(s.Proposed) > 0 {
			cells = slices.Insert(cells, lotColumn, take)
		}
		add(cells...)
	}
	blank := document.BlankCell()
	for _, n := range st.Lines {
		l := s.Plan.Lines[n]
		row(t.Add, s.takeCell(n), document.TickCell(false), document.TextCell(s.materialName(l)),
			document.PctCell(l.Pct), document.NumCell(l.G, stepRule(l.StepG)).
				Strong(), document.WriteInCell(), document.WriteInCell())
	}
	if len(st.Lines) > 1 {
		row(t.Total, blank, document.BlankCell(), document.TextCell("Sum"), document.BlankCell(),
			document.NumCell(st.SumG, s.massRule()), document.WriteInCell(), document.BlankCell())
	}
	switch {
	case st.Portion != "":
		row(t.Total, blank, document.BlankCell(), document.TextCell("In the portion after this: weigh it"),
			document.BlankCell(), document.NumCell(st.PotG,
				s.massRule()), document.WriteInCell(), document.BlankCell())
	case st.Joined:
		row(t.Total, blank, document.BlankCell(), document.TextCell(potWords), document.BlankCell(),
			document.NumCell(st.PotG, s.massRule()), document.WriteInCell(), document.BlankCell())
	}
	return t
}

// lotColumn is where the lots to take stand in the table of a stage.
const lotColumn = 5

// potWords head the mass of all that was weighed so far.
const potWords = "In the pot so far, once this is in"

func (s *WeighSheet) materialName(l masses.PlanLine) string {
	name := l.Ingredient
	if sheet := s.W.Sheets[l.Ingredient]; sheet != nil && sheet.Name != "" {
		name = sheet.Name + " (" + l.Ingredient + ")"
	}
	if l.Slot != "" {
		name += ", " + l.Slot
	}
	return name
}

// divideTable says how much base goes into each portion, with a check weighing.
func (s *WeighSheet) divideTable() *document.Table {
	t := &document.Table{ID: "weigh-divide", Whole: true, SheetName: "Portions", Columns: []document.Column{
		{Head: "Done", Weight: 0.5}, {Head: "Portion", Fixed: true, Weight: 1.6}, {Head: "Share",
			Unit: "% of the pack", Kind: document.KindNumber}, {Head: "Base", Unit: "g", Kind: document.KindNumber},
		{Head: "Weighed", Unit: "g", Weight: 1.2}, {Head: "With additions", Unit: "g",
			Kind: document.KindNumber}, {Head: "Weighed after", Unit: "g", Weight: 1.2}}}
	var all exact.Num
	for _, p := range s.Plan.Portions {
		all = all.Add(p.TotalG)
		t.Add(document.TickCell(false), document.TextCell(p.Name), document.NumCell(p.SharePct, document.RuleExact),
			document.NumCell(p.BaseG, s.massRule()).Strong(), document.WriteInCell(), document.NumCell(p.TotalG,
				s.massRule()), document.WriteInCell())
	}
	t.Total(document.BlankCell(), document.TextCell("All"), document.BlankCell(),
		document.NumCell(s.Plan.BaseG, s.massRule()), document.WriteInCell(), document.NumCell(all,
			s.massRule()), document.WriteInCell())
	if s.waterInBase() {
		t.Note("Weigh the base before it is divided: water lost while heating is added back to the planned mass first.")
	} else { // water into hot fat spits
		t.Note("Weigh the base before it is divided, and divide what is there in proportion to the masses above.")
	}
	return t
}

func (s *WeighSheet) stepsTable(i int, st weighStage) *document.Table {
	t := &document.Table{ID: fmt.Sprintf("steps-%d", i+1), Whole: true, SheetName: "Steps", Follows: true,
		Columns: []document.Column{
			{Head: "Done", Weight: 0.5}, {Head: "Step", Fixed: true, Weight: 3}, {Head: "Read, clock"}}}
	for _, step := range st.Steps {
		t.Add(document.TickCell(false), document.TextCell(stepText(step)), document.WriteInCell())
	}
	if st.Joined && len(st.Lines) == 0 {
		words := "In the pot so far: "
		if s.waterInBase() {
			words = "In the pot so far, without what boils off: "
		}
		t.Note(words + document.FormatNum(st.PotG, s.massRule()) + " g.")
	}
	return t
}

// stepText is what is done, with temperature, time and speed behind it.
func stepText(step workshop.Step) string {
	text := step.Do
	for _, x := range []struct {
		n    *exact.Num
		unit string
	}{{step.TempC, "°C"}, {step.Minutes, "min"}, {step.RPM, "/min"}} {
		if x.n != nil {
			text += ", " + x.n.Exact() + "\u00a0" + x.unit
		}
	}
	return text
}

// endSection holds what is measured and decided at the end.
func (s *WeighSheet) endSection() *document.Section {
	sec := &document.Section{ID: "finish", Title: "Checks, yield and release"}
	t := &document.Table{ID: "weigh-checks", Whole: true, SheetName: "Checks",
		Empty: "The product file has no specification, so that no check is named. Write one under specification.",
		Columns: []document.Column{{Head: "Done", Weight: 0.5}, {Head: "Check", Fixed: true},
			{Head: "Wanted", Weight: 1.6}, {Head: "Found", Weight: 1.4}, {Head: "By"}}}
	for _, c := range s.Checks() {
		t.Add(document.TickCell(false), document.TextCell(words.CheckName(c.What)), show.TextOr(c.Wanted),
			document.WriteInCell(), document.WriteInCell())
	}
	y := &document.Table{ID: "weigh-yield", Whole: true, SheetName: "Yield",
		Columns: []document.Column{{Head: "Mass filled", Unit: "g"}, {Head: "Packs filled"},
			{Head: "Packs rejected"}, {Head: "Sample kept"}, {Head: "Labels used"},
			{Head: "Labels left over"}, {Head: "Yield", Unit: "%"}}}
	y.Add(document.WriteInCell(), document.WriteInCell(), document.WriteInCell(), document.WriteInCell(),
		document.WriteInCell(), document.WriteInCell(), document.WriteInCell())
	y.Note("Yield: filled and kept mass, by " + s.Plan.TotalG.Exact() +
		" g weighed in, times 100. The sample is kept in the pack as sold, until its date and some months more.")
	fields := &document.Fields{}
	if s.DriesPct.Sign() > 0 {
		y.Note("Once dry, " + document.FormatNum(s.Plan.TotalG.Pct(exact.Int(100).Sub(s.DriesPct)), s.massRule()) +
			" g are left of that, and packs hold the net content.")
		fields.Items = append(fields.Items, document.Field{Label: "The mass filled was weighed",
			Options: []string{"wet", "after drying"}})
	}
	if len(t.Rows) == 0 {
		fields.Items = append(fields.Items, document.Field{Label: "What was looked at, what was found", Lines: 2})
	}
	fields.Items = append(fields.Items, document.Field{Label: "Deviations and what was done", Lines: 2},
		document.Field{Label: "Decision", Options: []string{"released", "rejected",
			"rework"}}, document.Field{Label: "By, date"})
	return sec.Add(&document.Beside{Left: []document.Block{t}, Right: []document.Block{fields}}, y)
}

// Checks are what the specification asks for.
func (s *WeighSheet) Checks() []workshop.BatchCheck {
	spec := s.P.Specification
	var list []workshop.BatchCheck
	if spec.PH != nil {
		list = append(list, workshop.BatchCheck{What: "pH", Wanted: spec.PH.Text})
	}
	for _, x := range spec.Properties {
		list = append(list, workshop.BatchCheck{What: x.Name, Wanted: x.Text})
	}
	return list
}

// Files writes the sheet as PDF and spreadsheet into a folder and returns the
// names of the files. The sheet of a batch with a code is named after the code,
// so that no two batches share one; another one after product and variant.
//
// Errors: when a file cannot be written; an older one is then left as it was.
// Warnings name text that the PDF's font could not show.
func (s *WeighSheet) Files(dir string) (files, warnings []string, err error) {
	name := s.Code
	switch {
	case name != "":
	case s.Variant != "":
		name = s.Product + "-" + s.Variant
	default:
		name = s.Product
	}
	return writeDocument(dir, name+"-weighing", s.Document())
}

// writeDocument writes a document as PDF and spreadsheet.
func writeDocument(dir, base string, doc *document.Document) (files, warnings []string, err error) {
	var oneSheet bytes.Buffer
	if err := sheet.Write(&oneSheet, doc); err != nil {
		return nil, nil, fmt.Errorf("the spreadsheet %s: %w", base, err)
	}
	pdf, warnings, err := pdf.Render(doc, nil)
	if err != nil {
		return nil, warnings, fmt.Errorf("the PDF %s: %w", base, err)
	}
	for _, ending := range []string{".pdf", ".xlsx"} {
		files = append(files, filepath.Join(dir, base+ending))
	}
	if err := store.WriteFiles(store.NewFile{Path: files[0], Data: pdf},
		store.NewFile{Path: files[1], Data: oneSheet.Bytes()}); err != nil {
		return nil, warnings, err
	}
	return files, warnings, nil
}

// WriteJSON prints the sheet as JSON. Masses are in g, contents in % w/w, prices
// in the maker's currency.
func (s *WeighSheet) WriteJSON(w io.Writer) error {
	return store.WriteIndented(w, struct {
		*WeighSheet
		Findings []words.Said `json:"findings"`
	}{s, words.SayAll(s.Findings, words.Terminal)})
}
