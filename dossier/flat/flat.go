package flat

import (
	"strconv"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law/tox"
	"gallipot/calc/limits"
	"gallipot/dossier/document"
	"gallipot/dossier/profile"
	"gallipot/dossier/recalc"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// Sheet is the name of the sheet.
const Sheet = "Substances"

// Section is one row a substance, to copy from: names, numbers, content (% w/w), functions,
// limits, doses (mg/kg bw/d), margin and the state of each endpoint. Its figures follow the live
// sheets; without any they stand as they are.
func Section(v *show.View, live []*document.Section) *document.Section {
	number := func(head, unit string) document.Column {
		return document.Column{Head: head, Unit: unit, Kind: document.KindNumber}
	}
	t := &document.Table{ID: "flat-substances", Title: "Substances in one table", SheetName: Sheet, InWorkbook: true,
		Columns: []document.Column{{Head: "INCI", Fixed: true}, {Head: "CAS"}, {Head: "EC"},
			{Head: "Functions", Weight: 1.5}, {Head: "Variant with most"}, number("Lowest", "% w/w"),
			number("Typical", "% w/w"), number("Highest", "% w/w"), {Head: "Entries", Weight: 1.5},
			number("Limit", "% w/w"), {Head: "Against the limits"}, {Head: "Hazard statements", Weight: 1.3},
			number("Absorption", "%"), number("SED", "mg/kg bw/d"), number("PoD", "mg/kg bw/d"),
			number("Internal PoD", "mg/kg bw/d"), number("MoS", ""), number("Target", ""),
			{Head: "Against the target"}, {Head: "Why no margin", Weight: 1.5}}}
	tables := tox.Builtin()
	var shown []*tox.Endpoint
	for _, e := range tables.Endpoints() {
		if e.Short != "" {
			shown = append(shown, e)
			t.Columns = append(t.Columns, document.Column{Head: profile.Brief(e.Name), Align: document.AlignCentre})
		}
	}
	of := map[string]*profile.Profile{}
	for _, p := range profile.All(v, tables) {
		of[ingredients.NameKey(p.INCI())] = p
	}
	l := liveTablesOf(live)
	limit := lowestLimits(v, l)
	ec, functions := map[string]string{}, map[string]string{}
	for _, s := range v.Substances() {
		ec[s.INCI], functions[s.INCI] = s.EC, strings.Join(s.Functions, ", ")
	}
	for _, m := range sections.WorstMargins(v) {
		s := l.find(&formula.Substance{INCI: m.INCI, Nano: m.Nano})
		p := of[ingredients.NameKey(m.INCI)]
		row := []document.Cell{document.TextCell(m.INCI), dashOr(m.CAS), dashOr(ec[m.INCI]),
			show.TextOr(functions[m.INCI]), s.where(m.Where()), s.beside(document.PctCell(m.Content.Min), l.least),
			s.beside(document.PctCell(m.Content.Typ), l.typical), s.content(document.PctCell(m.Content.Max))}
		row = append(row, limit[m.INCI].cells()...)
		hazard := document.BlankCell()
		if p != nil {
			hazard = profile.Statements(p)
		}
		row = append(append(row, hazard), marginCells(&m, s)...)
		for _, e := range shown {
			cell := document.BlankCell()
			if p != nil {
				cell = document.TextCell(p.Line(e.Key).State.Symbol())
			}
			row = append(row, cell)
		}
		t.Add(row...)
	}
	t.Note("Endpoints: ○ a result or figure, ▲ a hazard class alone, ‡ read-across, – not relevant, □ not supplied; blank: below the threshold of a line.")
	t.Note("Contents, limits, doses and margins follow the live sheets; words and endpoints are those of the pack. Conditions of an entry beside its figure are judged in the pack alone.")
	return (&document.Section{}).Add(t)
}

func dashOr(number string) document.Cell {
	if number == "" {
		return document.MissingCell(none)
	}
	return document.TextCell(number)
}

// none stands where there is nothing to say.
const none = "–"

// limitOf is what the annexes say of a substance: the entries that apply, the lowest figure,
// and whether a figure is exceeded.
type limitOf struct {
	entries  []string
	lowest   document.Cell
	figure   float64
	has      bool
	exceeded bool
	bounds   []string // the figures in a formula: cells of the live sheets, and constants
	now      []string // verdicts of the live sheets
	alone    bool     // some verdict is that of the pack alone
}

func lowestLimits(v *show.View, l *liveTables) map[string]*limitOf {
	out := map[string]*limitOf{}
	for _, row := range sections.LimitRows(v) {
		c := &row.Check
		if c.Verdict == limits.LimitNotApplicable {
			continue
		}
		for _, name := range c.Substances {
			x := out[name]
			if x == nil {
				x = &limitOf{}
				out[name] = x
			}
			x.add(c, l)
		}
	}
	return out
}

// add counts one check in. A figure is exceeded too where its condition is not decided: the
// cautious side, as on the live sheets.
func (x *limitOf) add(c *limits.LimitCheck, l *liveTables) {
	x.entries = words.AddOnce(x.entries, c.Row.Annex+"/"+c.Row.Entry)
	x.exceeded = x.exceeded || c.Verdict == limits.LimitExceeded
	n := c.LimitPct
	if n == nil {
		x.alone = x.alone || c.Verdict == limits.LimitExceeded
		return
	}
	if cell := document.PctCell(*n); !x.has || n.Float() < x.figure {
		x.has, x.figure, x.lowest = true, n.Float(), cell
	}
	found := false
	for i := range l.limits.rows() {
		if beginsWith(l.limits.Rows[i], "Annex "+c.Row.Annex+" entry "+c.Row.Entry,
			strings.Join(c.Substances, ", ")) && same(l.limits.cell("limit", i), document.PctCell(*n)) {
			x.bounds = words.AddOnce(x.bounds, l.limits.at("limit", i))
			x.now = words.AddOnce(x.now, l.limits.at("now", i))
			x.exceeded = x.exceeded || l.limits.cell("pack", i).Verdict == document.VerdictFail
			found = true
		}
	}
	if !found {
		x.exceeded = x.exceeded || n.Less(c.Content.Max)
		x.bounds, x.alone = append(x.bounds, strconv.FormatFloat(n.Float(), 'f', -1, 64)), true
	}
}

// cells are the entries, the lowest figure, and whether all figures are kept.
func (x *limitOf) cells() []document.Cell {
	if x == nil {
		return []document.Cell{document.MissingCell("none that applies"), document.BlankCell(), document.BlankCell()}
	}
	entries, lowest, verdict := document.TextCell(strings.Join(x.entries, ", ")), document.BlankCell(),
		document.BlankCell()
	if x.has {
		lowest = x.lowest.Computed("MIN(" + strings.Join(x.bounds, ",") + ")")
		verdict = document.VerdictCell(document.VerdictMet, "kept")
	}
	if x.exceeded {
		verdict = document.VerdictCell(document.VerdictFail, "exceeded")
	}
	if len(x.now) == 0 {
		return []document.Cell{entries, lowest, verdict}
	}
	over := make([]string, len(x.now))
	for i, at := range x.now {
		over[i] = "LEFT(" + at + `,1)="` + document.VerdictFail.Symbol() + `"`
	}
	otherwise := inWords(document.VerdictCell(document.VerdictMet, "kept"))
	if x.alone {
		otherwise = "IF({#" + recalc.ChangedAt + `}=0,{=},"changed")`
	}
	return []document.Cell{entries, lowest, verdict.Computed("IF(OR(" + strings.Join(over, ",") + ")," +
		inWords(document.VerdictCell(document.VerdictFail, "exceeded")) + "," + otherwise + ")")}
}

// inWords is a verdict as a formula writes it.
func inWords(c document.Cell) string {
	return `"` + strings.ReplaceAll(c.String(), "\u00a0", " ") + `"`
}

// marginCells are absorption, dose, point of departure, internal, margin, target, the verdict,
// and why there is no margin.
func marginCells(m *sections.WorstMargin, s *substance) []document.Cell {
	// as on the live sheets: with fewer digits a dose would be shown as a ratio, 0.000
	dose := func(f float64) document.Cell { return document.FloatCell(f, show.ExposureDigits).InFull() }
	dash := document.MissingCell(none)
	abs, sed, verdict := sections.AbsorbedCell(m.Margin), dose(m.SED.Max), show.MarginVerdict(m.Verdict)
	pod, internal, mos, target, why := dash, dash, dash, dash, document.TextCell(m.Reason)
	if m.None == "" {
		pod = sections.StatedCell(&formula.Stated{Value: m.PoD.Value, Seen: formula.SeenGiven})
		internal, mos = dose(m.PoDSys),
			document.FloatCell(m.MoS, document.RatioDigits).InFull().MarkedIf(len(m.Memory) > 0, show.MemoryMark).
				MarkedIf(m.Judged != nil, show.AssessorMark)
		target, why = sections.StatedCell(&m.Target), dash
	}
	cells := []document.Cell{abs, sed, pod, internal, mos, target, verdict, why}
	_, row := s.margin("mos", document.PctCell(m.Content.Max))
	if row < 0 {
		return cells
	}
	margin, _ := s.margin("mos", document.BlankCell())
	for i, key := range []string{"abs", "sed", "pod", "sys", "mos", "target", "verdict", "mos"} {
		live := s.doses.cell(key, row)
		at, _ := s.margin(key, document.BlankCell())
		switch c := &cells[i]; {
		case i == len(cells)-1: // in words, and a live one where the pack has none to give
			otherwise := "{=}"
			if m.None == "" {
				otherwise = at
			}
			*c = c.Computed("IF(ISNUMBER(" + margin + `),"` + none + `",` + otherwise + ")")
		case key == "verdict" && c.String() == live.String():
			*c = c.Computed(at)
		case key == "sed" && live.Kind == document.CellMissing: // no exposure is no exposure of 0
			live.Name = "" // its place on the live sheet has that name
			*c = live.Computed(at)
		case (key == "abs" || key == "sed") && same(*c, live):
			*c = c.Computed(at)
		case key == "pod" || key == "sys" || key == "mos" || key == "target":
			if m.None != "" && s.noMargin(row) || same(*c, live) {
				*c = c.Computed("IF(ISNUMBER(" + margin + ")," + at + `,"` + none + `")`)
			}
		}
	}
	return cells
}

// noMargin says whether the live sheets have no margin in a row.
func (s *substance) noMargin(row int) bool {
	_, known := figureOf(s.doses.cell("mos", row))
	return !known
}
