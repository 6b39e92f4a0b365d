package recipe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/exact"
)

// turned makes tables of their own of a table that names the materials in its head
// and has a product in each row. Others come back as they are.
func (d *doc) turned(t *table) []*table {
	if out := d.byProduct(t); out != nil {
		return out
	}
	cols := d.materialColumns(t)
	if len(cols) < 3 {
		return []*table{t}
	}
	var out []*table
	for _, r := range t.body {
		name := r.at(t.cols[0].col)
		if name.text == "" || len(r.filled()) < 3 {
			return []*table{t}
		}
		p := &table{sheet: t.sheet, hidden: t.hidden, head: t.head,
			cols: []column{{col: 0, role: isName}, {col: 1, role: isAmount}}}
		title := r
		title.cells, title.raw, title.gap = []cell{{col: 0, span: 1, text: name.text, ref: name.ref}}, "", true
		p.above = append(p.above, title)
		for _, k := range cols {
			c := r.at(k.col)
			if c.text == "" && c.struck == "" {
				continue
			}
			line := r
			c.col, line.raw, line.gap = 1, "", false
			line.cells = []cell{{col: 0, span: 1, text: k.head}, c}
			p.body = append(p.body, line)
		}
		out = append(out, p)
	}
	if len(out) > 0 {
		out[0].above = append(append([]row{}, t.above...), out[0].above...)
	}
	return out
}

// materialColumns are the columns of a table whose heads are materials: water is
// among them, or the rows sum to 100 and the columns do not.
func (d *doc) materialColumns(t *table) []column {
	if len(t.body) == 0 || len(t.cols) < 4 || t.head == nil {
		return nil
	}
	var cols []column
	water := false
	for _, c := range t.cols[1:] {
		if c.role != unknown {
			continue
		}
		cols = append(cols, c)
		water = water || d.is("formula word", "water", lexicon.Fold(c.head))
	}
	if len(cols)+1 < len(t.cols)-1 {
		return nil
	}
	whole := true
	for _, r := range t.body {
		if d.is("formula word", "water", lexicon.Fold(r.at(t.cols[0].col).text)) {
			return nil
		}
		var sum exact.Num
		rest := false
		for _, c := range cols {
			a, ok := d.amount(r.at(c.col))
			if !ok {
				return nil
			}
			sum = sum.Add(num(a.Value))
			rest = rest || a.QS == dose.To100
		}
		whole = whole && (rest || near(sum, exact.Int(100), num("1.01")))
	}
	if !water && !(whole && len(t.body) > 0) {
		return nil
	}
	for i := range cols {
		cols[i].head = strings.TrimSpace(cols[i].head)
	}
	return cols
}

// byProduct parts a table that has a column of products beside that of materials;
// nil for others.
func (d *doc) byProduct(t *table) []*table {
	product, name := -1, -1
	for i, c := range t.cols {
		switch {
		case product < 0 && d.labelKey(c.head) == "name" && (c.role == unknown || c.role == isName):
			product = i
		case name < 0 && (c.role == isName || c.role == isINCI):
			name = i
		}
	}
	if product < 0 || name < 0 {
		return nil
	}
	var out []*table
	last := ""
	for _, r := range t.body {
		c := r.at(t.cols[product].col)
		if c.text != "" && c.text != last && len(r.filled()) > 2 {
			last = c.text
			title := r
			title.cells, title.raw, title.gap = []cell{{col: c.col, span: 1, text: c.text, ref: c.ref}}, "", true
			out = append(out, &table{sheet: t.sheet, hidden: t.hidden, head: t.head, above: []row{title},
				cols: slices.Delete(slices.Clone(t.cols), product, product+1)})
		}
		if len(out) == 0 {
			return nil
		}
		r.cells = slices.DeleteFunc(slices.Clone(r.cells), func(k cell) bool { return k.col == c.col })
		out[len(out)-1].body = append(out[len(out)-1].body, r)
	}
	if len(out) < 2 {
		return nil
	}
	out[0].above = append(slices.Clone(t.above), out[0].above...)
	return out
}
