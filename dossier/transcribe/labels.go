package transcribe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
)

// labelled is a label of the paper's identity with the text behind it.
type labelled struct {
	key, word, value string
	sign             bool // a colon stood behind the label, or it had a cell of its own
	place            Place
	row              *cells.Row
	rows             int // row of the paper, from 0
}

// labelsIn finds the labels of a text and what stands behind each up to the next.
func (s *desk) labelsIn(t string) []labelled {
	ws := wordsOf(t)
	type hit struct {
		key, word  string
		start, end int
	}
	var hits []hit
	for i := 0; i < len(ws); {
		best, n := lexicon.Entry{}, 0
		for k := min(6, len(ws)-i); k >= 1 && n == 0; k-- {
			parts := make([]string, k)
			for j := range k {
				parts[j] = ws[i+j].folded
			}
			crossed := strings.Contains(t[ws[i].start:ws[i+k-1].end], "/")
			for _, e := range s.words.All("label", strings.Join(parts, " ")) {
				if crossed && e.Key != "casec" && e.Key != "batch" {
					continue // "Version / date" are two
				}
				if n == 0 || moreSpecial(e.Key, best.Key) {
					best, n = e, k
				}
			}
		}
		if n == 0 {
			i++
			continue
		}
		hits = append(hits, hit{best.Key, best.Word, ws[i].start, ws[i+n-1].end})
		i += n
	}
	var out []labelled
	for i, h := range hits {
		end := len(t)
		tail := t[h.end:]
		l := labelled{key: h.key, word: h.word}
		trimmed := strings.TrimLeft(tail, " .)(°º\u00a0")
		l.sign = strings.HasPrefix(trimmed, ":") || strings.HasPrefix(trimmed, "=") || strings.HasPrefix(trimmed, "#")
		for _, next := range hits[i+1:] {
			// a label inside the value of another counts where a colon follows or a gap is before it
			if next.start > h.end && (!l.sign || colonBehind(t, next.end) || strings.HasSuffix(t[:next.start], "  ") || next.key == "version" || next.key == "replaces" || next.key == "batch" || next.key == "print-date") {
				end = next.start
				break
			}
		}
		l.value = strings.TrimRight(strings.TrimLeft(t[h.end:end], " :.#=°º\t\u00a0,;|"), " :#=\t\u00a0,;|(")
		out = append(out, l)
	}
	return out
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
func (s *desk) allLabels() []labelled {
	var out []labelled
	n := 0
	for _, it := range s.items {
		if it.Row == nil || it.Row.Hidden || it.Row.Quote > 0 {
			continue
		}
		row := it.Row
		for i, c := range row.Cells {
			before := len(out)
			for _, l := range s.labelsIn(c.Text) {
				l.place, l.row, l.rows = s.place(row.Place, c), row, n
				whole := lexicon.Fold(c.Text) == l.word
				if l.value == "" && whole && i+1 < len(row.Cells) {
					next := row.Cells[i+1:]
					k := slices.IndexFunc(next, func(c cells.Cell) bool { return strings.Trim(c.Text, " :") != "" })
					if k >= 0 {
						l.value, l.sign, l.place = strings.Trim(next[k].Text, " :"), true, s.place(row.Place, next[k])
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

// sharedLabel gives the parts of "Version / date" their values in the next cells.
func (s *desk) sharedLabel(out *[]labelled, from int, row *cells.Row, i, n int) {
	mine := (*out)[from:]
	if len(mine) != 2 || !strings.Contains(row.Cells[i].Text, "/") || mine[0].value != "" && strings.Trim(mine[0].value, "/ ") != "" || strings.Trim(mine[1].value, " :/") != "" {
		return
	}
	var rest []cells.Cell
	for _, c := range row.Cells[i+1:] {
		if strings.Trim(c.Text, " :") != "" {
			rest = append(rest, c)
		}
	}
	values, places := []string{}, []Place{}
	for _, c := range rest {
		for _, v := range strings.Split(strings.Trim(c.Text, " :"), " / ") {
			values, places = append(values, v), append(places, s.place(row.Place, c))
		}
	}
	if len(values) != 2 {
		return
	}
	for k := range mine {
		mine[k].value, mine[k].place, mine[k].sign = strings.Trim(values[k], " :"), places[k], true
	}
}
