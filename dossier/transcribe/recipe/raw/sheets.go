package raw

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/ingredients/pattern"
)

// mostRows is how many rows of a document are read; a formula has some dozens.
const MostRows = 5000

// Sheets brings the pages of a file into rows. whole is false where rows are left.
func Sheets(f *paper.File) (out []Sheet, whole bool) {
	total := 0
	for _, p := range f.Pages {
		s := Sheet{Name: p.Name, Hidden: p.Hidden, Laid: f.Form == paper.PDF || f.Form == paper.Text ||
			f.Form == paper.Mail}
		if f.Form != paper.Workbook {
			s.Name = ""
		}
		last := 0
		grids := 1000
		step := lineStep(p)
		for i, l := range p.Lines {
			if total++; total > MostRows {
				break
			}
			r := Row{sheet: s.Name, Number: l.Number, where: l.Where, Grid: l.Grid, Hidden: l.Hidden,
				Quote: l.Quote, Raw: l.Raw}
			if f.Form == paper.PDF {
				r.page = p.Number
			}
			r.Gap = l.Number > last+1 || f.Form == paper.PDF && i > 0 &&
				l.Y-p.Lines[i-1].Y > max(1.4*step, 1.5*l.Size)
			last = l.Number
			for _, c := range l.Cells {
				t := c.Text
				if f.Form != paper.Workbook {
					t = Clean(t)
				}
				r.Cells = append(r.Cells, Cell{Col: c.Col, Span: max(c.Span, 1),
					Text: strings.TrimSpace(t), Ref: c.Ref, Note: c.Note, Struck: c.Struck,
					Hidden: c.Hidden, Number: c.Number, X0: c.X0, X1: c.X1, Words: wordsOf(f.Form, c)})
			}
			if f.Form == paper.PDF && r.Raw == "" {
				r.Raw = l.Text("   ")
			}
			if r.Grid == 0 && r.Raw == "" {
				r.Raw = strings.TrimSpace(l.Text("   ") + struckIn(l))
			}
			if r.Grid == 0 {
				if barred(&r) {
					if len(s.Rows) == 0 || s.Rows[len(s.Rows)-1].Grid < 1000 || r.Gap {
						grids++
					}
					r.Grid = grids
				} else if t := strings.TrimLeft(r.Raw, " "); barRule.MatchString(t) &&
					strings.Contains(t, "-") {
					last = l.Number
					continue
				}
			}
			if len(r.Filled()) == 0 && strings.TrimSpace(r.Raw) == "" {
				last-- // counts as a gap
				continue
			}
			s.Rows = append(s.Rows, r)
		}
		bridge(s.Rows)
		if n := len(out); f.Form == paper.PDF && n > 0 {
			out[n-1].Rows = append(out[n-1].Rows, runOn(out[n-1].Rows, s.Rows)...)
			continue
		}
		out = append(out, s)
	}
	return out, total <= MostRows
}

// struckIn is what a line outside a table has crossed out, in the marks of plain text.
func struckIn(l paper.Line) (out string) {
	for _, c := range l.Cells {
		if c.Struck != "" {
			out += " ~~" + c.Struck + "~~"
		}
	}
	return out
}

// lineStep is the middle distance between the lines of a laid out page.
func lineStep(p paper.Page) float64 {
	var steps []float64
	for i := 1; i < len(p.Lines); i++ {
		if d := p.Lines[i].Y - p.Lines[i-1].Y; d > 0 {
			steps = append(steps, d)
		}
	}
	if len(steps) == 0 {
		return 0
	}
	slices.Sort(steps)
	return steps[len(steps)/2]
}

var pageNumber = lexicon.Pattern(`(?i)^(<<page>>)?\s*\d{1,3}(\s*(/|<<of pages>>)\s*\d{1,3})?$`)

// runOn gives the rows of a further page without heads and numbers of the page
// that stood before.
func runOn(before, rows []Row) []Row {
	seen := map[string]bool{}
	for _, r := range before {
		seen[r.Text()] = true
	}
	return slices.DeleteFunc(rows, func(r Row) bool {
		return len(r.Cells) == 1 && (pageNumber().MatchString(r.Text()) || seen[r.Text()])
	})
}

// wordsOf gives the words of a cell with their positions.
func wordsOf(form paper.Form, c paper.Cell) []paper.Word {
	if len(c.Words) > 0 || form != paper.Text && form != paper.Mail {
		return c.Words
	}
	var out []paper.Word
	at := c.X0
	for _, w := range strings.Split(c.Text, " ") {
		n := float64(len([]rune(w)))
		if n > 0 {
			out = append(out, paper.Word{Text: w, X0: at, X1: at + n})
		}
		at += n + 1
	}
	return out
}

// bridge takes the gap away that the rule under a head leaves.
func bridge(rows []Row) {
	for i := 1; i < len(rows); i++ {
		if rows[i].Grid >= 1000 && rows[i-1].Grid >= 1000 && rows[i].Gap &&
			rows[i].Number == rows[i-1].Number+2 {
			rows[i].Gap = false
			was := rows[i].Grid
			for j := i; j < len(rows) && rows[j].Grid == was; j++ {
				rows[j].Grid = rows[i-1].Grid
			}
		}
	}
}

// barred parts a line of text at its bars or tabs into cells that keep their
// columns.
func barred(r *Row) bool {
	t := strings.TrimSpace(r.Raw)
	sep := ""
	switch {
	case strings.HasPrefix(t, "|") && strings.Count(t, "|") >= 2:
		sep, t = "|", strings.TrimSuffix(t[1:], "|")
	case strings.Count(t, "|") >= 1 && len(r.Cells) > 1:
		sep = "|"
	case strings.Contains(t, "\t"):
		sep, t = "\t", strings.TrimRight(r.Raw, " \t")
	default:
		return false
	}
	if barRule.MatchString(t) {
		return false
	}
	r.Cells = nil
	for i, part := range strings.Split(t, sep) {
		c := Cell{Col: i, Span: 1, Text: Clean(part)}
		c.Text, c.Struck = Unstrike(c.Text)
		r.Cells = append(r.Cells, c)
	}
	return true
}

var barRule = pattern.New(`^[\s|:+=-]*$`)
