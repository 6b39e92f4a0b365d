package grid

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/paper"
)

// rows groups the lines of a body into rows and puts their words under the
// columns.
func (r *reader) rows(p paper.Page, body []paper.Line, cols []Column, rules []paper.Rule, top float64) []Row {
	cut := make([][]string, len(body)) // text of each line by column
	for i, l := range body {
		cut[i] = underColumns(l, cols)
	}
	var out []Row
	for _, g := range r.groups(body, cut, cols, rules) {
		row := Row{Place: place(p, body[g[0]]), Cells: make([]Cell, len(cols)), y: body[g[0]].Y}
		for _, i := range g {
			row.Raw = strings.TrimSpace(row.Raw + "  " + body[i].Text("  "))
			for c, text := range cut[i] {
				if text == "" {
					continue
				}
				cell := &row.Cells[c]
				if cell.Text == "" {
					cell.Line = body[i].Number
					cell.Text = text
				} else {
					cell.Text += "\n" + text
				}
			}
		}
		out = append(out, row)
	}
	return out
}

// underColumns puts the words of a line under the columns: each word by its middle.
// A cell that lies wholly in one column's reach stays together.
func underColumns(l paper.Line, cols []Column) []string {
	spans := make([]span, len(cols))
	for i, c := range cols {
		spans[i] = span{c.x0, c.x1}
	}
	out := make([]string, len(cols))
	add := func(i int, text string) {
		if out[i] != "" {
			out[i] += " "
		}
		out[i] += text
	}
	for _, c := range l.Cells {
		for _, w := range c.Words {
			mid := (w.X0 + w.X1) / 2
			for i := range spans {
				if lo, hi := reach(spans, i); mid >= lo && mid < hi {
					add(i, w.Text)
					break
				}
			}
		}
	}
	return out
}

// groups says which lines make up each row.
func (r *reader) groups(body []paper.Line, cut [][]string, cols []Column, rules []paper.Rule) [][]int {
	if gs := ruledGroups(body, cols, rules); gs != nil {
		var out [][]int
		for _, g := range gs {
			out = append(out, r.byAnchors(body, cut, cols, g, false)...)
		}
		return out
	}
	all := make([]int, len(body))
	for i := range all {
		all[i] = i
	}
	var out [][]int
	for _, g := range byGaps(body, all) {
		out = append(out, r.byAnchors(body, cut, cols, g, true)...)
	}
	return out
}

// ruledGroups groups lines between the level lines drawn across the table; nil
// where there are too few of them.
func ruledGroups(body []paper.Line, cols []Column, rules []paper.Rule) [][]int {
	left, right := cols[0].x0, cols[len(cols)-1].x1
	var ys []float64
	reach := map[int]float64{}
	for _, q := range rules {
		if q.Horizontal() {
			if w := min(q.X1, right) - max(q.X0, left); w > 0 {
				reach[int(q.Y0+0.5)] += w
			}
		}
	}
	for y, w := range reach {
		if w+reach[y+1]+reach[y-1] >= 0.7*(right-left) {
			ys = append(ys, float64(y))
		}
	}
	slices.Sort(ys)
	var out [][]int
	var g []int
	for i, l := range body {
		if i > 0 && slices.ContainsFunc(ys, func(y float64) bool { return y > body[i-1].Y-0.5 && y < l.Y-0.35*l.Size }) {
			out = append(out, g)
			g = nil
		}
		g = append(g, i)
	}
	out = append(out, g)
	if len(out)*3 < len(body) || len(out) < 2 {
		return nil
	}
	return out
}

// byGaps groups lines that stand closer to each other than rows do. Where all gaps
// are alike every line is a group of its own.
func byGaps(body []paper.Line, lines []int) [][]int {
	if len(lines) < 2 {
		return [][]int{lines}
	}
	gaps := make([]float64, 0, len(lines)-1)
	for i := 1; i < len(lines); i++ {
		gaps = append(gaps, body[lines[i]].Y-body[lines[i-1]].Y)
	}
	sorted := slices.Clone(gaps)
	slices.Sort(sorted)
	small, large := sorted[0], sorted[len(sorted)-1]
	if large < 1.25*small { // all alike
		out := make([][]int, len(lines))
		for i, l := range lines {
			out[i] = []int{l}
		}
		return out
	}
	// the widest step between neighbouring sizes of gap, among the smaller ones
	limit, step := 0.0, 1.0
	for i := 1; i < len(sorted); i++ {
		if ratio := sorted[i] / max(sorted[i-1], 0.5); ratio > step && sorted[i-1] < 1.6*body[lines[0]].Size {
			step, limit = ratio, (sorted[i]+sorted[i-1])/2
		}
	}
	if step < 1.12 {
		limit = small / 2
	}
	out := [][]int{{lines[0]}}
	for i := 1; i < len(lines); i++ {
		if gaps[i-1] >= limit {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], lines[i])
	}
	return out
}

var startsNumber = regexp.MustCompile(`^\s*([<>≤≥~±=]|\d|max|min|n\.? ?[dn]\b)`)

// anchored says whether a line carries what each row has once: a value, or a
// number of a substance where the table has no values.
func (r *reader) anchored(cells []string, cols []Column) bool {
	values, any := false, false
	for i, c := range cols {
		switch c.Role {
		case "content", "limit", "result", "spec", "typical", "low", "high":
			values = true
			t := strings.TrimSpace(cells[i])
			if t == "" {
				continue
			}
			if startsNumber.MatchString(t) || t == "-" || t == "–" || r.statusWord(t) {
				any = true
			}
		}
	}
	if values {
		return any
	}
	for i, c := range cols {
		if (c.Role == "cas" || c.Role == "casec") && identifier.MatchString(cells[i]) {
			return true
		}
	}
	return false
}

func (r *reader) statusWord(t string) bool {
	_, ok := r.words.Exact("status", t)
	return ok
}

// openEnd is a value that must go on on the next line.
var openEnd = regexp.MustCompile(`[-–—<>≤≥]\s*$`)

// byAnchors parts a group of lines that holds several rows. Lines without an
// anchor belong to the row above; where the first line has none the cells are
// centred, and a line belongs to the nearest anchor.
func (r *reader) byAnchors(body []paper.Line, cut [][]string, cols []Column, g []int, gaps bool) [][]int {
	var anchors []int
	for n, i := range g {
		if !r.anchored(cut[i], cols) {
			continue
		}
		if n > 0 && r.valueGoesOn(cut[g[n-1]], cut[i], cols) {
			continue
		}
		anchors = append(anchors, n)
	}
	if len(anchors) <= 1 {
		return [][]int{g}
	}
	if anchors[0] == 0 {
		var out [][]int
		for k, a := range anchors {
			end := len(g)
			if k+1 < len(anchors) {
				end = anchors[k+1]
			}
			out = append(out, g[a:end])
		}
		return out
	}
	out := make([][]int, len(anchors))
	for n, i := range g {
		best := 0
		for k, a := range anchors {
			if dist(body, g[a], i) < dist(body, g[anchors[best]], i) {
				best = k
			}
		}
		out[best] = append(out[best], g[n])
	}
	return out
}

func dist(body []paper.Line, a, b int) float64 {
	if body[a].Y > body[b].Y {
		return body[a].Y - body[b].Y
	}
	return body[b].Y - body[a].Y
}

// valueGoesOn says whether a line carries only the rest of a value that the line
// above has begun: "≥ 5 -" over "< 10".
func (r *reader) valueGoesOn(above, here []string, cols []Column) bool {
	for i, c := range cols {
		if !numeric[c.Role] || c.Role == "cas" || c.Role == "casec" {
			continue
		}
		if openEnd.MatchString(above[i]) && strings.TrimSpace(above[i]) != "-" && here[i] != "" {
			return true
		}
	}
	return false
}
