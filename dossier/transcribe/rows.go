package transcribe

import (
	"regexp"
	"strings"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/grid"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// firstTopic is what a paper of a kind is about before its first heading.
func (s *reading) firstTopic() string {
	switch s.out.Document.Kind {
	case "sds":
		return "other"
	case "composition":
		return "composition"
	case "allergen-declaration":
		return "allergens"
	case "ifra-certificate":
		return "ifra"
	}
	return ""
}

// textRow reads a row of text outside of tables with heads.
func (s *reading) textRow(i int, row *grid.Row) {
	if row.Hidden {
		s.ask("hidden-value", s.rowPlace(row), "text", row.Text())
		return
	}
	for _, c := range row.Cells {
		if c.Struck != "" {
			s.warn("struck", s.place(row.Place, c), "text", c.Struck)
		}
		if c.Note != "" {
			s.warn("note", s.place(row.Place, c), "text", c.Note)
		}
		if c.Hidden {
			s.ask("hidden-value", s.place(row.Place, c), "text", c.Text)
			return
		}
	}
	t := printed(row.Text())
	if t == "" {
		return
	}
	if row.Quote > 0 {
		s.quoted(row)
		return
	}
	if s.heading(row, t) || s.categoryLine(row) {
		return
	}
	s.statements(row, t)
	if s.topic == "other" || s.topic == "use" {
		s.pendingProperty(row)
		return
	}
	switch {
	case s.topic == "composition" && s.looseConstituent(row):
	case s.looseProperty(row):
	case s.topic == "allergens" && s.looseAllergen(row):
	default:
		s.prose(row)
	}
}

func (s *reading) rowPlace(row *grid.Row) Place {
	if len(row.Cells) == 0 {
		return s.place(row.Place, grid.Cell{})
	}
	return s.place(row.Place, row.Cells[0])
}

// heading takes a row as a heading and turns to its subject.
func (s *reading) heading(row *grid.Row, t string) bool {
	h := grid.Heading(s.words, t)
	if h == "" && row.Grid > 0 && len(row.Cells) > 1 { // a heading in the first cell of a row alone
		filled := 0
		for _, c := range row.Cells {
			if strings.TrimSpace(c.Text) != "" {
				filled++
			}
		}
		if filled != 1 {
			return false
		}
		h = grid.Heading(s.words, row.Cells[0].Text)
	}
	if h == "" {
		return false
	}
	if _, ok := s.propertyOf(t, true); ok && (s.topic == "physical" || s.topic == "impurities") {
		return false
	}
	s.closeRecord()
	s.topic = h
	s.typical = ""
	for _, e := range s.words.All("head", lexicon.Fold(strings.Trim(t, "0123456789. "))) {
		if e.Key == "spec" {
			s.typical = "specification"
		}
	}
	for _, w := range wordsOf(t) {
		if e, ok := s.words.Exact("head", w.folded); ok && e.Key == "typical" {
			s.typical = "typical"
		}
	}
	return true
}

// statements keeps sentences about the subjects that makers ask papers for.
func (s *reading) statements(row *grid.Row, t string) {
	if len(strings.Fields(t)) < 4 && !strings.Contains(t, ":") {
		return
	}
	if e, _, ok := s.words.Find("statement", lexicon.Fold(t)); ok && len(s.out.Statements) < 60 {
		s.out.Statements = append(s.out.Statements, Statement{Subject: e.Key, Text: t, Place: s.rowPlace(row)})
	}
}

// pendingProperty joins the name of a property on a line of its own with the value
// on the next.
func (s *reading) pendingProperty(row *grid.Row) bool {
	name, above := s.pendingHead, s.pendingRow
	s.pendingHead = ""
	t := printed(row.Text())
	if name != "" && stacked(above, row) {
		if f, ok := s.fig.Parse(t, s.unitOf(name, "")); ok && f.Status != figure.NotStated {
			s.put(Property{Name: name}, f, s.valueKind(), s.rowPlace(row), row.Place)
			return true
		}
	}
	if _, ok := s.propertyOf(t, true); ok && len(row.Cells) == 1 {
		s.pendingHead, s.pendingRow = strings.TrimRight(t, ": "), row
	}
	return false
}

// stacked says whether a row stands under another as a value under its heading: at
// the same left edge and a line lower. Cells of a table that are centred beside
// each other do not.
func stacked(above, row *grid.Row) bool {
	if row.Size == 0 {
		return true
	}
	if above.Page != row.Page || len(row.Cells) == 0 || len(above.Cells) == 0 {
		return false
	}
	left := row.Cells[0].X0 - above.Cells[0].X0
	return left > -3 && left < 3 && row.Y-above.Y > 0.95*row.Size
}

// looseProperty reads a row that gives the name of a property and its value.
func (s *reading) looseProperty(row *grid.Row) bool {
	if s.pendingProperty(row) {
		return true
	}
	cells := filledCells(row)
	if len(cells) == 1 {
		return s.propertyInCell(row, cells[0])
	}
	name := strings.TrimRight(oneLine(cells[0].Text), ": ")
	if c, _, _, _ := numbers(name); len(c) > 0 || casNumber.MatchString(row.Text()) && s.topic != "impurities" {
		return false
	}
	_, known := s.propertyOf(name, false)
	listed := s.topic == "physical" || s.topic == "impurities"
	if !known && !listed {
		return false
	}
	unit := s.unitOf(name, "")
	method := ""
	var values []grid.Cell
	var figs []figure.Figure
	for _, c := range cells[1:] {
		c.Text = strings.TrimLeft(c.Text, ": ")
		if u, ok := s.fig.UnitIn(c.Text); ok && !strings.ContainsAny(c.Text, "0123456789") && len(c.Text) <= 14 && len(strings.TrimSpace(c.Text)) <= len(u.Printed)+6 && u.Divisor >= 0 {
			unit = u
			continue
		}
		f, ok := s.fig.Parse(strings.ReplaceAll(c.Text, "\n", " "), unit)
		if !ok {
			if f2, rest, partly := s.fig.ParseAt(strings.ReplaceAll(c.Text, "\n", " "), unit); partly && harmless(rest) {
				f, f.Printed, ok = f2, printed(c.Text), true
			}
		}
		if ok {
			values, figs = append(values, c), append(figs, f)
		} else if method == "" {
			method = printed(c.Text)
		}
	}
	for i := range figs {
		if figs[i].Unit.Name == "" && unit.Name != "" {
			figs[i].Unit = unit
		}
	}
	base := Property{Name: name, Method: method}
	switch {
	case len(figs) == 1:
		s.put(base, figs[0], s.looseKind(figs[0]), s.place(row.Place, values[0]), row.Place)
	case len(figs) == 2 && inside(figs[1], figs[0]):
		base.Spec = figs[0].Printed
		s.put(base, figs[1], "result", s.place(row.Place, values[1]), row.Place)
	case len(figs) == 0:
		if known && method != "" {
			base.Printed, base.Kind, base.Op, base.Method, base.Place = method, "statement", "statement", "", s.rowPlace(row)
			s.file2(base)
			return true
		}
		return false
	default:
		s.ask("two-figures", s.rowPlace(row), "name", name, "text", printed(row.Text()))
	}
	return true
}

// inside says whether a single figure lies between the bounds of another.
func inside(f, spec figure.Figure) bool {
	if f.Status != figure.Value && f.Status != figure.Below && f.Status != figure.NotDetected {
		return false
	}
	switch spec.Status {
	case figure.Range:
		return f.Low != "" && !figure.Sum(f.Low).Less(figure.Sum(spec.Low)) && !figure.Sum(spec.High).Less(figure.Sum(f.High))
	case figure.Below:
		return f.Status == figure.NotDetected || !figure.Sum(spec.High).Less(figure.Sum(f.High))
	case figure.Above:
		return f.Low != "" && !figure.Sum(f.Low).Less(figure.Sum(spec.Low))
	}
	return false
}

// looseKind tells what a lone figure is: a bound is a specification.
func (s *reading) looseKind(f figure.Figure) string {
	if s.is("technical-data-sheet") && s.typical == "" && (f.Status == figure.Below || f.Status == figure.Range || f.Status == figure.Above) && !s.is("sds") {
		return "specification"
	}
	return s.valueKind()
}

func filledCells(row *grid.Row) []grid.Cell {
	var out []grid.Cell
	for _, c := range row.Cells {
		if strings.Trim(c.Text, " :") != "" {
			out = append(out, c)
		}
	}
	return out
}

// propertyInCell reads "Flash point: 72 °C" and "Flash point 72 °C".
func (s *reading) propertyInCell(row *grid.Row, c grid.Cell) bool {
	t := printed(c.Text)
	listed := s.topic == "physical" || s.topic == "impurities"
	for from := 0; ; {
		i := strings.Index(t[from:], ":")
		if i < 0 {
			break
		}
		i += from
		from = i + 1
		name, value := strings.TrimSpace(t[:i]), strings.TrimSpace(t[i+1:])
		if name == "" || value == "" || len(strings.Fields(name)) > 8 {
			continue
		}
		if _, known := s.propertyOf(name, false); !known && !listed {
			continue
		}
		f, ok := s.fig.Parse(value, s.unitOf(name, ""))
		if !ok {
			f2, rest, partly := s.fig.ParseAt(value, s.unitOf(name, ""))
			if !partly || !harmless(rest) {
				continue
			}
			f, f.Printed = f2, value
		}
		s.put(Property{Name: name}, f, s.looseKind(f), s.place(row.Place, c), row.Place)
		return true
	}
	ws := wordsOf(t)
	for k := min(6, len(ws)); k >= 1; k-- {
		name := t[:ws[k-1].end]
		if _, ok := s.propertyOf(name, true); !ok {
			continue
		}
		rest := t[ws[k-1].end:]
		if m := bracketAtStart.FindString(rest); m != "" {
			name, rest = name+m, rest[len(m):]
		}
		if f, ok := s.fig.Parse(strings.TrimLeft(rest, " :=-–"), s.unitOf(name, "")); ok && f.Status != figure.NotStated {
			s.put(Property{Name: name}, f, s.looseKind(f), s.place(row.Place, c), row.Place)
			return true
		}
	}
	return false
}

var bracketAtStart = regexp.MustCompile(`^\s*[\[(][^\])]*[\])]`)

var hazardCode = regexp.MustCompile(`\b(?:EUH|H)[234]?\d{2,3}[A-Za-z]{0,3}\b`)

// classLimit is a limit of classification: "C ≥ 0.01 %".
var classLimit = regexp.MustCompile(`(?:^|[\s:;,(])C\s?(?:≥|>=|>|<|≤)`)

// withoutHazards cuts a text where the hazard classes begin. skip says that the
// row speaks of hazards alone.
func (s *reading) withoutHazards(t string) (string, bool) {
	ws := wordsOf(t)
	for i, w := range ws {
		for k := min(4, len(ws)-i); k >= 1; k-- {
			parts := make([]string, k)
			for j := range k {
				parts[j] = ws[i+j].folded
			}
			phrase := strings.Join(parts, " ")
			if _, ok := s.words.Exact("hazard", phrase); ok {
				return t[:w.start], i == 0
			}
			if _, ok := s.words.Exact("hazardlabel", phrase); ok {
				return t[:w.start], i == 0
			}
		}
	}
	if m := classLimit.FindStringIndex(t); m != nil {
		return t[:m[0]], strings.TrimSpace(t[:m[0]]) == ""
	}
	if m := hazardCode.FindStringIndex(t); m != nil {
		return t[:m[0]], strings.TrimSpace(t[:m[0]]) == ""
	}
	return t, false
}

// looseConstituent reads a row of a composition without heads of columns: name,
// numbers and content in one row, or spread over several.
func (s *reading) looseConstituent(row *grid.Row) bool {
	whole := row.Text()
	if len(strings.Fields(whole)) > 24 || s.dosed(whole) || s.isIdentity(row) {
		return false
	}
	t, skip := s.withoutHazards(strings.ReplaceAll(figure.Normal(joinCells(row)), "\n", " "))
	if skip || strings.TrimSpace(t) == "" {
		return s.record != nil
	}
	cas, ec, bad, rest := numbers(t)
	if hazardCode.MatchString(whole) && len(cas) == 0 && len(ec) == 0 && !strings.Contains(t, "%") {
		return s.record != nil // a classification that goes on
	}
	c := Constituent{CAS: cas, EC: ec, LowIn: true, HighIn: true, Place: s.rowPlace(row)}
	f, name, found := s.contentIn(row, rest, &c)
	c.Name = cleanName(s.withoutContentWords(s.withoutNumberWords(name)))
	for _, n := range bad {
		s.ask("number-wrong", c.Place, "number", n, "name", c.Name)
	}
	if !found && len(cas) == 0 && len(ec) == 0 && (len(strings.Fields(c.Name)) > 8 || strings.HasSuffix(whole, ".") || strings.Contains(whole, ":")) {
		return false
	}
	if found {
		s.setContent(&c, f)
		c.Printed = f.Printed
		if len(cas) == 0 && len(ec) == 0 && s.is("sds") && s.record == nil && c.Ask == "" {
			c.Ask = "not-read"
			s.ask("not-read", c.Place, "name", c.Name, "text", printed(whole))
		}
	}
	s.doubt(row.Place, &c.How)
	s.addToRecord(c, found)
	return true
}

// isIdentity says whether a row gives facts of the paper: labels with their values.
func (s *reading) isIdentity(row *grid.Row) bool {
	for _, l := range s.labelsOf[row] {
		switch l.key {
		case "cas", "ec", "casec", "inci":
		default:
			if l.sign && l.value != "" {
				return true
			}
		}
	}
	return false
}

func joinCells(row *grid.Row) string {
	var parts []string
	for _, c := range row.Cells {
		parts = append(parts, oneLine(c.Text))
	}
	return strings.Join(parts, "   ")
}

// contentIn finds the content of a loose row and gives the rest of its text.
func (s *reading) contentIn(row *grid.Row, rest string, c *Constituent) (figure.Figure, string, bool) {
	unit := lexicon.Unit{}
	var hit *figure.Figure
	var at grid.Cell
	for _, cell := range row.Cells {
		f, ok := s.fig.Parse(strings.ReplaceAll(cell.Text, "\n", " "), unit)
		if !ok || f.Status == figure.NotStated || f.Unit.Divisor == 0 && (f.Status == figure.Value || f.Status == figure.Zero) {
			continue
		}
		if f.Unit.Divisor == 0 && f.Low != "" && s.unit.Divisor != 0 {
			f.Unit, f.Rules = s.unit, append(f.Rules, "unit-of-the-paper")
		}
		if hit != nil {
			s.ask("two-figures", s.rowPlace(row), "name", printed(row.Cells[0].Text), "text", hit.Printed+", "+f.Printed)
			c.Ask = "two-figures"
			continue
		}
		hit, at = &f, cell
	}
	if hit != nil {
		c.Place = s.place(row.Place, at)
		return *hit, strings.Replace(rest, figure.Normal(oneLine(at.Text)), " ", 1), true
	}
	rest = spaces.ReplaceAllString(rest, " ")
	var figs []figure.Figure
	var ends [][2]int
	for i := 0; i < len(rest); {
		if !figureStart(rest, i) {
			i++
			continue
		}
		f, after, ok := s.fig.ParseAt(rest[i:], unit)
		if ok && f.Unit.Divisor == 0 && (f.Status == figure.Range || f.Status == figure.Below) && s.unit.Divisor != 0 {
			f.Unit, f.Rules = s.unit, append(f.Rules, "unit-of-the-paper")
		}
		if !ok || f.Unit.Divisor == 0 && f.Status != figure.Range && f.Status != figure.Below {
			for i < len(rest) && rest[i] != ' ' {
				i++
			}
			continue
		}
		end := len(rest) - len(after)
		figs, ends = append(figs, f), append(ends, [2]int{i, end})
		i = max(end, i+1)
	}
	switch len(figs) {
	case 0:
		return figure.Figure{}, rest, false
	case 1:
		before, after := strings.TrimSpace(rest[:ends[0][0]]), strings.TrimSpace(rest[ends[0][1]:])
		if before != "" && len(wordsOf(after)) > 0 && len(c.CAS) == 0 {
			return figure.Figure{}, rest, false // a figure in the middle of a text
		}
		return figs[0], before + " " + after, true
	}
	c.Ask = "two-figures"
	s.ask("two-figures", s.rowPlace(row), "name", cleanName(rest), "text", printed(row.Text()))
	return figs[0], rest[:ends[0][0]], true
}

// withoutContentWords drops the label of a content ("Conc.:") from a name.
func (s *reading) withoutContentWords(t string) string {
	for _, w := range wordsOf(t) {
		for _, e := range s.words.All("head", w.folded) {
			after := strings.TrimLeft(t[w.end:], " .")
			if e.Key == "content" && (strings.HasPrefix(after, ":") || strings.TrimSpace(after) == "" && w.start > 0) {
				return t[:w.start] + " " + strings.TrimPrefix(after, ":")
			}
		}
	}
	return t
}

// addToRecord joins what a row says with the constituent that the rows above have
// begun.
func (s *reading) addToRecord(c Constituent, content bool) {
	r := s.record
	numbers := len(c.CAS) > 0 || len(c.EC) > 0
	if r != nil && c.Name == "" {
		takes := true
		if numbers && len(r.CAS) > 0 && len(c.CAS) > 0 {
			takes = false
		}
		if content && r.Printed != "" {
			takes = false
		}
		if takes {
			r.CAS, r.EC = append(r.CAS, c.CAS...), append(r.EC, c.EC...)
			if content {
				merged := c
				merged.Name, merged.CAS, merged.EC = r.Name, r.CAS, r.EC
				*r = merged
			}
			return
		}
	}
	if r != nil && c.Name != "" && r.Name != "" && !numbers && !content && len(r.CAS) == 0 && r.Printed == "" {
		r.Name = oneLine(r.Name + "\n" + c.Name) // a long name over two lines
		return
	}
	s.closeRecord()
	s.record = &c
}

// closeRecord files the constituent that rows have built up.
func (s *reading) closeRecord() {
	r := s.record
	s.record = nil
	if r == nil {
		return
	}
	if len(r.CAS) == 0 && r.Printed == "" {
		s.out.NotUnderstood = append(s.out.NotUnderstood, Passed{Text: r.Name, Place: r.Place})
		return
	}
	if s.isTotal(r.Name) || r.Name == "" && len(r.CAS) == 0 {
		return
	}
	if r.CAS == nil {
		r.CAS = []string{}
	}
	if r.EC == nil {
		r.EC = []string{}
	}
	if s.names != nil {
		r.INCI = s.names.INCI(r.Name, r.CAS, r.EC)
	}
	s.otherEC(r)
	s.out.Composition = append(s.out.Composition, *r)
}

// looseAllergen reads a row of a declaration without heads of columns.
func (s *reading) looseAllergen(row *grid.Row) bool {
	cells := filledCells(row)
	if len(cells) < 2 {
		return false
	}
	cas, _, _, rest := numbers(joinCells(row))
	var hit *figure.Figure
	var at grid.Cell
	for _, c := range cells[1:] {
		if found, _, _, _ := numbers(c.Text); len(found) > 0 {
			continue
		}
		f, ok := s.fig.Parse(strings.ReplaceAll(c.Text, "\n", " "), lexicon.Unit{})
		if !ok {
			continue
		}
		if f.Unit.Divisor == 0 && f.Low != "" && s.unit.Divisor != 0 {
			f.Unit, f.Rules = s.unit, append(f.Rules, "unit-of-the-paper")
		}
		if hit != nil {
			return false
		}
		hit, at = &f, c
	}
	_ = rest
	name := cleanName(s.withoutNumberWords(cells[0].Text))
	if found, _, _, left := numbers(cells[0].Text); len(found) > 0 {
		name = cleanName(s.withoutNumberWords(left))
	}
	if _, known, _ := s.declared.find(name, cas); hit == nil || !known && len(cas) == 0 {
		return false
	}
	s.declare(s.allergen(name, cas, *hit, s.place(row.Place, at)), row.Place)
	return true
}

func (s *reading) declare(a Allergen, where grid.Place) {
	s.doubt(where, &a.How)
	if a.Ask == "page-not-trusted" {
		a.Status = "ask"
	}
	if s.out.Allergens == nil {
		s.out.Allergens = &Allergens{Rows: []Allergen{}}
	}
	s.out.Allergens.Rows = append(s.out.Allergens.Rows, a)
}

func (s *reading) isText() bool { return s.file.Form == paper.Mail || s.file.Form == paper.Text }
