package dossier

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// Document builds the weighing sheet.
func (s *WeighSheet) Document() *Document {
	d := &Document{Title: "Weighing sheet", Subtitle: s.p.Name, Language: "en-GB", Author: s.w.Maker.Name, Subject: "Weighing sheet of " + s.p.Name, Date: s.Date,
		Product: s.onPages(), Revision: "revision " + itoa(s.Revision), Fingerprint: s.Fingerprint, Caution: "read the safety data sheet of each lot before weighing: it wins over this sheet", Marks: marks, NoContents: true}
	d.Sections = append(d.Sections, s.headSection())
	if s.Blocked() {
		return d
	}
	making := d.AddSection("making", "Weighing and making")
	for i, st := range s.Stages {
		making.Subsections = append(making.Subsections, s.stageSection(i, st))
	}
	d.Sections = append(d.Sections, s.endSection(), s.cautionSection())
	if s.priced() {
		d.Workbook = []*Section{(&Section{ID: "cost-materials", Title: "Cost of each raw material"}).Add(s.costTable())}
	}
	d.NumberSections()
	return d
}

// onPages names the product on each page, with the batch once it has a code.
func (s *WeighSheet) onPages() string {
	if s.Code == "" {
		return s.p.Name
	}
	return s.p.Name + ", batch " + s.Code
}

// headSection says what is made, and what speaks against it.
func (s *WeighSheet) headSection() *Section {
	sec := &Section{ID: "batch", Title: "Batch"}
	t := &Table{ID: "weigh-batch", SheetName: "Batch", Columns: []Column{{Head: "Item", Fixed: true, Weight: 0.8}, {Head: "Value", Weight: 2, Kind: KindText}}}
	code := WriteInCell()
	if s.Code != "" {
		code = TextCell(s.Code).Strong()
	}
	t.Add(TextCell("Batch code"), code)
	t.Add(TextCell("Product"), TextCell(s.p.Name+" ("+s.p.ID+"), revision "+itoa(s.Revision)))
	t.Add(TextCell("Variant"), TextCell(upperFirst(variantName(s.v))))
	t.Add(TextCell("Mass to weigh in"), NumCell(s.Plan.TotalG, s.massRule()).In("g"))
	if !s.Plan.TotalG.Equal(s.Plan.BatchG) {
		t.Add(TextCell("Mass asked for"), NumCell(s.Plan.BatchG, RuleExact).In("g"))
	}
	t.Add(TextCell("Packs to fill"), s.unitsCell())
	if s.FillG != nil && s.DriesPct.Sign() > 0 {
		t.Add(TextCell("Each pack when filled"), TextCell(s.fillText()))
	}
	if s.LossPct.Sign() > 0 {
		t.Add(TextCell("Loss allowed for"), NumCell(s.LossPct, RuleExact).In("%"))
	}
	t.Add(TextCell("Balance"), TextCell(s.balanceText()))
	t.Add(TextCell("Cost of the materials"), TextCell(s.costText()))
	sec.Add(t)
	var stops, rest []ingredients.Finding
	for _, f := range s.Findings {
		if f.Severity == ingredients.Stop {
			stops = append(stops, f)
		} else {
			rest = append(rest, f)
		}
	}
	switch {
	case s.Blocked():
		sec.Add(&Callout{Kind: CalloutStop, Title: "Do not make this batch", Body: []*Paragraph{Para("The formula cannot be made as it stands. No masses are printed until what follows is put right.")}})
	case len(stops) > 0:
		sec.Add(&Callout{Kind: CalloutStop, Title: "Not for sale as it stands", Body: []*Paragraph{Para("Something is against a law, a certificate or a fragrance Standard, or not computable: see below. A trial batch may be made, not one to sell.")}})
	}
	if len(stops) > 0 {
		sec.Add(&FindingList{ID: "weigh-stops", Title: "Stop", Findings: stops})
	}
	if s.Blocked() {
		return sec
	}
	gear := s.law.Caution("T13")
	sec.Add(Caution(upperFirst(gear.Hazard), gear.Text))
	if len(rest) > 0 {
		sec.Add(&FindingList{ID: "weigh-notes", Title: "Weighing", Findings: rest})
	}
	sec.Add(&Fields{Items: []Field{
		{Label: "Date", Value: s.Date.String()}, {Label: "Made by"}, {Label: "Room and equipment"},
		{Label: "Before the start", Options: []string{"this sheet is the right revision", "materials are released and in date", "equipment is clean", "the area is cleared", "scale checked with a test mass"}},
	}})
	return sec
}

// stepRule prints a mass with as many decimals as its balance shows.
func stepRule(step ingredients.Num) Rule {
	_, decimals, _ := strings.Cut(step.Exact(), ".")
	return RuleFixed(len(decimals))
}

// massRule prints sums as the finest balance in use shows them.
func (s *WeighSheet) massRule() Rule {
	finest := s.balance.DivisionG
	for _, l := range s.Plan.Lines {
		finest = finest.Min(l.StepG)
	}
	return stepRule(finest)
}

func (s *WeighSheet) unitsCell() Cell {
	switch {
	case s.NetG == nil:
		return MissingCell("net content not known in g")
	case s.Units == 0:
		return MissingCell("the batch does not fill one")
	}
	text := fmt.Sprintf("%d of %s g", s.Units, s.NetG.Sig(6))
	if s.DriesPct.Sign() > 0 {
		text += " as sold, after drying"
	}
	return TextCell(text)
}

// fillText says what a pack has to weigh before it dries, so that the net content
// is left; up to the division of the balance, never below.
func (s *WeighSheet) fillText() string {
	return FormatNum(calc.RoundUpToStep(*s.FillG, s.balance.DivisionG), stepRule(s.balance.DivisionG)) + " g while wet: " + s.DriesPct.Exact() + " % of it, water, dries off, and " + s.NetG.Sig(6) + " g have to be left"
}

func (s *WeighSheet) balanceText() string {
	text := "steps of " + s.balance.DivisionG.Exact() + " g"
	if s.balance.FineG != nil { // see calc.Balance: what is well weighed on the coarse one stays there
		below := s.law.Fact("balance-good-load").Number.Mul(s.balance.DivisionG)
		if s.balance.FineMaxG.Less(below) {
			text += ", masses up to " + s.balance.FineMaxG.Exact() + " g in steps of " + s.balance.FineG.Exact() + " g"
		} else {
			text += ", masses below " + below.Exact() + " g in steps of " + s.balance.FineG.Exact() + " g"
		}
	}
	return text
}

// stageSection is one stretch of the making: cautions first, then what to weigh,
// then the steps.
func (s *WeighSheet) stageSection(i int, st WeighStage) *Section {
	sec := &Section{ID: fmt.Sprintf("stage-%d", i+1), Title: st.Title}
	if box := s.cautionBox(st); box != nil {
		sec.Add(box)
	}
	if st.divide {
		sec.Add(s.divideTable())
	}
	if len(st.Lines) > 0 {
		sec.Add(s.linesTable(i, st))
	}
	if len(st.Steps) > 0 {
		sec.Add(s.stepsTable(i, st))
	}
	return sec
}

// cautionBox shows each caution once with the materials it is about.
func (s *WeighSheet) cautionBox(st WeighStage) *Callout {
	box := &Callout{Kind: CalloutCaution, Title: "Before you weigh", Keep: true}
	var again []Span
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
				again = append(again, Span{Text: "; "})
			}
			again = append(again, Span{Text: strings.Join(who, ", ") + ": " + row.Hazard, Strong: true}, Span{Text: " (" + row.Key + ")"})
		default:
			box.Body = append(box.Body, Rich(Span{Text: strings.Join(who, ", ") + ": " + row.Hazard + ". ", Strong: true}, Span{Text: row.Text + " (" + row.Key + ")"}))
		}
	}
	for _, c := range st.Cautions {
		for _, text := range c.Sheet {
			box.Body = append(box.Body, Rich(Span{Text: c.Ingredient + ": ", Strong: true}, Span{Text: text + " (its sheet)"}))
		}
	}
	if len(again) > 0 {
		box.Body = append(box.Body, Rich(append([]Span{{Text: "As said above: "}}, again...)...))
	}
	if len(box.Body) == 0 {
		return nil
	}
	return box
}

func (s *WeighSheet) linesTable(i int, st WeighStage) *Table {
	t := &Table{ID: fmt.Sprintf("weigh-%d", i+1), Whole: true, SheetName: "Weigh", Follows: true, Columns: []Column{
		{Head: "Done", Weight: 0.5}, {Head: "Raw material", Fixed: true, Weight: 2}, {Head: "Share", Unit: "% of the batch", Kind: KindNumber},
		{Head: "Weigh", Unit: "g", Kind: KindNumber, Key: "g"}, {Head: "Weighed", Unit: "g", Weight: 1.2}, {Head: "Lot", Weight: 1.4}, {Head: "Cautions"}}}
	for _, n := range st.Lines {
		l := s.Plan.Lines[n]
		t.Add(TickCell(false), TextCell(s.materialName(l)), PctCell(l.Pct), NumCell(l.G, stepRule(l.StepG)).Strong(), WriteInCell(), WriteInCell(), TextCell(cautionIDs(st, l.Ingredient)))
	}
	if len(st.Lines) > 1 {
		t.Total(BlankCell(), TextCell("Sum"), BlankCell(), NumCell(st.SumG, s.massRule()), WriteInCell(), BlankCell(), BlankCell())
	}
	switch {
	case st.Portion != "":
		t.Total(BlankCell(), TextCell("In the portion after this: weigh it"), BlankCell(), NumCell(st.PotG, s.massRule()), WriteInCell(), BlankCell(), BlankCell())
	case st.joined:
		t.Total(BlankCell(), TextCell(potWords), BlankCell(), NumCell(st.PotG, s.massRule()), WriteInCell(), BlankCell(), BlankCell())
	}
	return t
}

// potWords head the mass of all that was weighed so far.
const potWords = "In the pot so far, once this is in"

func (s *WeighSheet) materialName(l calc.PlanLine) string {
	name := l.Ingredient
	if sheet := s.w.Sheets[l.Ingredient]; sheet != nil && sheet.Name != "" {
		name = sheet.Name + " (" + l.Ingredient + ")"
	}
	if l.Slot != "" {
		name += ", " + l.Slot
	}
	return name
}

func cautionIDs(st WeighStage, id string) string {
	for _, c := range st.Cautions {
		if c.Ingredient != id {
			continue
		}
		ids := slices.Clone(c.Rows)
		if len(c.Sheet) > 0 {
			ids = append(ids, "sheet")
		}
		return strings.Join(ids, ", ")
	}
	return ""
}

// divideTable says how much base goes into each portion, with a check weighing.
func (s *WeighSheet) divideTable() *Table {
	t := &Table{ID: "weigh-divide", Whole: true, SheetName: "Portions", Columns: []Column{
		{Head: "Done", Weight: 0.5}, {Head: "Portion", Fixed: true, Weight: 1.6}, {Head: "Share", Unit: "% of the pack", Kind: KindNumber}, {Head: "Base", Unit: "g", Kind: KindNumber},
		{Head: "Weighed", Unit: "g", Weight: 1.2}, {Head: "With additions", Unit: "g", Kind: KindNumber}, {Head: "Weighed after", Unit: "g", Weight: 1.2}}}
	var all ingredients.Num
	for _, p := range s.Plan.Portions {
		all = all.Add(p.TotalG)
		t.Add(TickCell(false), TextCell(p.Name), NumCell(p.SharePct, RuleExact), NumCell(p.BaseG, s.massRule()).Strong(), WriteInCell(), NumCell(p.TotalG, s.massRule()), WriteInCell())
	}
	t.Total(BlankCell(), TextCell("All"), BlankCell(), NumCell(s.Plan.BaseG, s.massRule()), WriteInCell(), NumCell(all, s.massRule()), WriteInCell())
	if s.waterInBase() {
		t.Note("Weigh the base before it is divided: water lost while heating is added back to the planned mass first.")
	} else { // water into hot fat spits
		t.Note("Weigh the base before it is divided, and divide what is there in proportion to the masses above.")
	}
	return t
}

func (s *WeighSheet) stepsTable(i int, st WeighStage) *Table {
	t := &Table{ID: fmt.Sprintf("steps-%d", i+1), Whole: true, SheetName: "Steps", Follows: true, Columns: []Column{
		{Head: "Done", Weight: 0.5}, {Head: "Step", Fixed: true, Weight: 3}, {Head: "Temperature", Unit: "°C", Kind: KindNumber}, {Head: "Read", Unit: "°C"},
		{Head: "Time", Unit: "min", Kind: KindNumber}, {Head: "Speed", Unit: "1/min", Kind: KindNumber}, {Head: "Clock"}}}
	for _, step := range st.Steps {
		t.Add(TickCell(false), TextCell(step.Do), exactOrBlank(step.TempC), WriteInCell(), exactOrBlank(step.Minutes), exactOrBlank(step.RPM), WriteInCell())
	}
	if st.joined && len(st.Lines) == 0 {
		words := "In the pot so far: "
		if s.waterInBase() {
			words = "In the pot so far, without what boils off: "
		}
		t.Note(words + FormatNum(st.PotG, s.massRule()) + " g.")
	}
	return t
}

// endSection holds what is measured and decided at the end.
func (s *WeighSheet) endSection() *Section {
	sec := &Section{ID: "finish", Title: "Checks, yield and release"}
	t := &Table{ID: "weigh-checks", Whole: true, SheetName: "Checks", Empty: "The product file has no specification, so that no check is named. Write one under specification.", Columns: []Column{{Head: "Done", Weight: 0.5}, {Head: "Check", Fixed: true}, {Head: "Wanted", Weight: 1.6}, {Head: "Found", Weight: 1.4}, {Head: "By"}}}
	for _, c := range s.checks() {
		t.Add(TickCell(false), TextCell(checkName(c.What)), textOr(c.Wanted), WriteInCell(), WriteInCell())
	}
	y := &Table{ID: "weigh-yield", Whole: true, SheetName: "Yield", Columns: []Column{{Head: "Mass filled", Unit: "g"}, {Head: "Packs filled"}, {Head: "Packs rejected"}, {Head: "Sample kept"}, {Head: "Labels used"}, {Head: "Labels left over"}, {Head: "Yield", Unit: "%"}}}
	y.Add(WriteInCell(), WriteInCell(), WriteInCell(), WriteInCell(), WriteInCell(), WriteInCell(), WriteInCell())
	y.Note("Yield: filled and kept mass, by " + s.Plan.TotalG.Exact() + " g weighed in, times 100. The sample is kept in the pack as sold, until its date and some months more.")
	sec.Add(t, y)
	if s.DriesPct.Sign() > 0 {
		y.Note("Once dry, " + FormatNum(s.Plan.TotalG.Pct(ingredients.Int(100).Sub(s.DriesPct)), s.massRule()) + " g are left of that, and packs hold the net content.")
		sec.Add(&Fields{Items: []Field{{Label: "The mass filled was weighed", Options: []string{"wet", "after drying"}}}})
	}
	if len(t.Rows) == 0 {
		sec.Add(&Fields{Items: []Field{{Label: "What was looked at, what was found", Lines: 2}}})
	}
	sec.Add(&Fields{Items: []Field{
		{Label: "Deviations and what was done", Lines: 2},
		{Label: "Decision", Options: []string{"released", "rejected", "rework"}}, {Label: "By, date"},
	}})
	return sec
}

// checks are what the specification asks for.
func (s *WeighSheet) checks() []BatchCheck {
	spec := s.p.Specification
	var list []BatchCheck
	if spec.PH != nil {
		list = append(list, BatchCheck{What: "pH", Wanted: spec.PH.Text})
	}
	for _, x := range spec.Properties {
		list = append(list, BatchCheck{What: x.Name, Wanted: x.Text})
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
func writeDocument(dir, base string, doc *Document) (files, warnings []string, err error) {
	var sheet bytes.Buffer
	if err := WriteXLSX(&sheet, doc); err != nil {
		return nil, nil, fmt.Errorf("the spreadsheet %s: %w", base, err)
	}
	pdf, warnings, err := RenderPDF(doc, nil)
	if err != nil {
		return nil, warnings, fmt.Errorf("the PDF %s: %w", base, err)
	}
	for _, ending := range []string{".pdf", ".xlsx"} {
		files = append(files, filepath.Join(dir, base+ending))
	}
	if err := WriteFiles(NewFile{files[0], pdf}, NewFile{files[1], sheet.Bytes()}); err != nil {
		return nil, warnings, err
	}
	return files, warnings, nil
}

// writeIndented prints a value as JSON.
func writeIndented(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// WriteJSON prints the sheet as JSON. Masses are in g, contents in % w/w, prices
// in the maker's currency.
func (s *WeighSheet) WriteJSON(w io.Writer) error {
	return writeIndented(w, struct {
		*WeighSheet
		Findings []words.Said `json:"findings"`
	}{s, words.SayAll(s.Findings, words.Terminal)})
}
