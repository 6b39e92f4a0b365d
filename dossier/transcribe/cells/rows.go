package cells

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/ingredients/pattern"
)

// piece is what one printed line holds under one column.
type piece struct {
	line, col int
	text      string
	y, size   float64
}

// block is a run of lines of one column that stand close to each other: a cell, or
// several cells of rows that stand tight.
type block struct{ pieces []piece }

func (b block) top() float64    { return b.pieces[0].y }
func (b block) bottom() float64 { return b.pieces[len(b.pieces)-1].y }
func (b block) middle() float64 { return (b.top() + b.bottom()) / 2 }

// leastBoxes is from how many parts on the lines drawn on a page are taken to part its rows.
const leastBoxes = 3

// rows groups the lines of a body into rows and puts their words under the
// columns.
func (r *reader) rows(p paper.Page, body []paper.Line, cols []Column, rules []paper.Rule) []Row {
	var out []Row
	groups := ruledGroups(body, cols, rules)
	for _, g := range groups {
		pieces := piecesOf(body, g, cols)
		for _, set := range r.split(pieces, cols, len(groups) >= leastBoxes) {
			out = append(out, r.rowFrom(p, body, set, cols))
		}
	}
	return out
}

// rowFrom builds a row from its pieces.
func (r *reader) rowFrom(p paper.Page, body []paper.Line, set []piece, cols []Column) Row {
	slices.SortStableFunc(set, func(a, b piece) int { return a.line - b.line })
	first := body[set[0].line]
	row := Row{Place: place(p, first), Cells: make([]Cell, len(cols)), Y: first.Y, Size: first.Size}
	last := -1
	for _, q := range set {
		cell := &row.Cells[q.col]
		if cell.Text == "" {
			cell.Line, cell.Text = body[q.line].Number, q.text
		} else {
			cell.Text += "\n" + q.text
		}
		if q.line != last {
			row.Raw = strings.TrimSpace(row.Raw + "  " + body[q.line].Text("  "))
			last = q.line
		}
	}
	return row
}

// underColumns puts the words of a line under the columns, each by its middle.
func underColumns(l paper.Line, cols []Column) []string {
	spans := make([]span, len(cols))
	for i, c := range cols {
		spans[i] = span{c.x0, c.x1}
	}
	out := make([]string, len(cols))
	begins := make([]bool, len(cols)+1) // a word of the line stands at the left edge of the column
	for _, c := range l.Cells {
		for _, w := range c.Words {
			for i := range spans {
				begins[i] = begins[i] || w.X0 > spans[i].x0-1.5 && w.X0 < spans[i].x0+1.5
			}
		}
	}
	for _, c := range l.Cells {
		for _, w := range c.Words {
			mid := (w.X0 + w.X1) / 2
			for i := range spans {
				lo, hi := reach(spans, i)
				if i > 0 && begins[i] { // a name may run up to its value
					lo = spans[i].x0 - 1.5
				}
				if begins[i+1] {
					hi = spans[i+1].x0 - 1.5
				}
				if mid >= lo && mid < hi {
					if out[i] != "" {
						out[i] += " "
					}
					out[i] += w.Text
					break
				}
			}
		}
	}
	return out
}

// ruledGroups groups the lines between the level lines drawn across the table; one
// group of all where there are too few of them.
func ruledGroups(body []paper.Line, cols []Column, rules []paper.Rule) [][]int {
	left, right := cols[0].x0, cols[len(cols)-1].x1
	reach := map[int]float64{}
	for _, q := range rules {
		if q.Horizontal() {
			if w := min(q.X1, right) - max(q.X0, left); w > 0 {
				reach[int(q.Y0+0.5)] += w
			}
		}
	}
	var ys []float64
	for y, w := range reach {
		if w+reach[y+1]+reach[y-1] >= 0.7*(right-left) {
			ys = append(ys, float64(y))
		}
	}
	slices.Sort(ys)
	var out [][]int
	var g []int
	for i, l := range body {
		if i > 0 && slices.ContainsFunc(ys, func(y float64) bool {
			return y > body[i-1].Y-1.5 &&
				y < l.Y-0.35*l.Size
		}) {
			out = append(out, g)
			g = nil
		}
		g = append(g, i)
	}
	return append(out, g)
}

// near is the distance of two lines of one cell, as a share of the letters' height.
const near = 1.32

// blocks gathers the pieces of each column into blocks.
func blocksOf(pieces []piece, cols []Column) [][]block {
	out := make([][]block, len(cols))
	for _, q := range pieces {
		bs := out[q.col]
		if n := len(bs); n > 0 {
			last := bs[n-1].pieces[len(bs[n-1].pieces)-1]
			if q.y-last.y <= near*max(q.size, last.size) {
				bs[n-1].pieces = append(bs[n-1].pieces, q)
				continue
			}
		}
		out[q.col] = append(bs, block{[]piece{q}})
	}
	return out
}

var (
	startsNumber = lexicon.Pattern(`^\s*([<>≤≥~±=]|\d|<<limit word>>|n\.? ?[dn]\b)`)
	// openEnd is a value that must go on on the next line.
	openEnd = lexicon.Pattern(`[-–—<>≤≥]\s*$|(?:^|\s)<<to>>\s*$`)
)

// valueRoles are the columns that give each row its value, the surest first.
var valueRoles = []string{"content", "limit", "result", "spec", "typical", "low", "high", "finished", "lot", "test"}

// seed is where a row of the table stands.
type seed struct{ top, middle float64 }

// split parts the pieces between two level lines into rows. Rows stand where the
// values stand; where there is no value, where a number of a substance stands;
// otherwise where a name stands. Other cells belong to the row whose top, or in a
// table with centred cells whose middle, they share.
// boxed says that lines are drawn between the rows.
func (r *reader) split(pieces []piece, cols []Column, boxed bool) [][]piece {
	if len(pieces) == 0 {
		return nil
	}
	all := blocksOf(pieces, cols)
	seeds := r.seeds(all, cols)
	if len(seeds) <= 1 || boxed && r.oneRow(all, cols) {
		return [][]piece{pieces}
	}
	centred := isCentred(all, cols, seeds)
	sets := make([][]piece, len(seeds))
	for c := range cols {
		for _, b := range all[c] {
			for _, one := range r.cut(b, cols[c], seeds, centred) {
				sets[owner(one, seeds, centred)] = append(sets[owner(one, seeds, centred)], one.pieces...)
			}
		}
	}
	return slices.DeleteFunc(sets, func(s []piece) bool { return len(s) == 0 })
}

// oneRow says whether what stands between two lines drawn on the page is one row with several
// numbers of a substance: one value, and one printed line of a name beside it, or all cells
// centred on the value.
func (r *reader) oneRow(all [][]block, cols []Column) bool {
	var values []block
	names, centred := 0, true
	for c, bs := range all {
		for _, b := range bs {
			if slices.Contains(valueRoles, cols[c].Role) {
				values = append(values, r.values(b)...)
			}
			if cols[c].Role == "name" || cols[c].Role == "inci" {
				names = max(names, len(bs)-1+len(b.pieces))
			}
		}
	}
	if len(values) == 0 || names == 0 {
		return false
	}
	at, size := values[0].middle(), values[0].pieces[0].size
	for _, v := range values {
		if abs(v.middle()-at) > 0.3*size {
			return false
		}
	}
	for _, bs := range all {
		centred = centred && (len(bs) == 0 || abs((bs[0].top()+bs[len(bs)-1].bottom())/2-at) < 0.3*size)
	}
	return names == 1 || centred
}

// seeds finds where rows stand.
func (r *reader) seeds(all [][]block, cols []Column) []seed {
	var out []seed
	add := func(b block) {
		for _, s := range out {
			if abs(s.top-b.top()) < 0.42*b.pieces[0].size || abs(s.middle-b.middle()) < 0.3*b.pieces[0].size {
				return
			}
		}
		out = append(out, seed{b.top(), b.middle()})
	}
	for _, role := range valueRoles {
		for c := range cols {
			if cols[c].Role != role {
				continue
			}
			for _, b := range all[c] {
				for _, v := range r.values(b) {
					add(v)
				}
			}
		}
	}
	values := len(out)
	for c := range cols {
		if cols[c].Role == "cas" || cols[c].Role == "casec" || cols[c].Role == "category" {
			for _, b := range all[c] {
				for _, v := range identities(b) {
					if values == 0 || !claimed(v, out) {
						add(v)
					}
				}
			}
		}
	}
	if len(out) == 0 {
		for c := range cols {
			if cols[c].Role == "name" || cols[c].Role == "inci" || cols[c].Role == "property" {
				for _, b := range all[c] {
					for _, q := range b.pieces {
						add(block{[]piece{q}})
					}
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b seed) int {
		if a.middle < b.middle {
			return -1
		}
		return 1
	})
	return out
}

// values parts a block of a value column into values: each line that is a value of
// its own begins one.
func (r *reader) values(b block) []block {
	var out []block
	for i, q := range b.pieces {
		t := strings.TrimSpace(q.text)
		starts := startsNumber().MatchString(t) || t == "-" || t == "–" || t == "+" || r.statusWord(t) ||
			i+1 < len(b.pieces) && (r.statusWord(joinedWord(t, b.pieces[i+1].text)) || r.signWord(t))
		if i > 0 && (!starts || strings.HasPrefix(t, "(") || bracketOpen(out[len(out)-1]) ||
			r.statusWord(strings.TrimSpace(b.pieces[i-1].text)+" "+t) || r.signWord(b.pieces[i-1].text) || openEnd().MatchString(b.pieces[i-1].text) &&
			strings.Trim(b.pieces[i-1].text, " -–") != "") {
			last := &out[len(out)-1]
			last.pieces = append(last.pieces, q)
			continue
		}
		out = append(out, block{[]piece{q}})
	}
	return out
}

// bracketOpen says whether a value still has an open bracket: "(below" over "0.001)".
func bracketOpen(b block) bool {
	n := 0
	for _, q := range b.pieces {
		n += strings.Count(q.text, "(") - strings.Count(q.text, ")")
	}
	return n > 0 && len(b.pieces) < 4
}

// joinedWord is a word or words over two lines; a hyphen at the end of the first goes.
func joinedWord(above, below string) string {
	if stem, broken := strings.CutSuffix(strings.TrimSpace(above), "-"); broken {
		return stem + strings.TrimSpace(below)
	}
	return above + " " + below
}

// signWord says whether a text is a word for a sign, such as "below", so that its figure
// stands on the next line.
func (r *reader) signWord(t string) bool {
	e, ok := r.words.Exact("sign", t)
	return ok && strings.ContainsAny(e.Key, "<>")
}

func (r *reader) statusWord(t string) bool {
	_, ok := r.words.Exact("status", t)
	return ok
}

// identities parts a block of numbers of substances into those of one row each: a
// number behind a comma or a broken end goes on.
func identities(b block) []block {
	var out []block
	for i, q := range b.pieces {
		if i > 0 {
			before := strings.TrimSpace(b.pieces[i-1].text)
			if strings.HasSuffix(before, ",") || strings.HasSuffix(before, ";") ||
				strings.HasSuffix(before, "/") || strings.HasSuffix(before, "-") ||
				!identifier.MatchString(indexNumber.ReplaceAllString(q.text, "")) {
				last := &out[len(out)-1]
				last.pieces = append(last.pieces, q)
				continue
			}
		}
		out = append(out, block{[]piece{q}})
	}
	return out
}

// indexNumber is a number of the list of classified substances, whose end looks like a CAS number.
var indexNumber = pattern.New(`\b\d{3}-\d{3}-\d{2}-[\dXx]`)

// claimed says whether a block of numbers belongs to a row that a value has
// already told.
func claimed(b block, seeds []seed) bool {
	for _, s := range seeds {
		if s.middle >= b.top()-0.45*b.pieces[0].size && s.middle <= b.bottom()+0.45*b.pieces[0].size ||
			abs(s.top-b.top()) < 0.45*b.pieces[0].size {
			return true
		}
	}
	return false
}

// isCentred says whether cells of several lines stand centred beside their row's
// value: more of them share its middle than its top.
func isCentred(all [][]block, cols []Column, seeds []seed) bool {
	tops, middles := 0, 0
	for c, bs := range all {
		if slices.Contains(valueRoles, cols[c].Role) {
			continue // the seeds themselves
		}
		for _, b := range bs {
			if len(b.pieces) < 2 {
				continue
			}
			size := b.pieces[0].size
			top := slices.ContainsFunc(seeds, func(s seed) bool { return abs(s.top-b.top()) < 0.25*size })
			middle := slices.ContainsFunc(seeds,
				func(s seed) bool { return abs(s.middle-b.middle()) < 0.25*size })
			switch {
			case top && !middle:
				tops++
			case middle && !top:
				middles++
			}
		}
	}
	return middles > tops
}

// cut parts a block that reaches over several rows, line by line.
func (r *reader) cut(b block, c Column, seeds []seed, centred bool) []block {
	n := 0
	size := b.pieces[0].size
	for _, s := range seeds {
		at := s.top
		if centred {
			at = s.middle
		}
		if at > b.top()-0.42*size && at < b.bottom()+0.42*size {
			n++
		}
	}
	if n <= 1 {
		return []block{b}
	}
	var out []block
	for i, q := range b.pieces {
		if i > 0 && (c.Role == "cas" || c.Role == "casec" || c.Role == "ec" || c.Role == "reach") &&
			brokenEnd.MatchString(b.pieces[i-1].text) {
			last := &out[len(out)-1]
			last.pieces = append(last.pieces, q)
			continue
		}
		out = append(out, block{[]piece{q}})
	}
	return out
}

// brokenEnd is the end of a line within a number, or in a list of numbers.
var brokenEnd = pattern.New(`[-,;/]\s*$`)

// owner finds the row that a block belongs to.
func owner(b block, seeds []seed, centred bool) int {
	best := 0
	if centred {
		for i, s := range seeds {
			if abs(s.middle-b.middle()) < abs(seeds[best].middle-b.middle()) {
				best = i
			}
		}
		return best
	}
	for i, s := range seeds { // the last row that begins at or above the block
		if s.top <= b.top()+0.42*b.pieces[0].size {
			best = i
		}
	}
	return best
}

func abs(x float64) float64 { return max(x, -x) }
