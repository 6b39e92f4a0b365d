package word

import (
	"fmt"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/words"
)

// body writes the blocks of a document one after the other.
type body struct {
	d       *document.Document
	out     strings.Builder
	tableNo map[*document.Table]int
	err     error // the first block that cannot be printed
}

func (b *body) document() {
	for _, s := range []string{b.d.Title, b.d.Subtitle} {
		if s != "" {
			b.para("Title", run(s, ""))
		}
	}
	if b.d.Caution != "" {
		b.para("Small", run(words.UpperFirst(b.d.Caution)+".", ""))
	}
	b.d.Walk(func(s *document.Section, depth int) { b.section(s, depth) })
}

func (b *body) para(style, runs string) {
	if style != "" {
		style = `<w:pPr><w:pStyle w:val="` + style + `"/></w:pPr>`
	}
	b.out.WriteString(`<w:p>` + style + runs + `</w:p>`)
}

const deepestHeading = 3

func (b *body) section(s *document.Section, depth int) {
	if s.NewPage {
		b.para("", `<w:r><w:br w:type="page"/></w:r>`)
	}
	b.para(fmt.Sprintf("Heading%d", min(depth, deepestHeading)),
		run(words.Joined("\u2002", s.Number, s.Title), ""))
	if s.Intro != "" {
		b.para("", run(s.Intro, ""))
	}
	for _, x := range document.Flat(s.Blocks) {
		b.block(x)
	}
	if s.IsEmpty() {
		b.para("", spans(document.EmptySection))
	}
}

func (b *body) block(x document.Block) {
	switch x := x.(type) {
	case *document.Paragraph:
		style := ""
		if x.Small {
			style = "Small"
		}
		b.para(style, spans(x))
	case *document.Bullets:
		for i, p := range x.Items {
			lead := "•"
			if x.Ordered {
				lead = words.Itoa(i+1) + "."
			}
			b.para("", run(lead+"\u2002", "")+spans(p))
		}
	case *document.Callout:
		if x.Title != "" {
			b.para("", run(x.Title, `<w:b/>`))
		}
		for _, p := range x.Body {
			b.para("", spans(p))
		}
	case *document.Table:
		b.table(x)
	case document.PageBreak:
		b.para("", `<w:r><w:br w:type="page"/></w:r>`)
	default:
		if b.err == nil {
			b.err = fmt.Errorf("%T has no place in text to go on writing", x)
		}
	}
}

func spans(p *document.Paragraph) string {
	var s strings.Builder
	for _, x := range p.Spans {
		look := ""
		if x.Strong {
			look += `<w:b/>`
		}
		if x.Emph {
			look += `<w:i/>`
		}
		s.WriteString(run(x.Text, look))
	}
	return s.String()
}

const (
	rule  = `<w:%s w:val="single" w:sz="4" w:space="0" w:color="A8A8A8"/>`
	shade = `<w:shd w:val="clear" w:color="auto" w:fill="F1F1EF"/>` // where something is to be written
)

func (b *body) table(t *document.Table) {
	if t.Title != "" {
		b.para("Caption", run(words.Joined("  ", "Table "+words.Itoa(b.tableNo[t]), t.Title), "")+run(remark(t),
			`<w:b w:val="0"/>`))
	}
	if len(t.Rows) == 0 {
		b.para("", run(words.OrWord(t.Empty, "Nothing is entered here."), `<w:i/>`))
		return
	}
	widths := shares(t.Columns)
	b.out.WriteString(`<w:tbl><w:tblPr>` + fmt.Sprintf(`<w:tblW w:w="%d" w:type="dxa"/>`,
		textWidth) + `<w:tblBorders>`)
	for _, side := range []string{"top", "left", "bottom", "right", "insideH", "insideV"} {
		fmt.Fprintf(&b.out, rule, side)
	}
	b.out.WriteString(`</w:tblBorders><w:tblLayout w:type="fixed"/><w:tblCellMar><w:left w:w="70" w:type="dxa"/><w:right w:w="70" w:type="dxa"/></w:tblCellMar></w:tblPr><w:tblGrid>`)
	for _, w := range widths {
		fmt.Fprintf(&b.out, `<w:gridCol w:w="%d"/>`, w)
	}
	b.out.WriteString(`</w:tblGrid><w:tr><w:trPr><w:cantSplit/><w:tblHeader/></w:trPr>`)
	for i, c := range t.Columns {
		b.cell(widths[i], 1, "", run(words.Joined(", ", c.Head, t.UnitWords(i)), `<w:b/>`))
	}
	b.out.WriteString(`</w:tr>`)
	for _, r := range t.Rows {
		b.row(t, r, widths)
	}
	b.out.WriteString(`</w:tbl>`)
	for _, n := range t.Notes {
		b.para("Small", run(n, ""))
	}
	b.para("Small", "") // two tables without a paragraph between them become one
}

func remark(t *document.Table) string {
	if t.Remark == "" {
		return ""
	}
	return "  " + t.Remark
}

func (b *body) row(t *document.Table, r document.Row, widths []int) {
	b.out.WriteString(`<w:tr><w:trPr><w:cantSplit/></w:trPr>`)
	if r.Kind == document.RowGroup {
		b.cell(textWidth, len(t.Columns), "", run(r.Cells[0].String(), `<w:b/>`))
	} else {
		for i := range t.Columns {
			c := document.BlankCell()
			if i < len(r.Cells) {
				c = r.Cells[i]
			}
			b.valueCell(widths[i], c)
		}
	}
	b.out.WriteString(`</w:tr>`)
}

// valueCell prints a cell as it reads; one to write in has its text or [WriteIn].
func (b *body) valueCell(width int, c document.Cell) {
	if c.Kind == document.CellWriteIn {
		b.cell(width, 1, shade, run(words.OrWord(c.Text, WriteIn), ""))
		return
	}
	look := ""
	if c.Bold {
		look = `<w:b/>`
	}
	b.cell(width, 1, "", run(c.String()+b.d.Signs(c), look))
}

func (b *body) cell(width, span int, shading, runs string) {
	spanned := ""
	if span > 1 {
		spanned = fmt.Sprintf(`<w:gridSpan w:val="%d"/>`, span)
	}
	fmt.Fprintf(&b.out,
		`<w:tc><w:tcPr><w:tcW w:w="%d" w:type="dxa"/>%s%s</w:tcPr><w:p><w:pPr><w:pStyle w:val="Cell"/></w:pPr>%s</w:p></w:tc>`,
		width, spanned, shading, runs)
}

// shares divides the width of the text by the weights of the columns.
func shares(columns []document.Column) []int {
	sum := 0.0
	weight := func(c document.Column) float64 {
		if c.Weight == 0 {
			return 1
		}
		return c.Weight
	}
	for _, c := range columns {
		sum += weight(c)
	}
	widths := make([]int, len(columns))
	left := textWidth
	for i, c := range columns {
		widths[i] = int(textWidth * weight(c) / sum)
		left -= widths[i]
	}
	widths[len(widths)-1] += left
	return widths
}
