package recipe

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/paper"
)

// cell is a cell of a row; x0 and x1 are positions where the file is laid out.
type cell struct {
	col, span int
	text      string
	ref, note string
	struck    string
	hidden    bool
	number    bool
	x0, x1    float64
	words     []paper.Word // of a laid out text
}

// row is a row of a table, or a line of text (grid 0).
type row struct {
	sheet  string
	number int
	where  string
	grid   int
	gap    bool // an empty row or line stands above
	hidden bool
	quote  int
	cells  []cell
	raw    string
	page   int // of a file whose pages run on
}

// sheet is a page of the document as rows.
type sheet struct {
	name   string
	hidden bool
	rows   []row
	laid   bool // cells stand at positions, not in columns
}

func (r row) at(col int) cell {
	for _, c := range r.cells {
		if c.col == col {
			return c
		}
	}
	return cell{col: col}
}

func (r row) filled() []cell {
	return slices.DeleteFunc(slices.Clone(r.cells), func(c cell) bool { return c.text == "" && c.struck == "" })
}

func (r row) text() string {
	if r.grid == 0 && r.raw != "" {
		return strings.TrimSpace(r.raw)
	}
	var parts []string
	for _, c := range r.cells {
		if c.text != "" {
			parts = append(parts, c.text)
		}
	}
	return strings.Join(parts, "  ")
}

// place names a row of a table by the cell of a column where it has one.
func (r row) place(col int) string {
	for _, c := range r.cells {
		if c.col == col && c.ref != "" {
			if r.sheet == "" {
				return c.ref
			}
			return r.sheet + "!" + c.ref
		}
	}
	if r.where != "" {
		return r.where
	}
	if r.page > 1 {
		return fmt.Sprintf("page %d line %d", r.page, r.number)
	}
	for _, c := range r.cells {
		if c.ref != "" {
			return fmt.Sprintf("%s row %d", r.sheet, r.number)
		}
	}
	return fmt.Sprintf("line %d", r.number)
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// clean takes the marks of emphasis off a text.
func clean(s string) string {
	s = strings.NewReplacer("**", "", "__", "", "`", "", "\u00a0", " ", "&nbsp;", " ").Replace(s)
	if len(s) > 2 && s[0] == '*' && s[len(s)-1] == '*' {
		s = s[1 : len(s)-1]
	}
	return strings.TrimSpace(s)
}

var barRule = regexp.MustCompile(`^[\s|:+=-]*$`)

// mostRows is how many rows of a document are read; a formula has some dozens.
const mostRows = 5000

// sheets brings the pages of a file into rows. whole is false where rows are left.
func sheets(f *paper.File) (out []sheet, whole bool) {
	total := 0
	for _, p := range f.Pages {
		s := sheet{name: p.Name, hidden: p.Hidden, laid: f.Form == paper.PDF || f.Form == paper.Text ||
			f.Form == paper.Mail}
		if f.Form != paper.Workbook {
			s.name = ""
		}
		last := 0
		grids := 1000
		step := lineStep(p)
		for i, l := range p.Lines {
			if total++; total > mostRows {
				break
			}
			r := row{sheet: s.name, number: l.Number, where: l.Where, grid: l.Grid, hidden: l.Hidden,
				quote: l.Quote, raw: l.Raw}
			if f.Form == paper.PDF {
				r.page = p.Number
			}
			r.gap = l.Number > last+1 || f.Form == paper.PDF && i > 0 &&
				l.Y-p.Lines[i-1].Y > max(1.4*step, 1.5*l.Size)
			last = l.Number
			for _, c := range l.Cells {
				t := c.Text
				if f.Form != paper.Workbook {
					t = clean(t)
				}
				r.cells = append(r.cells, cell{col: c.Col, span: max(c.Span, 1),
					text: strings.TrimSpace(t), ref: c.Ref, note: c.Note, struck: c.Struck,
					hidden: c.Hidden, number: c.Number, x0: c.X0, x1: c.X1, words: wordsOf(f.Form, c)})
			}
			if f.Form == paper.PDF && r.raw == "" {
				r.raw = l.Text("   ")
			}
			if r.grid == 0 && r.raw == "" {
				r.raw = l.Text("   ")
			}
			if r.grid == 0 {
				if barred(&r) {
					if len(s.rows) == 0 || s.rows[len(s.rows)-1].grid < 1000 || r.gap {
						grids++
					}
					r.grid = grids
				} else if t := strings.TrimLeft(r.raw, " "); barRule.MatchString(t) && strings.Contains(t, "-") {
					last = l.Number
					continue
				}
			}
			if len(r.filled()) == 0 && strings.TrimSpace(r.raw) == "" {
				last-- // counts as a gap
				continue
			}
			s.rows = append(s.rows, r)
		}
		bridge(s.rows)
		if n := len(out); f.Form == paper.PDF && n > 0 {
			out[n-1].rows = append(out[n-1].rows, runOn(out[n-1].rows, s.rows)...)
			continue
		}
		out = append(out, s)
	}
	return out, total <= mostRows
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

var pageNumber = regexp.MustCompile(`(?i)^(page|seite|pagina|página|blad)?\s*\d{1,3}(\s*(of|/|von|sur|di|de|van)\s*\d{1,3})?$`)

// runOn gives the rows of a further page without heads and numbers of the page
// that stood before.
func runOn(before, rows []row) []row {
	seen := map[string]bool{}
	for _, r := range before {
		seen[r.text()] = true
	}
	return slices.DeleteFunc(rows, func(r row) bool {
		return len(r.cells) == 1 && (pageNumber.MatchString(r.text()) || seen[r.text()])
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
func bridge(rows []row) {
	for i := 1; i < len(rows); i++ {
		if rows[i].grid >= 1000 && rows[i-1].grid >= 1000 && rows[i].gap && rows[i].number == rows[i-1].number+2 {
			rows[i].gap = false
			was := rows[i].grid
			for j := i; j < len(rows) && rows[j].grid == was; j++ {
				rows[j].grid = rows[i-1].grid
			}
		}
	}
}

// barred parts a line of text at its bars or tabs into cells that keep their
// columns.
func barred(r *row) bool {
	t := strings.TrimSpace(r.raw)
	sep := ""
	switch {
	case strings.HasPrefix(t, "|") && strings.Count(t, "|") >= 2:
		sep, t = "|", strings.TrimSuffix(t[1:], "|")
	case strings.Count(t, "|") >= 1 && len(r.cells) > 1:
		sep = "|"
	case strings.Contains(t, "\t"):
		sep, t = "\t", strings.TrimRight(r.raw, " \t")
	default:
		return false
	}
	if barRule.MatchString(t) {
		return false
	}
	r.cells = nil
	for i, part := range strings.Split(t, sep) {
		c := cell{col: i, span: 1, text: clean(part)}
		c.text, c.struck = unstrike(c.text)
		r.cells = append(r.cells, c)
	}
	return true
}

var tildes = regexp.MustCompile(`~~(.+?)~~`)

// unstrike parts what is crossed out by the marks of plain text.
func unstrike(s string) (text, struck string) {
	for _, m := range tildes.FindAllStringSubmatch(s, -1) {
		struck = strings.TrimSpace(struck + " " + m[1])
	}
	if struck == "" {
		return s, ""
	}
	return strings.TrimSpace(tildes.ReplaceAllString(s, "")), struck
}

// amount reads a cell as an amount. A number as stored has its point whatever the
// language.
func (d *doc) amount(c cell) (dose.Amount, bool) {
	if c.text == "" {
		return dose.Amount{None: true}, true
	}
	if c.number {
		a, ok := d.stored.Parse(c.text)
		a.Printed = c.text
		return a, ok
	}
	return d.dose.Parse(c.text)
}
