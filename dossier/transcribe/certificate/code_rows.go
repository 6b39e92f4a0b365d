package certificate

import (
	"math"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
)

// codeRow keeps a row that is nothing but codes, and reads the rows under it as
// their limits, which may take several lines.
func (s *Reader) codeRow(row *cells.Row) bool {
	texts := s.underCodes(row)
	if n := len(s.codeHeads); n > 0 && (len(texts) == n || len(texts) == n+1) && !s.allCodes(row) {
		texts = texts[len(texts)-n:]
		if s.codeValues == nil {
			s.codeValues = make([]cells.Cell, n)
			s.codePlace = row.Place
		}
		for i, c := range texts {
			if s.codeValues[i].Text == "" {
				s.codeValues[i] = c
			} else {
				s.codeValues[i].Text += " " + c.Text
			}
		}
		return true
	}
	s.closeCodes()
	heads, spans, ok := s.codesOf(row)
	if !ok {
		return false
	}
	s.codeHeads, s.codeSpans = heads, spans
	return true
}

// span is where a code stands on its line.
type span struct{ x0, x1 float64 }

func (x span) middle() float64 { return (x.x0 + x.x1) / 2 }

// underCodes gives the cells of a row; where narrow columns have run together, its
// words under the codes above them: from the left edge of each code, otherwise nearest to
// its middle.
func (s *Reader) underCodes(row *cells.Row) []cells.Cell {
	n := len(s.codeHeads)
	if n == 0 || len(row.Cells) == n || len(row.Cells) == n+1 || row.Size == 0 {
		return row.Cells
	}
	if out, ok := s.wordsUnder(row, func(w span) int {
		best := 0
		for i, x := range s.codeSpans {
			if x.x0 <= w.x0+0.25*row.Size {
				best = i
			}
		}
		return best
	}); ok {
		return out
	}
	reach := s.codeSpans[1].middle() - s.codeSpans[0].middle()
	if out, ok := s.wordsUnder(row, func(w span) int {
		best, near := -1, reach
		for i, x := range s.codeSpans {
			if d := math.Abs(x.middle() - w.middle()); d < near {
				best, near = i, d
			}
		}
		return best
	}); ok {
		return out
	}
	return row.Cells
}

// wordsUnder puts the words of a row under the codes; ok is false where a code is left
// without a word, or one gets what is no limit.
func (s *Reader) wordsUnder(row *cells.Row, under func(span) int) (out []cells.Cell, ok bool) {
	out = make([]cells.Cell, len(s.codeHeads))
	for _, c := range row.Cells {
		for _, w := range c.Words {
			i := under(span{w.X0, w.X1})
			if i < 0 {
				continue
			}
			out[i].Line = c.Line
			out[i].Text = strings.TrimSpace(out[i].Text + " " + w.Text)
		}
	}
	for _, c := range out {
		if c.Text == "" {
			return nil, false
		}
	}
	return out, true
}

// codesOf gives the category codes of a row that is nothing but codes, at least three, and
// where each stands. Words before the first do not count.
func (s *Reader) codesOf(row *cells.Row) (heads []codes, spans []span, ok bool) {
	for i, c := range row.Cells {
		k, found := s.codesIn(c.Text, false)
		if !found && i == 0 && !strings.ContainsAny(c.Text, "0123456789") {
			continue
		}
		if found && k.rest == "" && isHead(k) {
			heads, spans = append(heads, k), append(spans, cellSpan(c))
			continue
		}
		for n, w := range c.Words { // narrow columns that have run together
			k, found := s.codesIn(w.Text, false)
			if !found && i == 0 && n == 0 && !strings.ContainsAny(w.Text, "0123456789") {
				continue
			}
			if !found || k.rest != "" || !isHead(k) {
				return nil, nil, false
			}
			heads, spans = append(heads, k), append(spans, span{w.X0, w.X1})
		}
		if len(c.Words) == 0 {
			return nil, nil, false
		}
	}
	return heads, spans, len(heads) >= 3
}

func isHead(k codes) bool {
	return slices.Contains(categories, k.list[0]) || slices.Contains(categories, k.list[0]+"A")
}

func cellSpan(c cells.Cell) span {
	if n := len(c.Words); n > 0 {
		return span{c.Words[0].X0, c.Words[n-1].X1}
	}
	return span{c.X0, c.X0}
}

// allCodes says whether a row is nothing but category codes.
func (s *Reader) allCodes(row *cells.Row) bool {
	_, _, ok := s.codesOf(row)
	return ok
}

// closeCodes files the limits that stood under a row of codes.
func (s *Reader) closeCodes() {
	heads, values := s.codeHeads, s.codeValues
	s.codeHeads, s.codeValues, s.codeSpans = nil, nil, nil
	if values == nil {
		return
	}
	for i, c := range values {
		s.addLimit(heads[i], c.Text, s.percent(), s.Place(s.codePlace, c), s.codePlace, false)
	}
}
