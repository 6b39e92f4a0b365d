package transcribe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
)

var categories = []string{"1", "2", "3", "4", "5A", "5B", "5C", "5D", "6", "7A", "7B", "8", "9", "10A", "10B", "11A", "11B", "12"}

type codes struct {
	list []string
	bare bool // a category whose letter is missing
	old  bool
	rest string
}

func (s *reading) codesIn(t string, needWord bool) (codes, bool) {
	var out codes
	t = strings.TrimSpace(strings.ReplaceAll(t, "\n", " "))
	t, worded := s.afterCategoryWord(t)
	if !worded && needWord {
		return out, false
	}
	for {
		if oldLetter.MatchString(t) {
			out.old = true
		}
		m := codeToken.FindStringSubmatch(t)
		if m == nil {
			if l := letterTok.FindStringSubmatch(t); l != nil && len(out.list) > 0 {
				out.add(digitsOf(out.list[len(out.list)-1]) + l[1])
				t = t[1:]
			} else {
				break
			}
		} else {
			out.add(m[1] + strings.ToUpper(m[2]))
			t = t[len(strings.TrimSpace(m[0])):]
		}
		if r := codeRange.FindString(t); strings.TrimSpace(r) != "" && (codeToken.MatchString(t[len(r):]) || letterTok.MatchString(t[len(r):])) && len(out.list) == 1 {
			if next, ok := out.to(t[len(r):]); ok {
				t = next
				break
			}
		}
		j := codeJoint.FindString(t)
		if strings.TrimSpace(j) == "" || !codeToken.MatchString(t[len(j):]) && !letterTok.MatchString(t[len(j):]) {
			break
		}
		if after := t[len(j):]; needWord && codeToken.MatchString(after) && !isCode(after) {
			break
		}
		t = t[len(j):]
	}
	out.rest = strings.TrimSpace(t)
	return out, len(out.list) > 0
}

func isCode(t string) bool {
	m := codeToken.FindStringSubmatch(t)
	rest := t[len(m[0]):]
	return !strings.HasPrefix(rest, ".") && !strings.HasPrefix(rest, ",") && !strings.HasPrefix(strings.TrimSpace(rest), "%")
}

func (s *reading) afterCategoryWord(t string) (string, bool) {
	worded := false
	for range 3 {
		ws := wordsOf(t)
		if len(ws) == 0 || ws[0].start > 3 {
			break
		}
		w := ws[0].folded
		if _, ok := s.words.Exact("category", w); !ok && w != "ifra" && w != "qra" {
			break
		}
		worded = worded || w != "ifra"
		t = strings.TrimLeft(t[ws[0].end:], " .:#°º-")
	}
	return t, worded
}

func (c *codes) add(code string) {
	if code == "11" {
		c.list = append(c.list, "11A", "11B")
		return
	}
	if !slices.Contains(categories, code) {
		if slices.Contains(categories, code+"A") {
			c.bare = true
		} else {
			c.old = true
		}
	}
	c.list = append(c.list, code)
}

func digitsOf(code string) string { return strings.TrimRight(code, "ABCD") }

func (c *codes) to(t string) (string, bool) {
	end := ""
	if m := codeToken.FindStringSubmatch(t); m != nil {
		end, t = m[1]+strings.ToUpper(m[2]), t[len(strings.TrimSpace(m[0])):]
	} else if m := letterTok.FindStringSubmatch(t); m != nil {
		end, t = digitsOf(c.list[0])+m[1], t[1:]
	}
	from, to := slices.Index(categories, c.list[0]), slices.Index(categories, end)
	if from < 0 || to <= from {
		return t, false
	}
	c.list = append(c.list, categories[from+1:to+1]...)
	return t, true
}

func (s *reading) codeRow(row *cells.Row) bool {
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

func (s *reading) underCodes(row *cells.Row) []cells.Cell {
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

func (s *reading) allCodes(row *cells.Row) bool {
	n := 0
	for i, c := range row.Cells {
		k, ok := s.codesIn(c.Text, false)
		if !ok && i == 0 && !strings.ContainsAny(c.Text, "0123456789") {
			continue
		}
		if !ok || k.rest != "" || len(k.list) == 0 || !slices.Contains(categories, k.list[0]) && !slices.Contains(categories, k.list[0]+"A") {
			return false
		}
		n++
	}
	return n >= 3
}

func (s *reading) closeCodes() {
	heads, values := s.codeHeads, s.codeValues
	s.codeHeads, s.codeValues, s.codeXs = nil, nil, nil
	if values == nil {
		return
	}
	for i, c := range values {
		s.limit(heads[i], c.Text, s.percent(), s.place(s.codePlace, c), s.codePlace, false)
	}
}
