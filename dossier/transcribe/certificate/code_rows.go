package certificate

import (
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
	if !s.allCodes(row) {
		return false
	}
	for _, c := range row.Cells {
		if k, ok := s.codesIn(c.Text, false); ok {
			s.codeHeads = append(s.codeHeads, k)
			s.codeXs = append(s.codeXs, c.X0)
		}
	}
	return true
}

// underCodes gives the cells of a row; where narrow columns have run together, its
// words under the codes above them.
func (s *Reader) underCodes(row *cells.Row) []cells.Cell {
	n := len(s.codeHeads)
	if n == 0 || len(row.Cells) == n || len(row.Cells) == n+1 || row.Size == 0 {
		return row.Cells
	}
	out := make([]cells.Cell, n)
	for _, c := range row.Cells {
		for _, w := range c.Words {
			best := 0
			for i, x := range s.codeXs {
				if x <= w.X0+0.25*row.Size {
					best = i
				}
			}
			out[best].Line = c.Line
			out[best].Text = strings.TrimSpace(out[best].Text + " " + w.Text)
		}
	}
	for _, c := range out {
		if c.Text == "" {
			return row.Cells
		}
	}
	return out
}

// allCodes says whether a row is nothing but category codes, at least three, a
func (s *Reader) allCodes(row *cells.Row) bool {
	n := 0
	for i, c := range row.Cells {
		k, ok := s.codesIn(c.Text, false)
		if !ok && i == 0 && !strings.ContainsAny(c.Text, "0123456789") {
			continue
		}
		if !ok || k.rest != "" || len(k.list) == 0 || !slices.Contains(categories, k.list[0]) &&
			!slices.Contains(categories, k.list[0]+"A") {
			return false
		}
		n++
	}
	return n >= 3
}

// closeCodes files the limits that stood under a row of codes.
func (s *Reader) closeCodes() {
	heads, values := s.codeHeads, s.codeValues
	s.codeHeads, s.codeValues, s.codeXs = nil, nil, nil
	if values == nil {
		return
	}
	for i, c := range values {
		s.addLimit(heads[i], c.Text, s.percent(), s.Place(s.codePlace, c), s.codePlace, false)
	}
}
