package columns

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/ingredients/exact"
)

// turned makes tables of their own of a table that names the materials in its head
// and has a product in each row. Others come back as they are.
func (d *Finder) turned(t *Table) []*Table {
	if out := d.byProduct(t); out != nil {
		return out
	}
	cols := d.materialColumns(t)
	if len(cols) < 3 {
		return []*Table{t}
	}
	var out []*Table
	for _, r := range t.Body {
		name := r.At(t.Cols[0].Col)
		if name.Text == "" || len(r.Filled()) < 3 {
			return []*Table{t}
		}
		p := &Table{Sheet: t.Sheet, hidden: t.hidden, Head: t.Head,
			Cols: []Column{{Col: 0, Role: IsName}, {Col: 1, Role: IsAmount}}}
		title := r
		title.Cells, title.Raw, title.Gap = []raw.Cell{{Col: 0, Span: 1, Text: name.Text, Ref: name.Ref}}, "",
			true
		p.Above = append(p.Above, title)
		for _, k := range cols {
			c := r.At(k.Col)
			if c.Text == "" && c.Struck == "" {
				continue
			}
			line := r
			c.Col, line.Raw, line.Gap = 1, "", false
			line.Cells = []raw.Cell{{Col: 0, Span: 1, Text: k.Head}, c}
			p.Body = append(p.Body, line)
		}
		out = append(out, p)
	}
	if len(out) > 0 {
		out[0].Above = append(append([]raw.Row{}, t.Above...), out[0].Above...)
	}
	return out
}

// materialColumns are the columns of a table whose heads are materials: water is
// among them, or the rows sum to 100 and the columns do not.
func (d *Finder) materialColumns(t *Table) []Column {
	if len(t.Body) == 0 || len(t.Cols) < 4 || t.Head == nil {
		return nil
	}
	var cols []Column
	water := false
	for _, c := range t.Cols[1:] {
		if c.Role != Unknown {
			continue
		}
		cols = append(cols, c)
		water = water || d.Is("formula word", "water", lexicon.Fold(c.Head))
	}
	if len(cols)+1 < len(t.Cols)-1 {
		return nil
	}
	whole := true
	for _, r := range t.Body {
		if d.Is("formula word", "water", lexicon.Fold(r.At(t.Cols[0].Col).Text)) {
			return nil
		}
		var sum exact.Num
		rest := false
		for _, c := range cols {
			a, ok := d.Amount(r.At(c.Col))
			if !ok {
				return nil
			}
			sum = sum.Add(figure.Sum(a.Value))
			rest = rest || a.QS == dose.To100
		}
		whole = whole && (rest || figure.Near(sum, exact.Int(100), figure.Sum("1.01")))
	}
	if !water && !(whole && len(t.Body) > 0) {
		return nil
	}
	for i := range cols {
		cols[i].Head = strings.TrimSpace(cols[i].Head)
	}
	return cols
}

// byProduct parts a table that has a column of products beside that of materials;
// nil for others.
func (d *Finder) byProduct(t *Table) []*Table {
	product, name := -1, -1
	for i, c := range t.Cols {
		switch {
		case product < 0 && d.LabelKey(c.Head) == "name" && (c.Role == Unknown || c.Role == IsName):
			product = i
		case name < 0 && (c.Role == IsName || c.Role == IsINCI):
			name = i
		}
	}
	if product < 0 || name < 0 {
		return nil
	}
	var out []*Table
	last := ""
	for _, r := range t.Body {
		c := r.At(t.Cols[product].Col)
		if c.Text != "" && c.Text != last && len(r.Filled()) > 2 {
			last = c.Text
			title := r
			title.Cells, title.Raw, title.Gap = []raw.Cell{{Col: c.Col, Span: 1, Text: c.Text, Ref: c.Ref}},
				"", true
			out = append(out, &Table{Sheet: t.Sheet, hidden: t.hidden, Head: t.Head, Above: []raw.Row{title},
				Cols: slices.Delete(slices.Clone(t.Cols), product, product+1)})
		}
		if len(out) == 0 {
			return nil
		}
		r.Cells = slices.DeleteFunc(slices.Clone(r.Cells), func(k raw.Cell) bool { return k.Col == c.Col })
		out[len(out)-1].Body = append(out[len(out)-1].Body, r)
	}
	if len(out) < 2 {
		return nil
	}
	out[0].Above = append(slices.Clone(t.Above), out[0].Above...)
	return out
}
