package properties

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
)

// PendingProperty joins the name of a property on a line of its own with the value
// on the next.
func (s *Reader) PendingProperty(row *cells.Row) bool {
	name, above := s.pendingHead, s.pendingRow
	s.pendingHead = ""
	t := pieces.Printed(row.Text())
	if name != "" && stacked(above, row) {
		if f, ok := s.Figures.Parse(t, s.UnitOf(name, "")); ok && f.Status != figure.NotStated {
			s.Put(reading.Property{Name: name}, f, s.ValueKind(), s.RowPlace(row), row.Place)
			return true
		}
	}
	if _, ok := s.PropertyOf(t, true); ok && len(row.Cells) == 1 {
		s.pendingHead, s.pendingRow = strings.TrimRight(t, ": "), row
	}
	return false
}

// stacked says whether a row stands under another as a value under its heading: at
// the same left edge and a line lower. Cells of a table that are centred beside
// each other do not.
func stacked(above, row *cells.Row) bool {
	if row.Size == 0 {
		return true
	}
	if above.Page != row.Page || len(row.Cells) == 0 || len(above.Cells) == 0 {
		return false
	}
	left := row.Cells[0].X0 - above.Cells[0].X0
	return left > -3 && left < 3 && row.Y-above.Y > 0.95*row.Size
}

// pairs reads a row of several properties side by side, each with its value in the next
// cell.
func (s *Reader) pairs(row *cells.Row, texts []cells.Cell) bool {
	if len(texts) < 4 || len(texts)%2 != 0 {
		return false
	}
	for i := 0; i < len(texts); i += 2 {
		name := pieces.OneLine(texts[i].Text)
		if _, ok := s.PropertyOf(name, true); !ok {
			return false
		}
		if f, ok := s.Figures.Parse(pieces.OneLine(texts[i+1].Text), s.UnitOf(name, "")); !ok ||
			f.Status == figure.NotStated {
			return false
		}
	}
	for i := 0; i < len(texts); i += 2 {
		one := *row
		one.Cells = texts[i : i+2]
		s.LooseProperty(&one)
	}
	return true
}

// LooseProperty reads a row that gives the name of a property and its value.
func (s *Reader) LooseProperty(row *cells.Row) bool {
	if s.PendingProperty(row) {
		return true
	}
	texts := desk.FilledCells(row)
	if len(texts) == 0 { // colons alone
		return false
	}
	if s.cards(row, texts) || s.pairs(row, texts) {
		return true
	}
	if len(texts) == 1 {
		return s.propertyInCell(row, texts[0])
	}
	name := strings.TrimRight(pieces.Unlisted(pieces.OneLine(texts[0].Text)), ": ")
	if c, _, _, _ := pieces.Numbers(name); len(c) > 0 || pieces.HasCAS(row.Text()) &&
		s.Topic != "impurities" {
		return false
	}
	_, known := s.PropertyOf(name, false)
	listed := s.Topic == "physical" || s.Topic == "impurities"
	if !known && (!listed || s.Dosed(name)) {
		return false
	}
	unit := s.UnitOf(name, "")
	method, spec := "", ""
	var values []cells.Cell
	var figs []figure.Figure
	for _, c := range texts[1:] {
		c.Text = strings.TrimLeft(c.Text, ": ")
		if u, ok := s.Figures.UnitIn(c.Text); ok && !strings.ContainsAny(c.Text, "0123456789") &&
			len(c.Text) <= 14 && len(strings.TrimSpace(c.Text)) <= len(u.Printed)+6 && u.Divisor >= 0 {
			unit = u
			continue
		}
		if in, ok := s.specInBrackets(c.Text, unit); ok && len(figs) == 1 && spec == "" {
			spec = in
			continue
		}
		f, ok := s.Figures.Parse(strings.ReplaceAll(c.Text, "\n", " "), unit)
		if !ok {
			if f2, rest, partly := s.Figures.ParseAt(strings.ReplaceAll(c.Text, "\n", " "), unit); partly &&
				harmless(rest) {
				f, f.Printed, ok = f2, pieces.Printed(c.Text), true
			}
		}
		if ok {
			values, figs = append(values, c), append(figs, f)
		} else if method == "" {
			method = pieces.Printed(c.Text)
		}
	}
	for i := range figs {
		if figs[i].Unit.Name == "" && unit.Name != "" {
			figs[i].Unit = unit
		}
	}
	base := reading.Property{Name: name, Method: method, Spec: spec}
	analysis := s.Is("certificate-of-analysis")
	switch {
	case len(figs) == 1 && analysis && method != "" && figs[0].Status == figure.Complies: // "brown liquid", "conforms"
		base.Spec, base.Method = method, ""
		s.Put(base, figs[0], "result", s.Place(row.Place, values[0]), row.Place)
	case len(figs) == 2 && analysis && isLimit(figs[0]) != isLimit(figs[1]):
		wanted, found := 0, 1
		if isLimit(figs[1]) {
			wanted, found = 1, 0
		}
		base.Spec = figs[wanted].Printed
		s.Put(base, figs[found], "result", s.Place(row.Place, values[found]), row.Place)
	case len(figs) == 1 && analysis && isLimit(figs[0]) && signedBehind(texts, values[0]):
		s.Ask("not-read", s.RowPlace(row), "name", name, "text", pieces.Printed(row.Text()))
	case len(figs) == 1:
		s.Put(base, figs[0], s.looseKind(figs[0]), s.Place(row.Place, values[0]), row.Place)
	case len(figs) == 2 && inside(figs[1], figs[0]):
		base.Spec = figs[0].Printed
		s.Put(base, figs[1], "result", s.Place(row.Place, values[1]), row.Place)
	case len(figs) == 0:
		if known && method != "" {
			if n := len(texts); n > 2 && s.Is("certificate-of-analysis") { // what is wanted, what was found
				base.Spec, method = pieces.Printed(texts[n-2].Text), pieces.Printed(texts[n-1].Text)
			}
			base.Printed, base.Kind, base.Op, base.Method, base.Place = method, "statement", "statement", "",
				s.RowPlace(row)
			s.PutWords(base)
			return true
		}
		return false
	default:
		s.Ask("two-figures", s.RowPlace(row), "name", name, "text", pieces.Printed(row.Text()))
	}
	return true
}

// signedBehind says whether a cell behind a limit begins with a sign and was not understood: the result,
// beside what is wanted.
func signedBehind(texts []cells.Cell, limit cells.Cell) bool {
	return slices.ContainsFunc(texts, func(c cells.Cell) bool {
		return c.X0 > limit.X0 && strings.ContainsAny(strings.TrimSpace(c.Text)[:1], "<>~=")
	})
}

// saidOf reads what an analysis or a data sheet says of a property in words: "Odour:
// faint, characteristic".
func (s *Reader) saidOf(row *cells.Row, c cells.Cell, t string) bool {
	name, said, labelled := strings.Cut(t, ":")
	name, said = strings.TrimSpace(name), strings.TrimSpace(said)
	if !labelled || said == "" || len(strings.Fields(said)) > mostWords ||
		!s.Is("certificate-of-analysis") && s.Topic != "physical" {
		return false
	}
	if _, known := s.PropertyOf(name, true); !known {
		return false
	}
	s.PutWords(reading.Property{Name: name, Printed: said, Kind: "statement", Op: "statement",
		Place: s.Place(row.Place, c)})
	return true
}

// mostWords is how many words a property says at most of itself; more are a sentence.
const mostWords = 10

// limitIn takes the limits that stand in brackets behind a figure of the same cell, alone
// or behind a comma: "0.31 (max. 0.5)".
func (s *Reader) limitIn(f *figure.Figure) string {
	note := f.Note
	if i := strings.LastIndex(note, ", "); i >= 0 {
		note = note[i+2:]
	}
	spec, ok := s.specInBrackets("("+note+")", f.Unit)
	if !ok {
		return ""
	}
	f.Printed = strings.TrimSpace(strings.TrimSuffix(f.Printed, "("+f.Note+")"))
	return spec
}

// specInBrackets reads the limits that stand in brackets behind a result: "(max 5)".
func (s *Reader) specInBrackets(t string, unit lexicon.Unit) (string, bool) {
	t = strings.TrimSpace(t)
	if !strings.HasPrefix(t, "(") || !strings.HasSuffix(t, ")") {
		return "", false
	}
	t = strings.Trim(t, "() ")
	f, ok := s.Figures.Parse(strings.ReplaceAll(t, "\n", " "), unit)
	return pieces.Printed(t), ok && (f.Status == figure.Below || f.Status == figure.Above ||
		f.Status == figure.Range)
}

// isLimit says whether a figure is two bounds, or one that a word or an equals sign
// includes: what is wanted, and no result.
func isLimit(f figure.Figure) bool {
	return f.Status == figure.Range || f.Status == figure.Above || f.Status == figure.Below && f.HighIn
}

// inside says whether a single figure lies between the bounds of another.
func inside(f, spec figure.Figure) bool {
	if f.Status != figure.Value && f.Status != figure.Below && f.Status != figure.NotDetected {
		return false
	}
	switch spec.Status {
	case figure.Range:
		return f.Low != "" && !figure.Sum(f.Low).Less(figure.Sum(spec.Low)) &&
			!figure.Sum(spec.High).Less(figure.Sum(f.High))
	case figure.Below:
		return f.Status == figure.NotDetected || !figure.Sum(spec.High).Less(figure.Sum(f.High))
	case figure.Above:
		return f.Low != "" && !figure.Sum(f.Low).Less(figure.Sum(spec.Low))
	}
	return false
}

// looseKind tells what a lone figure is: a bound is a specification.
func (s *Reader) looseKind(f figure.Figure) string {
	if s.Is("technical-data-sheet") && s.Typical == "" &&
		(f.Status == figure.Below || f.Status == figure.Range || f.Status == figure.Above) && !s.Is("sds") {
		return "specification"
	}
	return s.ValueKind()
}

// propertyInCell reads "Flash point: 72 °C" and "Flash point 72 °C".
func (s *Reader) propertyInCell(row *cells.Row, c cells.Cell) bool {
	t := pieces.Unlisted(pieces.Printed(c.Text))
	listed := s.Topic == "physical" || s.Topic == "impurities"
	for from := 0; ; {
		i := strings.Index(t[from:], ":")
		if i < 0 {
			break
		}
		i += from
		from = i + 1
		name, value := strings.TrimSpace(t[:i]), strings.TrimSpace(t[i+1:])
		_, whole := s.PropertyOf(name, true)
		if name == "" || value == "" || len(strings.Fields(name)) > 8 && !whole {
			continue
		}
		if valueBefore.MatchString(bracketed.ReplaceAllString(name, " ")) { // "Density: 0.810, refractive index: 1.4520" is of two
			return false
		}
		if _, known := s.PropertyOf(name, false); !known && (!listed || s.Dosed(name)) {
			continue
		}
		f, ok := s.Figures.Parse(value, s.UnitOf(name, ""))
		if !ok {
			f2, rest, partly := s.Figures.ParseAt(value, s.UnitOf(name, ""))
			if !partly || !harmless(rest) {
				continue
			}
			f, f.Printed = f2, value
		}
		spec := s.limitIn(&f)
		s.Put(reading.Property{Name: name, Spec: spec}, f, s.looseKind(f), s.Place(row.Place, c), row.Place)
		return true
	}
	if s.saidOf(row, c, t) {
		return true
	}
	ws := pieces.Words(t)
	for k := min(6, len(ws)); k >= 1; k-- {
		end := ws[k-1].End
		if strings.HasPrefix(t[end:], ")") && strings.Count(t[:end], "(") > strings.Count(t[:end], ")") {
			end++
		}
		name := t[:end]
		if _, ok := s.PropertyOf(name, true); !ok || strings.Count(name, "(") != strings.Count(name, ")") {
			continue
		}
		rest := t[end:]
		if m := bracketAtStart.FindString(rest); m != "" {
			name, rest = name+m, rest[len(m):]
		}
		if f, ok := s.Figures.Parse(strings.TrimLeft(rest, " :=-–"), s.UnitOf(name, "")); ok &&
			f.Status != figure.NotStated {
			s.Put(reading.Property{Name: name}, f, s.looseKind(f), s.Place(row.Place, c), row.Place)
			return true
		}
	}
	return false
}

// valueBefore is a property with its value before another one: "Nickel: below 1 mg/kg; lead".
var valueBefore = pattern.New(`:[^:]*\d.*[,;]\s`)

// bracketed is a bracket with what stands in it, which may have a colon of its own.
var bracketed = pattern.New(`[\[(][^\])]*[\])]`)

var bracketAtStart = pattern.New(`^\s*[\[(][^\])]*[\])]`)
