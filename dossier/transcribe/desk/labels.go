package desk

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// Label is a label of the paper's identity with the text behind it.
type Label struct {
	Key, word, Value string
	Sign             bool // a colon stood behind the label, or it had a cell of its own
	Place            reading.Place
	Row              *cells.Row
	Nth              int // row of the paper, from 0
}

// Alone says whether a label of several words, such as "product code", gives nothing but a
// value.
func (l Label) Alone(value string) bool {
	return strings.Contains(l.word, " ") && strings.Trim(l.Value, " .,;") == value
}

// LabelsIn finds the labels of a text and what stands behind each up to the next.
func (s *Desk) LabelsIn(t string) []Label {
	ws := pieces.Words(t)
	type hit struct {
		key, Word  string
		start, end int
	}
	var hits []hit
	for i := 0; i < len(ws); {
		best, n := lexicon.Entry{}, 0
		for k := min(6, len(ws)-i); k >= 1 && n == 0; k-- {
			parts := make([]string, k)
			for j := range k {
				parts[j] = ws[i+j].Folded
			}
			crossed := strings.Contains(t[ws[i].Start:ws[i+k-1].End], "/")
			for _, e := range s.Words.All("label", strings.Join(parts, " ")) {
				if crossed && e.Key != "casec" && e.Key != "batch" {
					continue // "Version / date" are two
				}
				if n == 0 || moreSpecial(e.Key, best.Key) {
					best, n = e, k
				}
			}
		}
		if n == 0 || gluedToCode(t[ws[i+n-1].End:]) {
			i++
			continue
		}
		hits = append(hits, hit{best.Key, best.Word, ws[i].Start, ws[i+n-1].End})
		i += n
	}
	var out []Label
	for i, h := range hits {
		if i > 0 && h.key == "version" && hits[i-1].key == "replaces" && opens(t[hits[i-1].end:h.start]) {
			continue // "Previous issue: May 2024 (rev. 2)" tells no version of the paper
		}
		end := len(t)
		tail := t[h.end:]
		l := Label{Key: h.key, word: h.Word}
		trimmed := strings.TrimLeft(tail, " .)(°º\u00a0")
		l.Sign = strings.HasPrefix(trimmed, ":") || strings.HasPrefix(trimmed, "=") ||
			strings.HasPrefix(trimmed, "#")
		for _, next := range hits[i+1:] {
			// a label inside the value of another counts where a colon follows or a gap is before it
			if next.start > h.end && (!l.Sign || colonBehind(t, next.end) ||
				strings.HasSuffix(t[:next.start], "  ") || next.key == "version" || next.key == "replaces" ||
				next.key == "batch" || next.key == "print-date") {
				end = next.start
				break
			}
		}
		l.Value = strings.TrimRight(strings.TrimLeft(t[h.end:end], " :.#=°º\t\u00a0,;|"), " :#=\t\u00a0,;|(")
		out = append(out, l)
	}
	return out
}

// opens says whether a text has a bracket open at its end.
func opens(t string) bool { return strings.LastIndex(t, "(") > strings.LastIndex(t, ")") }

// gluedToCode says whether a hyphen and a figure follow a word, which is then the start of a
// code: "ED-71".
func gluedToCode(rest string) bool {
	return len(rest) > 1 && rest[0] == '-' && rest[1] >= '0' && rest[1] <= '9'
}

// moreSpecial orders labels that share a word: dates of a kind before dates.
func moreSpecial(a, b string) bool {
	return b == "date" && a != "date" || b == "trade-name" && a == "code"
}

func colonBehind(t string, i int) bool {
	rest := strings.TrimLeft(t[i:], " .")
	return strings.HasPrefix(rest, ":")
}

// allLabels lists the labels of the paper: inside a cell, or in a cell with the
// value in the next.
func (s *Desk) allLabels() []Label {
	var out []Label
	n := 0
	for _, it := range s.Items {
		if it.Table != nil && !it.Table.Hidden && it.Table.Quote == 0 {
			out = append(out, s.footLabels(it.Table, n)...)
		}
		if it.Row == nil || it.Row.Hidden || it.Row.Quote > 0 {
			continue
		}
		row := it.Row
		for i, c := range row.Cells {
			before := len(out)
			labels := s.LabelsIn(c.Text)
			two, inTwo := s.labelInTwo(c.Text)
			if inTwo = inTwo && i+1 < len(row.Cells); inTwo {
				labels = []Label{two}
			}
			for _, l := range labels {
				l.Place, l.Row, l.Nth = s.Place(row.Place, c), row, n
				whole := inTwo || lexicon.Fold(c.Text) == l.word
				if l.Value == "" && (whole || endsInLabel(c.Text, l)) && i+1 < len(row.Cells) {
					next := row.Cells[i+1:]
					k := slices.IndexFunc(next, func(c cells.Cell) bool {
						return strings.Trim(c.Text,
							" :") != ""
					})
					if k >= 0 {
						l.Value, l.Sign, l.Place = strings.Trim(s.withoutNext(next[k].Text), " :"), true,
							s.Place(row.Place, next[k])
					}
				}
				out = append(out, l)
			}
			s.sharedLabel(&out, before, row, i, n)
		}
		n++
	}
	return out
}

// labelInTwo takes a text as one label in two languages, at least one of which the words know:
// "Lotto / Batch". Two labels that mean different things share their value otherwise.
func (s *Desk) labelInTwo(t string) (l Label, ok bool) {
	one, other, ok := strings.Cut(strings.Trim(t, " :"), " / ")
	if !ok || strings.Contains(other, "/") || strings.ContainsAny(t, "0123456789") {
		return l, false
	}
	var within []Label // in a half that is no label as a whole
	for _, half := range []string{one, other} {
		best := lexicon.Entry{}
		for _, e := range s.Words.All("label", lexicon.Fold(half)) {
			if best.Key == "" || moreSpecial(e.Key, best.Key) {
				best = e
			}
		}
		if best.Key == "" {
			within = append(within, s.LabelsIn(half)...)
			continue
		}
		if l.Key != "" && l.Key != best.Key {
			return l, false
		}
		l.Key, l.word = best.Key, best.Word
	}
	return l, l.Key != "" && !slices.ContainsFunc(within, func(k Label) bool { return k.Key != l.Key })
}

// endsInLabel says whether a text ends in a label of several words, as where the next
// column of a table stands close: "Zinc Oxide Batch No.".
func endsInLabel(t string, l Label) bool {
	ws := pieces.Words(t)
	n := len(strings.Fields(l.word))
	return n > 1 && len(ws) > n && l.Value == "" &&
		lexicon.Fold(t[ws[len(ws)-n].Start:]) == l.word
}

// withoutNext takes the label of the next column off the end of a value.
func (s *Desk) withoutNext(v string) string {
	ls := s.LabelsIn(v)
	if len(ls) == 0 || !endsInLabel(v, ls[len(ls)-1]) {
		return v
	}
	ws := pieces.Words(v)
	return strings.TrimSpace(v[:ws[len(ws)-len(strings.Fields(ls[len(ls)-1].word))].Start])
}

// footLabels lists the labels of the lines that end a table and fill one cell alone, as a
// file of cells writes what stands under the table.
func (s *Desk) footLabels(t *cells.Table, nth int) (out []Label) {
	for i := len(t.Rows) - 1; i > 0; i-- {
		row := &t.Rows[i]
		filled := FilledCells(row)
		if len(filled) > 1 {
			break
		}
		for _, c := range filled {
			for _, l := range s.LabelsIn(c.Text) {
				l.Place, l.Row, l.Nth = s.Place(row.Place, c), row, nth
				out = append(out, l)
			}
		}
	}
	return out
}

// sharedLabel gives the parts of "Version / date" their values in the next cells.
func (s *Desk) sharedLabel(out *[]Label, from int, row *cells.Row, i, n int) {
	mine := (*out)[from:]
	if len(mine) != 2 || !strings.Contains(row.Cells[i].Text, "/") || mine[0].Value != "" &&
		strings.Trim(mine[0].Value, "/ ") != "" || strings.Trim(mine[1].Value, " :/") != "" {
		return
	}
	var rest []cells.Cell
	for _, c := range row.Cells[i+1:] {
		if strings.Trim(c.Text, " :") != "" {
			rest = append(rest, c)
		}
	}
	values, places := []string{}, []reading.Place{}
	for _, c := range rest {
		for _, v := range strings.Split(strings.Trim(c.Text, " :"), " / ") {
			values, places = append(values, v), append(places, s.Place(row.Place, c))
		}
	}
	if len(values) != 2 {
		return
	}
	for k := range mine {
		mine[k].Value, mine[k].Place, mine[k].Sign = strings.Trim(values[k], " :"), places[k], true
	}
}
