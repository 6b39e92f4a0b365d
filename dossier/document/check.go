package document

import (
	"fmt"
	"strconv"
	"strings"

	"gallipot/ingredients/pattern"
)

// NumberSections gives every section without a number one of its place: 1, 1.1,
// 1.1.1. Below a section with a number of its own, numbering goes on from that.
func (d *Document) NumberSections() { numberSections(d.Sections, "") }

func numberSections(list []*Section, prefix string) {
	for i, s := range list {
		if s.Number == "" {
			s.Number = prefix + strconv.Itoa(i+1)
		}
		numberSections(s.Subsections, s.Number+".")
	}
}

// Walk calls f for every section in the order of print; depth is 1 for the
// sections of the document itself.
func (d *Document) Walk(f func(s *Section, depth int)) {
	var down func(list []*Section, depth int)
	down = func(list []*Section, depth int) {
		for _, s := range list {
			f(s, depth)
			down(s.Subsections, depth+1)
		}
	}
	down(d.Sections, 1)
}

// Blocks returns all blocks in the order of print, the cover's first.
func (d *Document) Blocks() []Block {
	var all []Block
	if d.Cover != nil {
		all = append(all, d.Cover.Blocks...)
	}
	d.Walk(func(s *Section, _ int) { all = append(all, s.Blocks...) })
	return Flat(all)
}

// TableNumbers numbers the tables that have a title, from 1 in the order of
// print, so that all printers call them the same: those that stand in the
// spreadsheet alone come last.
func (d *Document) TableNumbers() map[*Table]int {
	numbers := map[*Table]int{}
	for _, alone := range []bool{false, true} {
		for _, b := range d.Blocks() {
			if t, ok := b.(*Table); ok && t.Title != "" && t.InWorkbook == alone {
				numbers[t] = len(numbers) + 1
			}
		}
	}
	return numbers
}

// ChartNumbers numbers the charts and pictures that have a title, from 1 in the order
// of print.
func (d *Document) ChartNumbers() map[Block]int {
	numbers := map[Block]int{}
	for _, b := range d.Blocks() {
		title := ""
		switch b := b.(type) {
		case Chart:
			_, title, _ = b.Head()
		case *Picture:
			title = b.Title
		case *Drawing:
			title = b.Title
		}
		if title != "" {
			numbers[b] = len(numbers) + 1
		}
	}
	return numbers
}

// Anchors returns every place in the document that a link can lead to.
func (d *Document) Anchors() (list []string) {
	add := func(id string) {
		if id != "" {
			list = append(list, id)
		}
	}
	d.Walk(func(s *Section, _ int) { add(s.ID) })
	for _, b := range d.Blocks() {
		switch b := b.(type) {
		case *Table:
			add(b.ID)
			EachCell(b, func(c Cell) { add(c.Anchor) })
		case *FindingList:
			add(b.ID)
		case *Picture:
			add(b.ID)
		case *Drawing:
			add(b.ID)
		case Chart:
			id, _, _ := b.Head()
			add(id)
		}
	}
	return list
}

func EachCell(t *Table, f func(Cell)) {
	for _, r := range t.Rows {
		for _, c := range r.Cells {
			f(c)
		}
	}
}

// links returns the target of every link in the document.
func (d *Document) links() (list []string) {
	add := func(id string) {
		if id != "" {
			list = append(list, id)
		}
	}
	para := func(p *Paragraph) {
		for _, s := range p.Spans {
			add(s.Link)
		}
	}
	if d.Cover != nil {
		for _, f := range d.Cover.Facts {
			add(f.Value.Link)
		}
	}
	for _, b := range d.Blocks() {
		switch b := b.(type) {
		case *Paragraph:
			para(b)
		case *Bullets:
			for _, p := range b.Items {
				para(p)
			}
		case *Callout:
			for _, p := range b.Body {
				para(p)
			}
		case *KeyFigures:
			for _, k := range b.Items {
				add(k.Value.Link)
			}
		case *ContentsStrip:
			for _, c := range b.Columns {
				for _, it := range c.Items {
					add(it.Anchor)
				}
			}
		case *Table:
			EachCell(b, func(c Cell) { add(c.Link) })
		case Chart:
			EachCell(b.Figures(), func(c Cell) { add(c.Link) })
		}
	}
	return list
}

// Check says what is wrong with the tree itself: sections without an ID, anchors
// that are not unique, links that lead nowhere, rows that do not fit their columns, marks without a
// legend, charts whose values do not fit their parts. These are mistakes of the
// program, not of a maker, so every printer refuses a tree with any.
func (d *Document) Check() []string {
	var wrong []string
	say := func(format string, args ...any) { wrong = append(wrong, fmt.Sprintf(format, args...)) }
	known, names := map[string]bool{}, map[string]bool{}
	workbook := &Document{Sections: d.Workbook}
	for _, part := range []*Document{d, workbook} { // pages have no way into the workbook
		for _, id := range part.Anchors() {
			if known[id] {
				say("anchor %q is there twice", id)
			}
			known[id] = true
		}
		for _, id := range part.links() {
			if !known[id] {
				say("link to %q leads nowhere", id)
			}
		}
		part.Walk(func(s *Section, _ int) {
			if s.ID == "" {
				say("section %q has no ID", s.Title)
			}
		})
		part.checkNames(names, say)
	}
	legend := map[string]bool{}
	for _, m := range d.Marks {
		legend[m.ID] = true
	}
	for _, b := range append(d.Blocks(), workbook.Blocks()...) {
		switch b := b.(type) {
		case *Table:
			checkTable(b, legend, say)
		case *StackedBar:
			if len(b.Parts) > MostPatterns {
				say("chart %q has %d parts: only %d can be told apart in black and white", b.Title, len(b.Parts),
					MostPatterns)
			}
			for _, r := range b.Rows {
				if len(r.Values) != len(b.Parts) || len(r.Cells) != len(b.Parts) {
					say("chart %q, row %q: %d values and %d cells for %d parts", b.Title, r.Label, len(r.Values),
						len(r.Cells), len(b.Parts))
				}
			}
		}
	}
	return wrong
}

var workbookNameRE = pattern.New(`^[A-Za-z]+_[A-Za-z0-9_]+$`)

// checkNames looks at the names of cells: each once, letter case apart, and none
// that could be read as the place of a cell.
func (d *Document) checkNames(names map[string]bool, say func(string, ...any)) {
	for _, b := range d.Blocks() {
		t, ok := b.(*Table)
		if !ok {
			continue
		}
		EachCell(t, func(c Cell) {
			switch key := strings.ToLower(c.Name); {
			case c.Name == "":
			case names[key]:
				say("table %q: the name %q is there twice", t.ID, c.Name)
			case !workbookNameRE.MatchString(c.Name) || len(c.Name) > LongestName:
				say("table %q: %q cannot name a cell", t.ID, c.Name)
			default:
				names[key] = true
			}
		})
	}
}

// LongestName is how long the name of a cell may be, in characters.
const LongestName = 255

func checkTable(t *Table, legend map[string]bool, say func(string, ...any)) {
	name := t.ID
	if name == "" {
		name = t.Title
	}
	if len(t.Columns) == 0 {
		say("table %q has no columns", name)
	}
	for i, r := range t.Rows {
		if r.Kind == RowGroup && len(r.Cells) == 1 {
			continue
		}
		if len(r.Cells) != len(t.Columns) {
			say("table %q, row %d: %d cells for %d columns", name, i+1, len(r.Cells), len(t.Columns))
		}
	}
	EachCell(t, func(c Cell) {
		for _, id := range c.Marks {
			if !legend[id] {
				say("table %q: mark %q is not in the legend", name, id)
			}
		}
	})
}

// Mistakes returns the outcome of Check as one error, or nil.
func (d *Document) Mistakes() error {
	wrong := d.Check()
	if len(wrong) == 0 {
		return nil
	}
	return fmt.Errorf("dossier: the document tree is broken in %d places: %s", len(wrong), wrong[0])
}

// LegendFor returns the marks used in the given tables, in the order of the
// document's legend.
func (d *Document) LegendFor(tables ...*Table) (list []Mark) {
	used := map[string]bool{}
	for _, t := range tables {
		EachCell(t, func(c Cell) {
			for _, id := range c.Marks {
				used[id] = true
			}
		})
	}
	for _, m := range d.Marks {
		if used[m.ID] {
			list = append(list, m)
		}
	}
	return list
}

// Signs returns the symbols of a cell's marks.
func (d *Document) Signs(c Cell) string {
	s := ""
	for _, m := range d.Marks {
		for _, id := range c.Marks {
			if id == m.ID {
				s += m.Symbol
			}
		}
	}
	return s
}

// LanguageCode returns the document's language, "en-GB" unless it says otherwise.
func (d *Document) LanguageCode() string {
	if d.Language == "" {
		return "en-GB"
	}
	return d.Language
}
