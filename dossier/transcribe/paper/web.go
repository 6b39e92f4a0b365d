package paper

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"gallipot/ingredients/pattern"
)

// webReader walks a web page and gathers lines and rows.
type webReader struct {
	f      *File
	lim    Limits
	page   Page
	text   strings.Builder
	struck strings.Builder // what is crossed out on the line
	hidden int
	quote  int
	pre    int // how deep in text whose lines and blanks count
	grids  int
	depth  int
	unseen map[string]bool // classes and names that the page's own style hides
}

// readWeb reads a web page: each block is a line, each row of a table a row of
// cells.
func readWeb(f *File, data []byte, lim Limits) error {
	text, ok := decode(data)
	if !ok {
		return trouble("unknown-form", "")
	}
	root, err := html.Parse(strings.NewReader(text))
	if err != nil {
		return trouble("broken", err)
	}
	w := &webReader{f: f, lim: lim, page: Page{Number: 1}, unseen: hiddenByStyle(root)}
	w.walk(root)
	w.flush()
	if f.Form == Mail {
		markOlder(w.page.Lines)
	}
	f.Pages = []Page{w.page}
	return nil
}

var webSkipped = map[atom.Atom]bool{atom.Script: true, atom.Style: true, atom.Head: true, atom.Noscript: true,
	atom.Template: true}

var webStruck = map[atom.Atom]bool{atom.Del: true, atom.S: true, atom.Strike: true}

var webBlocks = map[atom.Atom]bool{atom.P: true, atom.Div: true, atom.Li: true, atom.H1: true, atom.H2: true,
	atom.H3: true, atom.H4: true, atom.H5: true, atom.H6: true,
	atom.Br: true, atom.Section: true, atom.Article: true, atom.Header: true, atom.Footer: true,
	atom.Ul: true, atom.Ol: true, atom.Dl: true, atom.Dt: true, atom.Hr: true, atom.Pre: true,
	atom.Blockquote: true, atom.Caption: true}

func (w *webReader) walk(n *html.Node) {
	if w.depth++; w.depth > 400 {
		w.depth--
		return
	}
	defer func() { w.depth-- }()
	switch n.Type {
	case html.TextNode:
		if w.pre > 0 {
			w.setText(n.Data)
		} else {
			w.text.WriteString(n.Data)
		}
		return
	case html.ElementNode:
		if webSkipped[n.DataAtom] {
			return
		}
		if webStruck[n.DataAtom] {
			w.struck.WriteString(webText(n, true))
			return
		}
		if n.DataAtom == atom.Sup {
			w.text.WriteString(raised(webText(n, false)))
			return
		}
	}
	if n.DataAtom == atom.Table {
		w.flush()
		w.table(n)
		return
	}
	block := webBlocks[n.DataAtom]
	if block {
		w.flush()
	}
	hides, quotes := w.hides(n), n.DataAtom == atom.Blockquote
	if hides {
		w.flush()
		w.hidden++
	}
	if quotes {
		w.quote++
	}
	if n.DataAtom == atom.Pre {
		w.pre++
		defer func() { w.pre-- }()
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		w.walk(c)
	}
	switch n.DataAtom {
	case atom.Dt: // a term and what it means share a line
		w.text.WriteString("\t")
	default:
		if block || hides || n.DataAtom == atom.Dd {
			w.flush()
		}
	}
	if hides {
		w.hidden--
	}
	if quotes {
		w.quote--
	}
}

// setText reads text that is set as it stands: each line is a line, wide gaps part its cells.
func (w *webReader) setText(t string) {
	for i, line := range strings.Split(strings.ReplaceAll(t, "\r\n", "\n"), "\n") {
		if i > 0 {
			w.flush()
		}
		w.text.WriteString(wideGap.ReplaceAllString(line, "\t"))
	}
}

// wideGap is a gap between two cells of a line of text.
var wideGap = pattern.New(` {2,}`)

// hides says whether an element is one that nobody sees.
func (w *webReader) hides(n *html.Node) bool {
	for _, a := range n.Attr {
		switch a.Key {
		case "hidden":
			return true
		case "style":
			if hidingStyle(a.Val) {
				return true
			}
		case "id":
			if w.unseen["#"+a.Val] {
				return true
			}
		case "class":
			if slices.ContainsFunc(strings.Fields(a.Val), func(c string) bool { return w.unseen["."+c] }) {
				return true
			}
		}
	}
	return false
}

func hidingStyle(v string) bool {
	v = strings.Join(strings.Fields(strings.ToLower(v)), "")
	return strings.Contains(v, "display:none") || strings.Contains(v, "visibility:hidden")
}

var (
	// styleAt are rules that hold under a condition, such as on paper alone, and notes.
	styleAt   = pattern.New(`(?s)/\*.*?\*/|@[^{};]*(?:;|\{(?:[^{}]*\{[^{}]*\})*[^{}]*\})`)
	styleRule = pattern.New(`([^{}]+)\{([^{}]*)\}`)
	styleName = pattern.New(`^\w*([.#][\w-]+)$`)
)

// hiddenByStyle lists the classes and names that a page hides by rules of its own style.
func hiddenByStyle(n *html.Node) map[string]bool {
	out := map[string]bool{}
	for d := range n.Descendants() {
		if d.Type != html.TextNode || d.Parent == nil || d.Parent.DataAtom != atom.Style {
			continue
		}
		for _, m := range styleRule.FindAllStringSubmatch(styleAt.ReplaceAllString(d.Data, " "), -1) {
			for _, name := range strings.Split(m[1], ",") {
				if k := styleName.FindStringSubmatch(strings.TrimSpace(name)); k != nil && hidingStyle(m[2]) {
					out[k[1]] = true
				}
			}
		}
	}
	return out
}

// flush ends a line of running text.
func (w *webReader) flush() {
	raw := w.text.String()
	w.text.Reset()
	var cells []Cell
	for _, part := range strings.Split(raw, "\t") {
		if t := strings.Join(strings.Fields(part), " "); t != "" {
			for _, c := range splitLeaders([]Cell{{Text: t, Span: 1}}) {
				c.Col, c.Hidden = len(cells), w.hidden > 0
				cells = append(cells, c)
			}
		}
	}
	if struck := strings.Join(strings.Fields(w.struck.String()), " "); struck != "" {
		if len(cells) == 0 {
			cells = []Cell{{Span: 1}}
		}
		cells[len(cells)-1].Struck = struck
		w.struck.Reset()
	}
	if len(cells) > 0 {
		w.add(Line{Cells: cells, Quote: w.quote, Hidden: w.hidden > 0})
	}
}

func (w *webReader) add(l Line) {
	if len(w.page.Lines) == w.lim.Lines {
		w.f.caution("lines-left", 1, "", fmt.Sprint(w.lim.Lines))
	}
	if len(w.page.Lines) >= w.lim.Lines {
		return
	}
	l.Number = len(w.page.Lines) + 1
	if l.Hidden {
		w.f.caution("hidden-text", 1, fmt.Sprintf("line %d", l.Number), l.Text(" "))
	}
	w.page.Lines = append(w.page.Lines, l)
}

// table reads the rows of a table; a cell that covers several rows stands in each
// of them.
func (w *webReader) table(n *html.Node) {
	w.grids++
	grid, row := w.grids, 0
	below := map[int]Cell{} // column → cell that reaches down
	rows := map[int]int{}
	var visit func(*html.Node)
	visit = func(n *html.Node) {
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			if c.DataAtom != atom.Tr {
				if c.Type == html.ElementNode && !webSkipped[c.DataAtom] {
					if c.DataAtom == atom.Caption {
						w.walk(c)
						continue
					}
					visit(c)
				}
				continue
			}
			if w.nested(c) {
				continue
			}
			row++
			line := Line{Grid: grid, Quote: w.quote, Hidden: w.hidden > 0 ||
				w.hides(c), Where: fmt.Sprintf("table %d row %d", grid, row)}
			col := 0
			take := func() {
				for rows[col] > 0 {
					rows[col]--
					line.Cells = append(line.Cells, below[col])
					col += below[col].Span
				}
			}
			for d := c.FirstChild; d != nil; d = d.NextSibling {
				if d.DataAtom != atom.Td && d.DataAtom != atom.Th {
					continue
				}
				take()
				cell := Cell{Text: webText(d, false), Struck: webStruckText(d), Col: col,
					Span: webNumber(d, "colspan"), Hidden: w.hides(d)}
				if down := webNumber(d, "rowspan"); down > 1 {
					below[col], rows[col] = cell, down-1
				}
				line.Cells = append(line.Cells, cell)
				col += cell.Span
			}
			take()
			w.add(line)
		}
	}
	visit(n)
}

// nested reads the cells of a row one after the other where one of them holds a table of
// its own: such a row only lays out a page or a mail.
func (w *webReader) nested(row *html.Node) bool {
	lays := false
	for d := row.FirstChild; d != nil; d = d.NextSibling {
		lays = lays || (d.DataAtom == atom.Td || d.DataAtom == atom.Th) && holdsTable(d, 0)
	}
	if !lays {
		return false
	}
	for d := row.FirstChild; d != nil; d = d.NextSibling {
		for c := d.FirstChild; c != nil; c = c.NextSibling {
			w.walk(c)
		}
		w.flush()
	}
	return true
}

// holdsTable says whether a table stands inside a node.
func holdsTable(n *html.Node, depth int) bool {
	for c := n.FirstChild; c != nil && depth < 100; c = c.NextSibling {
		if c.DataAtom == atom.Table || holdsTable(c, depth+1) {
			return true
		}
	}
	return false
}

func webNumber(n *html.Node, key string) int {
	for _, a := range n.Attr {
		if v, err := strconv.Atoi(a.Val); a.Key == key && err == nil && v > 1 {
			return min(v, 100)
		}
	}
	return 1
}

// webStruckText is what is crossed out in a cell.
func webStruckText(n *html.Node) string {
	var out []string
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		if c.Type != html.ElementNode || webSkipped[c.DataAtom] {
			continue
		}
		t := ""
		if webStruck[c.DataAtom] {
			t = webText(c, true)
		} else {
			t = webStruckText(c)
		}
		if t != "" {
			out = append(out, t)
		}
	}
	return strings.Join(out, " ")
}

// webText is the text of a cell, without or with what is crossed out in it; line
// breaks are kept.
func webText(top *html.Node, struck bool) string {
	var b strings.Builder
	var visit func(*html.Node, int)
	visit = func(n *html.Node, depth int) {
		if depth > 100 || n.Type == html.ElementNode &&
			(webSkipped[n.DataAtom] || !struck && webStruck[n.DataAtom]) {
			return
		}
		if n.Type == html.TextNode {
			b.WriteString(strings.NewReplacer("\n", " ", "\t", " ").Replace(n.Data))
		}
		if n.DataAtom == atom.Br {
			b.WriteString("\n")
		}
		if n.DataAtom == atom.Sup && n != top {
			b.WriteString(raised(webText(n, struck)))
			return
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			visit(c, depth+1)
		}
		if webBlocks[n.DataAtom] || n.DataAtom == atom.Tr {
			b.WriteString("\n")
		}
	}
	visit(top, 0)
	var lines []string
	for _, l := range strings.Split(b.String(), "\n") {
		if l = strings.Join(strings.Fields(l), " "); l != "" {
			lines = append(lines, l)
		}
	}
	return strings.Join(lines, "\n")
}
