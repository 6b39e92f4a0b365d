package desk

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/ingredients/pattern"
)

// FiguresIn finds the figures of running text.
func (s *Desk) FiguresIn(t string) []figure.Figure {
	t = figure.Normal(t)
	var out []figure.Figure
	for i := 0; i < len(t); {
		if !FigureStart(t, i) {
			i++
			continue
		}
		f, rest, ok := s.Figures.ParseAt(t[i:], lexicon.Unit{})
		if !ok {
			for i < len(t) && t[i] != ' ' {
				i++
			}
			continue
		}
		out = append(out, f)
		i = max(i+1, len(t)-len(rest))
	}
	return out
}

// FigureStart says whether a figure may begin at a byte of a text.
func FigureStart(t string, i int) bool {
	c := t[i]
	isSign := c == '<' || c == '>' || strings.HasPrefix(t[i:], "≤") || strings.HasPrefix(t[i:], "≥") ||
		strings.HasPrefix(t[i:], "±")
	if !isSign && (c < '0' || c > '9') {
		return false
	}
	if i == 0 {
		return true
	}
	switch t[i-1] {
	case ' ', '(', '[', '=', ':', '/', '~', '+', ';', '\n', '<', '>':
		return true
	}
	return false
}

// fillers are a bracket, a word or two and a sign that may stand between a name and
// its figure.
var fillers = pattern.New(`^\s*(?:[\[(][^\])\d]*[\])])?\s*` +
	`(?:[:=]|[\p{L}]{1,8}(?: [\p{L}]{1,6})?)?\s*[:=]?\s*`)

// SignIn finds where words for a sign, such as "below", begin at the end of a text; -1 for
// none.
func (s *Desk) SignIn(t string) int {
	ws := pieces.Words(t)
	for i := range ws {
		if _, ok := s.Words.Exact("sign", t[ws[i].Start:]); ok {
			return ws[i].Start
		}
	}
	return -1
}

// SignedAt is where the figure at a place of a text begins with the words for its sign: without
// "up to" a bound would become a content.
func (s *Desk) SignedAt(t string, i int) int {
	t = strings.TrimRight(t[:i], " ")
	at := s.SignIn(t)
	if at < 0 {
		return i
	}
	if e, ok := s.Words.Exact("sign", t[at:]); !ok || e.Key == "to" {
		return i
	}
	return at
}

// opened is a text without the bracket before its figure.
func opened(t string) string {
	if openedFigure.MatchString(t) {
		return strings.TrimLeft(t, "([ ")
	}
	return t
}

// openedFigure is a bracket that holds a figure, up to its first sign.
var openedFigure = pattern.New(`^[\[(]\s*[\d<>≤≥]`)

// presentAt is what says between a name and its share that it is there: "is present at".
var presentAt = lexicon.Pattern(`(?i)^\s*(?:<<copula>>)(?:\s+<<present>>)?\s+(?:(?:<<at>>|<<of>>)\s+)?`)

// goesOnTo is a second figure behind a word that is not understood, where the first has no
// unit of its own: half of a range in words.
var goesOnTo = pattern.New(`^\s+\pL{1,9}\s+[<>≤≥]?\d[\d.,]*\s*(?:%|ppm|mg|g/|°)`)

// bracketed is a bracket right behind a name, with a dash behind it or none.
var bracketed = pattern.New(`^\s*[\[(][^\])]*[\])](?:\s*[-–—](?:\s|$))?`)

// FiguresBehind reads n figures parted by strokes right behind a name.
func (s *Desk) FiguresBehind(t string, n int) []figure.Figure {
	if len(t) > 1 && t[0] == '-' && t[1] >= '0' && t[1] <= '9' {
		return nil // part of a code: "FE-22"
	}
	if m := bracketed.FindString(t); m != "" && pieces.HasCAS(m) { // "linalool (CAS 78-70-6) – up to 1.2 %"
		t = t[len(m):]
	}
	t = strings.TrimLeft(t, " ")
	if f, ok := s.Figures.Parse(strings.Trim(strings.TrimLeft(t, ":= "), " ,;."), lexicon.Unit{}); ok &&
		f.Status != figure.NotStated && n == 1 {
		return []figure.Figure{f}
	}
	at := fillers.FindStringIndex(t)
	if at == nil {
		return nil
	}
	var out []figure.Figure
	rest := t[at[1]:]
	if word := s.SignIn(t[:at[1]]); word >= 0 { // "geraniol below 0.001 %"
		rest = t[word:]
	}
	if m := presentAt().FindString(t); m != "" { // "is present at 0.42 %", "is below 0.001 %"
		if _, _, ok := s.Figures.ParseAt(opened(t[len(m):]), lexicon.Unit{}); ok {
			rest = t[len(m):]
		}
	}
	rest = opened(rest) // "limonene (38.5 %)"
	for k := range n {
		f, after, ok := s.Figures.ParseAt(rest, lexicon.Unit{})
		if !ok || f.Printed == "" || f.Unit.Name == "" && goesOnTo.MatchString(after) {
			return nil
		}
		out, rest = append(out, f), strings.TrimLeft(after, " ")
		if k+1 < n {
			if !strings.HasPrefix(rest, "/") {
				return nil
			}
			rest = strings.TrimLeft(rest[1:], " ")
		}
	}
	last := out[len(out)-1].Unit
	for k := range out {
		if out[k].Unit.Name == "" && n > 1 {
			out[k].Unit = last
		}
	}
	return out
}

// CellFigure reads a cell as a figure. A stored number has a point for decimal
// sign whatever the language.
func (s *Desk) CellFigure(cell cells.Cell, unit lexicon.Unit) (figure.Figure, bool) {
	r := s.Figures
	if cell.Number {
		r.Habit = figure.Point
	}
	f, ok := parseLines(r, cell.Text, unit)
	s.Footnotes = s.Footnotes || ok && f.Footnote
	return f, ok
}

// parseLines reads a figure that may take several lines. Lines that are figures of
// their own are two figures and no range.
func parseLines(r figure.Reader, text string, unit lexicon.Unit) (figure.Figure, bool) {
	if lines := strings.Split(text, "\n"); len(lines) > 1 {
		whole := 0
		for _, l := range lines {
			if f, ok := r.Parse(l, unit); ok && f.Status != figure.NotStated {
				whole++
			}
		}
		if whole > 1 {
			return figure.Figure{Printed: pieces.Printed(text)}, false
		}
	}
	f, ok := r.Parse(strings.ReplaceAll(text, "\n", " "), unit)
	if !ok && strings.Contains(text, "-\n") { // a word broken at the end of a line
		if g, whole := r.Parse(strings.ReplaceAll(strings.ReplaceAll(text, "-\n", ""), "\n", " "), unit); whole {
			g.Printed = pieces.Printed(text)
			return g, true
		}
	}
	return f, ok
}
