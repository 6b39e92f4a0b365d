package cells

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/ingredients/pattern"
)

// page reads a laid out page, region by region.
func (r *reader) page(p paper.Page) {
	for _, reg := range r.regions(p) {
		r.region(p, reg)
	}
}

func (r *reader) region(p paper.Page, reg region) {
	lines := reg.lines
	r.boxes = boxesOf(reg.lines, reg.rules)
	first := r.firstHead(lines, 0)
	if r.open != nil && first < 0 {
		first = len(lines)
	}
	if r.open != nil { // the table of the page before may go on here
		n := 0
		if first > 0 || len(lines) > 0 {
			n = r.goesOn(p, reg, min(max(first, 0), len(lines)))
		}
		lines = lines[n:]
	}
	from := 0 // lines that are not given yet
	for i := 0; i < len(lines); {
		n := r.pageHead(lines, i)
		if n == 0 {
			i++
			continue
		}
		r.plain(p, reg, lines[from:i])
		end := r.bodyEnd(lines, i+n, r.stack(lines[i:i+n]))
		t := r.pageTable(p, reg, lines[i:i+n], lines[i+n:end], end == len(lines) || restIsFoot(p, lines[end:]))
		end = r.underSubheads(p, reg, lines, end, t)
		i, from = end, end
	}
	r.plain(p, reg, lines[from:])
}

// underSubheads carries a table of results on below a heading within it, such as
// "Microbiology", where the lines below it still stand under its columns; it says where the
// table ends.
func (r *reader) underSubheads(p paper.Page, reg region, lines []paper.Line, end int, t *Table) int {
	for t != nil && t.Has("result") && !t.Has("content") && end+1 < len(lines) && len(lines[end].Cells) == 1 {
		about := r.heading(lines[end].Text(" "))
		if about != "impurities" && about != "physical" || r.pageHead(lines, end+1) > 0 ||
			!under(lines[end+1:], t.Columns) {
			return end
		}
		r.plain(p, reg, lines[end:end+1])
		next := r.bodyEnd(lines, end+1, columnHeads(t.Columns))
		more := &Table{Place: place(p, lines[end+1]), Columns: t.Columns}
		more.Rows = r.rows(p, lines[end+1:next], t.Columns, reg.rules)
		r.emit(more)
		r.open = nil
		if next == len(lines) || restIsFoot(p, lines[next:]) {
			r.open = more
		}
		end = next
	}
	return end
}

// under says whether one of the next lines has pieces under more than half of the columns of a table,
// each under one column.
func under(lines []paper.Line, cols []Column) bool {
	for _, l := range lines[:min(3, len(lines))] {
		hit := map[int]bool{}
		whole := true
		for _, c := range l.Cells {
			n := 0
			for i, k := range cols {
				if c.X0 < k.x1 && c.X1 > k.x0 {
					hit[i] = true
					n++
				}
			}
			whole = whole && n == 1
		}
		if whole && len(l.Cells) > 1 && len(hit) == len(l.Cells) && 2*len(hit) >= len(cols) {
			return true
		}
	}
	return false
}

func (r *reader) firstHead(lines []paper.Line, from int) int {
	for i := from; i < len(lines); i++ {
		if r.pageHead(lines, i) > 0 {
			return i
		}
	}
	return -1
}

// restIsFoot says whether what is left of a page are the few lines of its foot.
func restIsFoot(p paper.Page, rest []paper.Line) bool {
	return len(rest) <= 3 && !slices.ContainsFunc(rest,
		func(l paper.Line) bool { return l.Y < 0.88*p.Height })
}

// headTexts gives the pieces of a line as heads of columns: its cells, and where a
// cell holds several heads in a row, those.
func headTexts(r *reader, l paper.Line) []string {
	var out []string
	for _, c := range l.Cells {
		for _, piece := range r.headPieces(c) {
			out = append(out, piece.Text)
		}
	}
	return out
}

// headPieces parts a cell that holds several known heads one after the other, as
// narrow columns print them: "Content (%) Classification".
func (r *reader) headPieces(c paper.Cell) []paper.Cell {
	if len(c.Words) < 2 || r.single[c.Text] {
		return []paper.Cell{c}
	}
	if r.exactRole(c.Text) != "" || r.exactRole(brackets.ReplaceAllString(c.Text, "")) != "" {
		r.single[c.Text] = true
		return []paper.Cell{c}
	}
	for n := 1; n < len(c.Words); n++ {
		a, b := c.Words[:n], c.Words[n:]
		if !r.startsHead(b) { // of prose this is so for nearly all, and costs least
			continue
		}
		left := joined(a)
		if strings.Trim(unitWord.ReplaceAllString(left, ""), "()[] ") != "" && r.exactRole(left) == "" &&
			r.exactRole(brackets.ReplaceAllString(left, "")) == "" &&
			(r.exactRole(unitTail.ReplaceAllString(left, "")) == "" || !unitAlone(a[n-1].Text)) {
			continue
		}
		next := b[0].Text
		if strings.HasPrefix(next, "(") || strings.HasPrefix(next, "[") || strings.HasPrefix(next, "%") {
			continue
		}
		rest := paper.Cell{Text: joined(b), X0: b[0].X0, X1: c.X1, Words: b}
		return append([]paper.Cell{{Text: left, X0: c.X0, X1: a[n-1].X1, Words: a}}, r.headPieces(rest)...)
	}
	r.single[c.Text] = true
	return []paper.Cell{c}
}

// startsHead says whether words begin with a head of a column.
func (r *reader) startsHead(ws []paper.Word) bool {
	if unitAlone(ws[0].Text) {
		return true
	}
	for n := 1; n <= min(3, len(ws)); n++ {
		if role := r.exactRole(joined(ws[:n])); role != "" && role != "number" {
			return true
		}
	}
	return false
}

func joined(ws []paper.Word) string {
	parts := make([]string, len(ws))
	for i, w := range ws {
		parts[i] = w.Text
	}
	return strings.Join(parts, " ")
}

// mostHeadLines is how many printed lines a head may take.
const mostHeadLines = 6

// pageHead says how many lines from here are the head of a table; 0 for none. A
// head may take several lines: "IFRA" over "Category" beside "Limit".
func (r *reader) pageHead(lines []paper.Line, i int) int {
	if len(lines[i].Cells) == 1 && (r.heading(lines[i].Text(" ")) != "" && !r.overlapped(lines, i) ||
		len(strings.Fields(lines[i].Text(" "))) > 12) {
		return 0
	}
	if n := r.boxedHead(lines, i); n > 0 {
		return n
	}
	run := 0 // lines that may belong together
	for run < mostHeadLines && i+run < len(lines) {
		l := lines[i+run]
		if run > 0 && l.Y-lines[i+run-1].Y > 1.6*max(l.Size, lines[i+run-1].Size) || !r.headish(l) {
			break
		}
		if run > 0 && !r.allHeads(l) && !r.goesUnder(lines[i:i+run], l) {
			break
		}
		run++
	}
	for n := run; n >= 1; n-- {
		if !r.isHead(r.stacked(lines[i : i+n])) {
			continue
		}
		if n > 1 && r.isHead(r.stacked(lines[i+1:i+n])) && !r.belongsOver(lines[i], lines[i+1:i+n]) {
			return 0 // a line above the head; the head begins below it
		}
		return n
	}
	return 0
}

// boxedHead says how many lines from here are a head that takes several lines within one row
// drawn on the page, as in narrow columns: "Content in the" over "compound" beside "CAS".
func (r *reader) boxedHead(lines []paper.Line, i int) int {
	b := slices.IndexFunc(r.boxes, func(b box) bool { return lines[i].Y > b.from && lines[i].Y <= b.to })
	if b < 0 || i > 0 && lines[i-1].Y > r.boxes[b].from {
		return 0
	}
	n := 1
	for i+n < len(lines) && lines[i+n].Y <= r.boxes[b].to {
		n++
	}
	if n < 2 || n > mostHeadLines || !r.isHead(r.stacked(lines[i:i+n])) {
		return 0
	}
	return n
}

// overlapped says whether a head that is also a heading stands beside the next line rather than
// over it, as in a row of heads that are centred: "Content" over "(w/w)", "Substance" between.
func (r *reader) overlapped(lines []paper.Line, i int) bool {
	return i+1 < len(lines) && r.exactRole(lines[i].Cells[0].Text) != "" && lines[i].Size > 0 &&
		lines[i+1].Y-lines[i].Y < 0.9*lines[i].Size && len(lines[i+1].Cells) > 1
}

// allHeads says whether every piece of a line is a known head, a unit, or the end
// of a head.
func (r *reader) allHeads(l paper.Line) bool {
	for _, t := range headTexts(r, l) {
		if r.exactRole(t) == "" && r.exactRole(brackets.ReplaceAllString(t, "")) == "" && !headTail(t) &&
			strings.Trim(unitWord.ReplaceAllString(t, ""), "() []") != "" &&
			(r.roleOf(t) == "" || len(strings.Fields(t)) > 4) && !r.isTest(t) && !r.isBatch(t) {
			return false
		}
	}
	return true
}

// belongsOver says whether a line is part of the head below it: each of its pieces
// is a head, and stands over one column or over heads that are bounds.
func (r *reader) belongsOver(l paper.Line, below []paper.Line) bool {
	for _, c := range l.Cells {
		if r.heading(c.Text) != "" && r.exactRole(c.Text) == "" {
			return false
		}
		if words := len(lexicon.Fold(c.Text)) - len(strings.ReplaceAll(lexicon.Fold(c.Text), " ", "")) +
			1; words > 10 ||
			r.roleOf(c.Text) == "" && !startsNumbers(c.Text) && words > 3 {
			return false
		}
		over := 0
		for _, k := range r.stack(below) {
			if k.X0 < c.X1 && c.X0 < k.X1 {
				over++
			}
		}
		if over > 1 && r.exactRole(c.Text) == "" && len(strings.Fields(c.Text)) > 3 {
			return false
		}
	}
	return true
}

// startsNumbers says whether a piece of a head goes on behind a stroke: "CAS-Nr. / EG-Nr. /"
// over "REACH-Nr.".
func startsNumbers(t string) bool { return strings.HasSuffix(strings.TrimSpace(t), "/") }

// headish says whether a line may belong to a head: no numbers of substances, no
// values, no sentence.
func (r *reader) headish(l paper.Line) bool {
	for _, c := range l.Cells {
		bare := brackets.ReplaceAllString(c.Text, "")
		if identifier.MatchString(c.Text) || len(strings.Fields(c.Text)) > 14 ||
			strings.HasSuffix(c.Text, ".") && len(strings.Fields(c.Text)) > 4 ||
			strings.Contains(c.Text, ": ") {
			return false
		}
		if headDigits.MatchString(bare) && r.roleOf(c.Text) == "" && len(r.headPieces(c)) == 1 &&
			!r.isTest(c.Text) && !lotCode.MatchString(c.Text) {
			return false
		}
	}
	return true
}

// goesUnder says whether a line carries on the head above it: every piece stands
// under a piece of the head and is a head or a unit itself.
func (r *reader) goesUnder(head []paper.Line, l paper.Line) bool {
	for _, c := range l.Cells {
		open := false // a head above it that breaks off: "Spez. Konz.-"
		under := slices.ContainsFunc(head, func(h paper.Line) bool {
			return slices.ContainsFunc(h.Cells, func(k paper.Cell) bool {
				over := k.X0 < c.X1 && c.X0 < k.X1
				open = open || over && (strings.HasSuffix(k.Text, "-") || strings.HasSuffix(k.Text, "/"))
				return over
			})
		})
		if !under || r.roleOf(c.Text) == "" && !headTail(c.Text) && !open {
			return false
		}
	}
	return true
}

// headTail says whether a text can only be the end of a head, such as "w/w)".
func headTail(s string) bool {
	return len(strings.Fields(s)) <= 2 && (strings.HasSuffix(s, ")") && !strings.Contains(s, "(") ||
		strings.HasPrefix(s, "(") || strings.HasPrefix(s, "["))
}

// stacked joins the pieces of the lines of a head that stand over each other.
func (r *reader) stacked(lines []paper.Line) []string {
	var out []string
	for _, c := range r.stack(lines) {
		out = append(out, c.Text)
	}
	return out
}

func (r *reader) stack(lines []paper.Line) []paper.Cell {
	var cells []paper.Cell
	for _, l := range lines {
		for _, c := range l.Cells {
			for _, piece := range r.headPieces(c) {
				i := slices.IndexFunc(cells, func(k paper.Cell) bool {
					return k.X0 < piece.X1 &&
						piece.X0 < k.X1
				})
				if i < 0 {
					cells = append(cells, piece)
					continue
				}
				k := &cells[i]
				k.Text += " " + piece.Text
				k.X0, k.X1 = min(k.X0, piece.X0), max(k.X1, piece.X1)
			}
		}
	}
	slices.SortStableFunc(cells, func(a, b paper.Cell) int {
		if a.X0 < b.X0 {
			return -1
		}
		return 1
	})
	return cells
}

// sentenceLike is a text that is no row of a table where it runs over the columns.
var sentenceLike = pattern.New(`: |\.$|^\S{1,4} ?= |;$`)

// numberOfSubstance is a CAS or EC number.
var numberOfSubstance = pattern.New(`\b(?:\d{2,7}-\d{2}-\d|\d{3}-\d{3}-\d)\b`)

// legendLike says what a figure or a sign stands for: "0 = below 0.001 %".
var legendLike = pattern.New(`^\S{1,4} ?[=:] `)

// overHeads says whether a cell runs over the place where a later column's head
// begins.
func overHeads(c paper.Cell, head []paper.Cell) bool {
	if numberOfSubstance.MatchString(c.Text) || valueAlone().MatchString(c.Text) && !legendLike.MatchString(c.Text) {
		return false // under a centred head; a value with what stands close behind it
	}
	for _, h := range head[min(1, len(head)):] {
		if c.X0 < h.X0-5 && c.X1 > h.X0+5 {
			return true
		}
	}
	return false
}

// bodyEnd finds where the body of a table ends: at another head, at a heading, or
// at a sentence that runs over the columns.
func (r *reader) bodyEnd(lines []paper.Line, from int, head []paper.Cell) int {
	widest := 0.0
	for i := from; i < len(lines); i++ {
		l := lines[i]
		if i > from {
			gap := l.Y - lines[i-1].Y
			if gap > 5*l.Size && gap > 2.5*widest || widest > 1.1*l.Size && gap > 3.2*widest {
				return i
			}
			widest = max(widest, gap)
		}
		if r.pageHead(lines, i) > 0 || r.heading(l.Text(" ")) != "" && len(l.Cells) == 1 {
			return i
		}
		if len(l.Cells) == 1 && i > from {
			words := strings.Fields(l.Cells[0].Text)
			if i > from && overHeads(l.Cells[0], head) && sentenceLike.MatchString(l.Cells[0].Text) {
				return i
			}
			wide := l.Y-lines[i-1].Y > 1.9*l.Size
			if len(words) > 6 && wide || len(words) > 12 || wide && l.Y-lines[i-1].Y > 4*l.Size {
				return i
			}
		}
	}
	return len(lines)
}
