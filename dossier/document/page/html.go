package page

import (
	_ "embed"
	"encoding/base64"
	"fmt"
	"html"
	"io"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/document/chart"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// htmlStyle is the look of the page, for screen and print.
//
//go:embed print_html.css
var htmlStyle string

// Write prints d as one web page that needs nothing else: its style and its
// charts are inside, and it runs no script.
// Errors: a tree that [document.Document.Mistakes] refuses, and whatever w returns.
func Write(w io.Writer, d *document.Document) error {
	d = d.ForPages()
	if err := d.Mistakes(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w,
		"<!DOCTYPE html>\n<html lang=\"%s\">\n<head>\n<meta charset=\"utf-8\"/>\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>%s</title>\n<style>\n%s</style>\n</head>\n<body>\n",
		esc(d.LanguageCode()), esc(words.Joined(": ", d.Title, d.Subtitle)), htmlStyle)
	if err != nil {
		return err
	}
	if err := WriteBody(w, d); err != nil {
		return err
	}
	_, err = io.WriteString(w, "</body>\n</html>\n")
	return err
}

// WriteBody prints d as what stands inside the body of a web page, for a page
// with a frame of its own. Errors as for [Write].
func WriteBody(w io.Writer, d *document.Document) error {
	d = d.ForPages()
	if err := d.Mistakes(); err != nil {
		return err
	}
	h := &htmlWriter{d: d, tableNo: d.TableNumbers()}
	h.document()
	_, err := io.WriteString(w, h.b.String())
	return err
}

type htmlWriter struct {
	b       strings.Builder
	d       *document.Document
	tableNo map[*document.Table]int
}

func esc(s string) string { return html.EscapeString(words.Printable(s)) }

func (h *htmlWriter) put(format string, args ...any) { fmt.Fprintf(&h.b, format+"\n", args...) }

// idAttr returns an id attribute, or nothing.
func idAttr(anchor string) string {
	if anchor == "" {
		return ""
	}
	return ` id="` + esc(anchor) + `"`
}

func anchorTag(inner, anchor string) string {
	if anchor == "" {
		return inner
	}
	return `<a href="#` + esc(anchor) + `">` + inner + "</a>"
}

func (h *htmlWriter) document() {
	d := h.d
	if len(d.Letterhead) > 0 {
		h.put("<address>")
		for _, line := range d.Letterhead {
			h.put("%s<br/>", esc(line))
		}
		h.put("</address>")
	} else {
		h.head()
	}
	if d.Cover != nil {
		h.facts(d.Cover.Facts)
		for _, b := range d.Cover.Blocks {
			h.block(b)
		}
	}
	if !d.NoContents && len(d.Sections) > 1 {
		h.put("<nav aria-label=\"Contents\"><ul>")
		d.Walk(func(s *document.Section, depth int) {
			if depth <= pdf.ContentsDepth {
				h.put("<li class=\"depth%d\">%s</li>", depth,
					anchorTag(esc(words.Joined("  ", s.Number, s.Title)), s.ID))
			}
		})
		h.put("</ul></nav>")
	}
	d.Walk(func(s *document.Section, depth int) {
		level := min(depth+1, 6)
		h.put("<h%d%s>%s</h%d>", level, idAttr(s.ID), esc(words.Joined("  ", s.Number, s.Title)), level)
		if s.Intro != "" {
			h.put("<p>%s</p>", esc(s.Intro))
		}
		for _, b := range document.Flat(s.Blocks) {
			h.block(b)
		}
		if s.IsEmpty() {
			h.put("<p>%s</p>", h.spans(document.EmptySection))
		}
	})
}

// head names the document.
func (h *htmlWriter) head() {
	d := h.d
	h.put("<header>\n<h1>%s</h1>", esc(d.Title))
	if d.Subtitle != "" {
		h.put("<p class=\"subtitle\">%s</p>", esc(d.Subtitle))
	}
	print := ""
	if d.Fingerprint != "" {
		print = "fingerprint " + d.Fingerprint
	}
	h.put("<p class=\"product\">%s</p>",
		esc(words.Joined(" · ", d.Author, d.Product, d.Revision, d.Date.String(), print)))
	if d.Caution != "" {
		h.put("<p class=\"caution\">%s</p>", esc(d.Caution))
	}
	h.put("</header>")
}

func (h *htmlWriter) spans(p *document.Paragraph) string {
	s := ""
	for _, sp := range p.Spans {
		t := strings.ReplaceAll(esc(sp.Text), "\n", "<br/>")
		switch {
		case sp.Mono:
			t = "<code>" + t + "</code>"
		case sp.Strong:
			t = "<strong>" + t + "</strong>"
		case sp.Emph:
			t = "<em>" + t + "</em>"
		}
		s += anchorTag(t, sp.Link)
	}
	return s
}

func (h *htmlWriter) block(b document.Block) {
	switch b := b.(type) {
	case *document.Paragraph:
		class := ""
		if b.Small {
			class = ` class="small"`
		}
		h.put("<p%s>%s</p>", class, h.spans(b))
	case *document.Bullets:
		tag := "ul"
		if b.Ordered {
			tag = "ol"
		}
		h.put("<%s>", tag)
		for _, p := range b.Items {
			h.put("<li>%s</li>", h.spans(p))
		}
		h.put("</%s>", tag)
	case *document.KeyFigures:
		h.keyFigures(b)
	case *document.Callout:
		h.put("<aside class=\"%s\">", [...]string{"note", "caution", "stop"}[b.Kind])
		if b.Title != "" {
			h.put("<p><strong>%s</strong></p>", esc(words.Joined(" ", document.CalloutSigns[b.Kind], b.Title)))
		}
		for _, p := range b.Body {
			h.put("<p>%s</p>", h.spans(p))
		}
		h.put("</aside>")
	case *document.ContentsStrip:
		h.put("<ul>")
		for _, c := range b.Columns {
			for _, it := range c.Items {
				h.put("<li>%s</li>", anchorTag(esc(it.Label), it.Anchor))
			}
		}
		h.put("</ul>")
	case *document.Fields:
		h.fields(b)
	case *document.FindingList:
		h.findings(b)
	case *document.Table:
		h.table(b)
	case *document.Picture:
		h.picture(b)
	case *document.Drawing:
		h.put("<p%s>%s: drawn in the PDF</p>", idAttr(b.ID), esc(b.Title))
	case document.Chart:
		h.chart(b)
	}
}

func (h *htmlWriter) facts(list []document.Fact) {
	if len(list) == 0 {
		return
	}
	h.put("<dl>")
	for _, f := range list {
		h.put("<dt>%s</dt><dd>%s</dd>", esc(f.Label), h.cell(f.Value, nil))
	}
	h.put("</dl>")
}

func (h *htmlWriter) keyFigures(k *document.KeyFigures) {
	h.put("<div class=\"figures\">")
	for _, it := range k.Items {
		h.put("<div><span>%s</span><strong>%s</strong><span>%s</span></div>", esc(it.Label), h.cell(it.Value, nil),
			esc(it.Note))
	}
	h.put("</div>")
	h.legend(document.CellsOf(k))
}

func (h *htmlWriter) fields(f *document.Fields) {
	h.put("<dl class=\"fields\">")
	for _, it := range f.Items {
		h.put("<dt>%s<br/><span class=\"small\">%s</span></dt><dd>%s", esc(it.Label), esc(it.Hint), esc(it.Value))
		for _, o := range it.Options {
			h.put("<span class=\"option\">☐ %s</span>", esc(o))
		}
		for range max(it.Lines, 1) {
			h.put("<span class=\"rule\"></span>")
		}
		h.put("</dd>")
	}
	h.put("</dl>")
}

func (h *htmlWriter) findings(f *document.FindingList) {
	h.put("<section%s class=\"findings\">", idAttr(f.ID))
	if f.Title != "" {
		h.put("<p><strong>%s</strong></p>", esc(f.Title))
	}
	if len(f.Findings) == 0 {
		h.put("<p><em>%s</em></p>", esc(document.EmptyFindings(f)))
	}
	for i := range f.Findings {
		h.finding(&f.Findings[i], f.Excerpt)
	}
	h.put("</section>")
}

func (h *htmlWriter) finding(f *finding.Finding, excerpt func(exact.Pos) (line, caret string)) {
	said := words.Say(f, words.Bench)
	h.put("<article class=\"%s\"><p><strong>%s %s</strong> %s</p>", f.Severity,
		document.SeveritySymbol(f.Severity), f.Severity, esc(said.Line()))
	if excerpt != nil {
		if line, caret := excerpt(f.Pos); line != "" {
			h.put("<pre>%s\n%s</pre>", esc(line), esc(caret))
		}
	}
	for _, t := range said.Sum {
		h.put("<p class=\"small\">sum: %s <code>%s</code></p>", esc(t.Text), esc(t.Pos.String()))
	}
	if said.Why != "" {
		h.put("<p class=\"small\">why: %s</p>", esc(said.Why))
	}
	if said.Fix != "" {
		h.put("<p class=\"small\">%s: %s</p>", said.FixHead(), esc(said.Fix))
	}
	h.put("<p class=\"small\"><code>%s</code></p></article>", esc(document.FindingRest(&said)))
}

// cell returns a cell with its marks and the number of its source.
func (h *htmlWriter) cell(c document.Cell, sources map[string]int) string {
	s := strings.ReplaceAll(esc(c.String()), "\n", "<br/>")
	switch c.Kind {
	case document.CellMissing:
		s = "<em>" + s + "</em>"
	case document.CellTick:
		s = map[bool]string{true: "☑", false: "☐"}[c.Ticked]
	case document.CellWriteIn:
		s = `<span class="rule"></span>`
	}
	if c.Bold {
		s = "<strong>" + s + "</strong>"
	}
	s = anchorTag(s, c.Link)
	signs := esc(h.d.Signs(c))
	if n := sources[c.Source]; n > 0 {
		signs += fmt.Sprintf("[%d]", n)
	}
	if signs != "" {
		s += "<sup>" + signs + "</sup>"
	}
	return s
}

func (h *htmlWriter) table(t *document.Table) {
	caption := esc(t.Title)
	if n := h.tableNo[t]; n > 0 {
		caption = fmt.Sprintf("Table %d  %s", n, caption)
	}
	h.put("<div class=\"table\"%s>", idAttr(t.ID))
	if len(t.Rows) == 0 {
		words := t.Empty
		if words == "" {
			words = "nothing to list"
		}
		h.put("<p><strong>%s</strong></p><p><em>%s</em></p></div>", caption, esc(words))
		return
	}
	h.put("<table><caption>%s</caption><thead><tr>", caption)
	heads := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		heads[i] = esc(words.Joined(", ", c.Head, t.UnitWords(i)))
		h.put("<th scope=\"col\" class=\"%s\">%s<br/><span class=\"small\">%s</span></th>", alignClass(t.Align(i)),
			esc(c.Head), esc(t.UnitWords(i)))
	}
	h.put("</tr></thead><tbody>")
	list, numbers := t.AllSources()
	for _, r := range t.Rows {
		h.row(t, r, numbers, heads)
	}
	h.put("</tbody></table>")
	for _, n := range t.Notes {
		h.put("<p class=\"small\">%s</p>", esc(n))
	}
	h.legend(t)
	for i, s := range list {
		h.put("<p class=\"small\">[%d] %s</p>", i+1, esc(s))
	}
	for _, s := range t.Sources {
		h.put("<p class=\"small\">Source: %s</p>", esc(s))
	}
	h.put("</div>")
}

func alignClass(a document.Align) string {
	return [...]string{"left", "left", "right", "centre"}[a]
}

// row writes a row. Each cell says what its column is called: where there is no room for columns
// side by side it stands below the one before, with that name in front.
func (h *htmlWriter) row(t *document.Table, r document.Row, sources map[string]int, heads []string) {
	if r.Kind == document.RowGroup {
		h.put("<tr class=\"group\"><th scope=\"colgroup\" colspan=\"%d\"%s>%s</th></tr>", len(t.Columns),
			idAttr(r.Cells[0].Anchor), h.cell(r.Cells[0], nil))
		return
	}
	class := ""
	if r.Kind == document.RowTotal {
		class = ` class="total"`
	}
	h.b.WriteString("<tr" + class + ">")
	for i := range r.Cells {
		c := layout.RowCell(r, i)
		fmt.Fprintf(&h.b, "<td class=\"%s\" data-name=\"%s\"%s>%s</td>", alignClass(t.Align(i)), heads[i],
			idAttr(c.Anchor), h.cell(c, sources))
	}
	h.b.WriteString("</tr>\n")
}

func (h *htmlWriter) legend(tables ...*document.Table) {
	for _, m := range h.d.LegendFor(tables...) {
		h.put("<p class=\"small\">%s %s</p>", esc(m.Symbol), esc(m.Text))
	}
}

// picture puts a photograph into the page itself.
func (h *htmlWriter) picture(b *document.Picture) {
	h.put("<figure%s><figcaption><strong>%s</strong></figcaption>", idAttr(b.ID), esc(b.Title))
	if b.JPEG == nil {
		h.put("<p>%s</p></figure>", esc(b.Missing))
		return
	}
	h.put("<img src=\"data:image/jpeg;base64,%s\" alt=\"%s\" width=\"%d\" height=\"%d\" style=\"max-width:100%%;height:auto\"></figure>",
		base64.StdEncoding.EncodeToString(b.JPEG), esc(b.Title), b.Width, b.Height)
}

func (h *htmlWriter) chart(b document.Chart) {
	anchor, title, caption := b.Head()
	h.put("<figure%s><figcaption><strong>%s</strong></figcaption>", idAttr(anchor), esc(title))
	for _, d := range chart.Drawings(b, pdf.TextW, words.Printable) {
		h.put("%s", svg(d, title))
	}
	if caption != "" {
		h.put("<p class=\"small\">%s</p>", esc(caption))
	}
	h.put("</figure>")
	if t := pdf.ChartTable(b); t != nil {
		h.table(t)
	}
}
