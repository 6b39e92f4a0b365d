package recipe

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/exact"
)

// item is a line of text with what it may be.
type item struct {
	row   row
	lines []textLine
	head  *heading
	total string // figure of a total row, "" for none
	isSum bool
	text  string
	used  bool
}

// classify looks at each line of a text on its own.
func (d *doc) classify(rows []row) []item {
	items := make([]item, len(rows))
	for i, r := range rows {
		it := item{row: r, text: strings.TrimSpace(strings.ReplaceAll(r.text(), "**", ""))}
		s := bareText(it.text)
		bare := strings.TrimRight(strings.Trim(dose.Plain(s), "#*_= "), ":")
		switch {
		case d.sumLine(&it, bare):
		case len(strings.Fields(bare)) <= 4 && d.starts("formula variants", "head", lexicon.Fold(bare)) &&
			!strings.ContainsAny(bare, "0123456789"):
			it.head = &heading{id: strings.TrimRight(strings.Trim(s, "*_# "), ": "), variant: "*"}
		default:
			if h, ok := d.phaseOf(strings.Trim(s, "[]")); ok && !strings.HasPrefix(it.text, "# ") {
				if l, isLine := d.line(it.text); isLine && l.phase == nil &&
					!namesPhase(lexicon.Fold(l.name)) && !phaseWord.MatchString(s) && !h.after {
					it.lines = []textLine{l}
					break
				}
				it.head = &h
				break
			}
			if l, ok := d.line(it.text); ok {
				it.lines = []textLine{l}
			}
			if several := d.several(s); len(several) > len(it.lines) {
				it.lines = several
			}
		}
		items[i] = it
	}
	d.dropLoners(items)
	return items
}

// sumLine reads "Total 100 %".
func (d *doc) sumLine(it *item, s string) bool {
	name, figures := s, ""
	if i := strings.IndexAny(s, "0123456789"); i > 0 {
		name, figures = s[:i], s[i:]
	}
	if !d.totalOf(strings.Trim(name, " :=-~|")) || lexicon.Fold(name) == "rest" {
		return false
	}
	it.isSum = true
	if a, _, ok := d.dose.At(figures); ok && a.Value != "" {
		it.total = strings.TrimSpace(a.Value + " " + a.Unit)
	}
	return true
}

var listSigns = regexp.MustCompile(`\s*[,;]\s+|\s+\+\s+|\s*;\s*`)

// several reads a line that lists several materials with their amounts: "water 70
// %, glycerin 5 %, xanthan 0.3 %".
func (d *doc) several(s string) []textLine {
	var phase *heading
	if i := strings.Index(s, ":"); i > 0 {
		if h, ok := d.phaseOf(s[:i]); ok {
			phase, s = &h, s[i+1:]
		}
	}
	parts := listSigns.Split(strings.TrimRight(s, " ."), -1)
	if len(parts) < 2 && phase == nil {
		return nil
	}
	var out []textLine
	for _, p := range parts {
		l, ok := d.lineBody(strings.TrimSpace(p))
		if !ok || l.bare || l.amount.Unit == "" && l.amount.QS == "" {
			return nil
		}
		out = append(out, l)
	}
	if len(out) > 0 {
		out[0].phase = phase
	}
	return out
}

// dropLoners takes lines back that stand alone in prose, and bare numbers where no
// list has them.
func (d *doc) dropLoners(items []item) {
	bare, firm, braced := 0, 0, 0
	for _, it := range items {
		for _, l := range it.lines {
			switch {
			case l.braced:
				braced++
			case l.bare:
				bare++
			default:
				firm++
			}
		}
	}
	for i := range items {
		if len(items[i].lines) == 1 && items[i].lines[0].braced && braced < firm+bare {
			l := &items[i].lines[0]
			l.name, l.amount = l.name+" ("+l.amount.Printed+")", dose.Amount{Doubt: dose.Words}
		}
		if len(items[i].lines) == 1 && items[i].lines[0].bare && (bare < 3 || bare < firm) {
			items[i].lines = nil
		}
	}
	for i := range items {
		if len(items[i].lines) != 1 {
			continue
		}
		near := false
		for j := max(0, i-4); j <= min(len(items)-1, i+4); j++ {
			near = near || j != i && len(items[j].lines) > 0
		}
		if !near || prose(items[i].text) {
			items[i].lines = nil
		}
	}
}

// prose says whether a text is a sentence.
func prose(s string) bool {
	words := len(strings.Fields(s))
	return words > 12 && strings.Contains(s, ". ") || words > 8 && strings.HasSuffix(s, ".")
}

// block is a run of lines that make one formula.
type block struct {
	title []item
	items []item
}

// blocks parts the lines of a text into formulas. What stands before the first
// line of a formula is its title; what stands behind is given back as rest.
func (d *doc) blocks(items []item) (out []block) {
	var open *block
	var between []item
	for _, it := range items {
		starts := len(it.lines) > 0 || it.head != nil || it.isSum
		switch {
		case open == nil && len(it.lines) == 0 && it.head == nil:
			between = append(between, it)
		case open == nil:
			out = append(out, block{title: between, items: []item{it}})
			open, between = &out[len(out)-1], nil
		case !starts:
			between = append(between, it)
		default:
			if d.newFormula(open, between, it) {
				out = append(out, block{items: nil})
				open = &out[len(out)-1]
				prev := &out[len(out)-2]
				n := titleStart(between)
				prev.items = append(prev.items, between[:n]...)
				open.title = between[n:]
			} else {
				open.items = append(open.items, between...)
			}
			open.items = append(open.items, it)
			between = nil
		}
	}
	if open != nil {
		open.items = append(open.items, between...)
	} else if len(between) > 0 {
		out = append(out, block{title: between})
	}
	return out
}

// titleStart is where the title of the next formula begins in the lines between
// two: at the last one or two lines after a gap.
func titleStart(between []item) int {
	n := len(between) - 1
	for n > 0 && !between[n].row.gap && len(between)-n < 3 {
		n--
	}
	return max(n, 0)
}

// newFormula says whether a line begins another formula: a title stands before it
// and the formula before it is whole.
func (d *doc) newFormula(b *block, between []item, it item) bool {
	if len(between) == 0 {
		return false
	}
	title := between[len(between)-1]
	marked := false
	for _, t := range between {
		s := strings.TrimSpace(t.text)
		f := lexicon.Fold(s)
		if strings.HasPrefix(s, "# ") || strings.HasPrefix(s, "## ") || d.versionOf(s) != "" &&
			len(strings.Fields(s)) <= 8 || d.typeOf(f) != "" && len(strings.Fields(s)) <= 8 &&
			!strings.HasSuffix(s, ".") {
			marked, title = true, t
		}
	}
	n, whole := d.whole(b)
	if n < 2 {
		return false
	}
	short := len(strings.Fields(title.text)) <= 8 && !strings.HasSuffix(title.text, ".")
	restarts := it.head != nil && b.hasPhase(it.head.id)
	for _, l := range it.lines {
		restarts = restarts || l.phase != nil && b.hasPhase(l.phase.id)
	}
	return marked || short && (title.row.gap || it.row.gap) && (whole || restarts)
}

func (b *block) hasPhase(id string) bool {
	for _, it := range b.items {
		if it.head != nil && it.head.id == id && id != "" {
			return true
		}
		for _, l := range it.lines {
			if l.phase != nil && l.phase.id == id {
				return true
			}
		}
	}
	return false
}

// whole says how many lines a block has and whether they are a whole formula: a
// rest, a total, or 100 %.
func (d *doc) whole(b *block) (n int, whole bool) {
	var sum exact.Num
	for _, it := range b.items {
		whole = whole || it.isSum
		for _, l := range it.lines {
			n++
			whole = whole || l.amount.QS == dose.To100
			if l.amount.Unit == "%" || l.amount.Unit == "" {
				sum = sum.Add(num(l.amount.Value))
			}
		}
	}
	return n, whole || near(sum, exact.Int(100), exact.Int(1))
}

// product makes a product of a block of text.
func (d *doc) product(b block) *Product {
	p := &Product{}
	unit := d.listUnit(b)
	twins := d.twins(b)
	after, varies := false, false
	first, last := span(b.items)
	var sum exact.Num
	for i := range b.items {
		it := &b.items[i]
		if it.head != nil {
			after, varies = it.head.after, it.head.variant != ""
			d.openPhase(p, *it.head)
			it.used = true
			continue
		}
		if it.isSum {
			it.used = true
			if it.total != "" {
				d.textTotal(p, *it, b.items[i+1:], unit, sum)
			}
			continue
		}
		if i > first && i < last && d.bareMaterial(b.items, i) {
			it.lines = []textLine{{name: bareText(it.text), amount: dose.Amount{None: true}}}
		}
		for _, l := range it.lines {
			it.used = true
			if l.phase != nil {
				d.openPhase(p, *l.phase)
			}
			if len(p.Phases) == 0 {
				p.Phases = []Phase{{ID: "A"}}
			}
			line := d.lineOf(l, it.row, unit, twins)
			if varies {
				d.asVariant(p, &line)
			}
			if after && line.Amount != nil {
				line.After100 = true
			}
			sum = sum.Add(num(textOf(line.Amount)))
			ph := &p.Phases[len(p.Phases)-1]
			ph.Lines = append(ph.Lines, line)
		}
	}
	p.Phases = slices.DeleteFunc(p.Phases, func(ph Phase) bool {
		if len(ph.Lines) == 0 {
			p.Notes = append(p.Notes, strings.TrimSpace(ph.ID+" "+textOf(ph.Name)))
		}
		return len(ph.Lines) == 0
	})
	p.basisOf()
	return p
}

// span gives the first and the last item that is a line.
func span(items []item) (first, last int) {
	first = len(items)
	for i, it := range items {
		if len(it.lines) > 0 {
			first, last = min(first, i), i
		}
	}
	return first, last
}

// bareMaterial says whether a text between lines of a list is one without an
// amount: short, no sentence, and written like its neighbours.
func (d *doc) bareMaterial(items []item, i int) bool {
	it := items[i]
	name := bareText(it.text)
	if len(it.lines) > 0 || it.head != nil || it.isSum || len(strings.Fields(name)) > 6 ||
		strings.HasSuffix(name, ".") || strings.HasSuffix(name, "!") || strings.HasSuffix(name, ":") ||
		strings.HasPrefix(name, "(") || !d.isMaterial(name) || it.row.gap && items[i+1].row.gap {
		return false
	}
	like := func(j int) bool {
		return j >= 0 && j < len(items) && len(items[j].lines) > 0 &&
			bullet.MatchString(items[j].text) == bullet.MatchString(it.text)
	}
	return like(i-1) || like(i+1)
}

// asVariant makes a line one of a variant: "Rose: rose fragrance 0.6 %".
func (d *doc) asVariant(p *Product, l *Line) {
	variant, name, ok := strings.Cut(l.Name, ":")
	if !ok {
		variant, name = l.Name, l.Name
	}
	variant, l.Name = strings.TrimSpace(variant), strings.TrimSpace(name)
	l.Variants = []string{variant}
	if !slices.ContainsFunc(p.Variants, func(v Variant) bool { return v.Name == variant }) {
		p.Variants = append(p.Variants, Variant{Name: variant, Fill: map[string]string{}})
	}
}

func (d *doc) openPhase(p *Product, h heading) {
	for i := range p.Phases {
		if p.Phases[i].ID == h.id {
			ph := p.Phases[i]
			p.Phases = append(slices.Delete(p.Phases, i, i+1), ph)
			return
		}
	}
	p.Phases = append(p.Phases, phaseFrom(h, nil))
}

// textTotal takes a total line; a sub-total is one below which lines of the same
// formula follow.
func (d *doc) textTotal(p *Product, it item, below []item, unit string, sum exact.Num) {
	value, u, _ := strings.Cut(it.total, " ")
	if u == "" {
		u = unit
	}
	more := slices.ContainsFunc(below, func(x item) bool { return len(x.lines) > 0 })
	if more && value != "100" {
		return
	}
	p.Total.Stated = text(strings.TrimSpace(value + " " + u))
	if more {
		for i := range below {
			for j := range below[i].lines {
				below[i].lines[j].amount.Note = strings.TrimSpace(below[i].lines[j].amount.Note)
				below[i].lines[j].note = strings.Trim(below[i].lines[j].note+"; below the total", "; ")
			}
		}
	}
}

// listUnit is the unit of the lines of a list that print none: the one that the
// title names, or the only one that other lines have.
func (d *doc) listUnit(b block) string {
	for _, t := range b.title {
		if u := d.unitInTitle(t.text); u != "" {
			return u
		}
	}
	units := map[string]int{}
	for _, it := range b.items {
		for _, l := range it.lines {
			if massy(l.amount.Unit) {
				units[l.amount.Unit]++
			}
		}
	}
	if len(units) == 1 {
		for u := range units {
			return u
		}
	}
	return ""
}

// twins says whether the lines of a list print two amounts side by side.
func (d *doc) twins(b block) bool {
	twins, n := 0, 0
	for _, it := range b.items {
		for _, l := range it.lines {
			n++
			if l.twin != nil {
				twins++
			}
		}
	}
	return twins*2 > n
}

// lineOf makes a line of the formula.
func (d *doc) lineOf(l textLine, r row, unit string, twins bool) Line {
	if l.twin != nil && !twins { // the first figure is a strength in the name
		l.name, l.amount, l.also = l.twin.name, l.twin.amount, ""
	}
	out := Line{Name: l.name, Note: l.note, AlsoPrinted: l.also, Struck: l.struck, Hidden: r.hidden,
		Where: r.place(0)}
	u := l.amount.Unit
	if u == "" {
		u = unit
	}
	if l.amount.None || l.amount.Doubt == dose.Words && l.amount.Printed == "" {
		out.Ask = say("line-no-amount", "printed", "").text()
		return out
	}
	d.put(&out, l.amount, u, l.note)
	if strings.Contains(l.note, "below the total") && out.Amount != nil {
		out.After100 = true
		if out.Ask == "" {
			out.Ask = say("line-below-total").text()
		}
	}
	return out
}
