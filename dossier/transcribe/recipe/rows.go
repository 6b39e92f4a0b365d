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
	indent int
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

// sheets brings the pages of a file into rows.
func sheets(f *paper.File) []sheet {
	var out []sheet
	for _, p := range f.Pages {
		s := sheet{name: p.Name, hidden: p.Hidden, laid: f.Form == paper.PDF || f.Form == paper.Text || f.Form == paper.Mail}
		if f.Form != paper.Workbook {
			s.name = ""
		}
		last := 0
		grids := 1000
		for i, l := range p.Lines {
			r := row{sheet: s.name, number: l.Number, where: l.Where, grid: l.Grid, hidden: l.Hidden, quote: l.Quote, raw: l.Raw}
			r.gap = l.Number > last+1 || f.Form == paper.PDF && i > 0 && l.Y-p.Lines[i-1].Y > 1.9*max(l.Size, 1)
			last = l.Number
			for _, c := range l.Cells {
				t := c.Text
				if f.Form != paper.Workbook {
					t = clean(t)
				}
				r.cells = append(r.cells, cell{col: c.Col, span: max(c.Span, 1), text: strings.TrimSpace(t), ref: c.Ref, note: c.Note, struck: c.Struck, hidden: c.Hidden, number: c.Number, x0: c.X0, x1: c.X1})
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
			r.indent = len(r.raw) - len(strings.TrimLeft(r.raw, " \t"))
			s.rows = append(s.rows, r)
		}
		bridge(s.rows)
		out = append(out, s)
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
