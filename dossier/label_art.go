package dossier

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// artwork is a label as it is printed.
type artwork struct {
	label    *ProductLabel
	size     outline
	ink      *ink
	x        float64 // height of a lower-case x, mm
	leaflet  []para  // what went onto a leaflet
	warnings []string
}

// draft is one way of making a label fit.
type draft struct {
	matter
	moved   []para // onto a leaflet
	dropped []para // left off, since the law does not ask for it
}

// drafts lists what is tried in turn: everything; without what is there by
// choice; and with a leaflet first without the list, then without the
// precautions too.
//
// Source: label-rules.csv, rows L05, L08 and L41; Regulation (EC) 1223/2009
// Article 19(2).
func (m matter) drafts(leaflet bool) []draft {
	out := []draft{{matter: m}}
	short, directions := m.without(calc.ItemDirections)
	if len(directions) > 0 {
		out = append(out, draft{matter: short, dropped: directions})
	}
	if !leaflet {
		return out
	}
	for _, kinds := range [][]calc.LabelItemKind{{calc.ItemIngredients}, {calc.ItemIngredients, calc.ItemPrecaution, calc.ItemDirections}} {
		rest, moved := m.without(kinds...)
		if len(moved) > 0 {
			rest.book = true
			out = append(out, draft{matter: rest, moved: moved})
		}
	}
	return out
}

// leastType is the smallest height of a lower-case x on the label, in mm: the
// maker's, or the yardstick of the tables for a face of that size.
func (l *ProductLabel) leastType() (float64, *law.LabelRule) {
	size := l.a.Product.Label
	rule := l.a.Options.Law.LabelBand(law.LabelLetterHeight, size.face())
	if size.MinTypeMM != nil {
		return size.MinTypeMM.Float(), rule
	}
	return rule.Value.Float(), rule
}

// face is the area of the label in cm², which stands for that of the largest
// face of the pack.
func (l *LabelSize) face() ingredients.Num {
	height := l.WidthMM
	if l.HeightMM != nil && l.Shape != ShapeRound {
		height = l.HeightMM
	}
	return l.WidthMM.Mul(*height).Quo(ingredients.Int(100))
}

// mm prints a length.
func mm(f float64) string { return strconv.FormatFloat(math.Ceil(f*100-1e-6)/100, 'f', -1, 64) }

// sizeWords prints width and height of an outline.
func (o outline) sizeWords() string {
	if o.shape == ShapeRound {
		return mm(o.width) + " mm across"
	}
	return mm(o.width) + " × " + mm(o.height) + " mm"
}

// whole returns the outline with its sides rounded up to whole mm.
func (o outline) whole() outline {
	o.width, o.height = math.Ceil(o.width-1e-6), math.Ceil(o.height-1e-6)
	return o
}

// fitted finds the first draft that fits at the least type.
func (l *ProductLabel) fitted(m matter, leaflet bool) (draft, bool) {
	o := outlineOf(l.a.Product.Label)
	least, _ := l.leastType()
	for _, d := range m.drafts(leaflet) {
		if o.holds(d.matter, least) {
			return d, true
		}
	}
	return draft{}, false
}

// FitFindings says how the text fits on the label, where its size is stated.
func (l *ProductLabel) FitFindings(leaflet bool) []ingredients.Finding {
	size := l.a.Product.Label
	if size == nil || size.WidthMM == nil || size.Shape != ShapeRound && size.HeightMM == nil {
		return nil
	}
	leaflet = leaflet || size.Leaflet
	var fs []ingredients.Finding
	m := l.matter(newCleaner())
	least, rule := l.leastType()
	if size.MinTypeMM != nil && size.MinTypeMM.Less(*rule.Value) {
		fs = append(fs, l.finding(ingredients.Note, "label-type-small", "L72", with().Figure("least", mm(least), "mm").Num("height", *rule.Value, "mm", ingredients.AsIs)))
	}
	d, ok := l.fitted(m, leaflet)
	switch {
	case !ok:
		return append(fs, l.tooSmall(m, leaflet))
	case len(d.dropped) > 0:
		fs = append(fs, l.finding(ingredients.Note, "label-directions-left-off", "L05", nil))
	case len(d.moved) > 0:
		fs = append(fs, l.finding(ingredients.Note, "label-leaflet", "L41", with().Names("items", d.movedKinds())))
	}
	return fs
}

// movedKinds names what is on the leaflet.
func (d draft) movedKinds() []string {
	var names []string
	for _, p := range d.moved {
		name := string(p.kind) + "s"
		if strings.HasSuffix(string(p.kind), "s") {
			name = string(p.kind)
		}
		names = addOnce(names, name)
	}
	return names
}

// tooSmall says by how much a label is too small, and what would do.
func (l *ProductLabel) tooSmall(m matter, leaflet bool) ingredients.Finding {
	o := outlineOf(l.a.Product.Label)
	least, _ := l.leastType()
	short, _ := m.without(calc.ItemDirections)
	v := with().Name("size", o.sizeWords()).Figure("height", mm(least), "mm").Flag(leaflet, "leaflet")
	var ways ingredients.Values
	if g := o.growth(short, least); g > 0 {
		ways = ways.Term("", "enlarge", with().Name("size", o.scaled(g).whole().sizeWords()))
	}
	switch _, ok := l.fitted(m, true); {
	case leaflet:
	case ok:
		ways = ways.Term("", "move-to-leaflet", nil)
	default:
		ways = ways.Term("", "put-in-box", nil)
	}
	return l.finding(ingredients.Ask, "label-too-small", "L41", v.Those("ways", ways))
}

func (l *ProductLabel) finding(sev ingredients.Severity, code, rule string, v ingredients.Values) ingredients.Finding {
	p := l.a.Product
	return p.about(ingredients.NewFinding(sev, code, p.Label.Pos, v.Source("law", calc.LabelRuleSource(l.a.Options.Law.LabelRule(rule))))).At(p.file(), "label", nil)
}

// artwork sets the label. It is nil where the text does not fit: half a label is
// none.
//
// Errors: no label size in the product file.
func (l *ProductLabel) artwork(leaflet bool) (*artwork, error) {
	size := l.a.Product.Label
	if size == nil {
		return nil, &ingredients.ValueError{What: "the product file of " + l.a.Product.ID + " gives no label size", Fix: "write label: {shape: rectangle, width_mm: 70, height_mm: 40}, or shape round or wrap"}
	}
	c := newCleaner()
	d, ok := l.fitted(l.matter(c), leaflet || size.Leaflet)
	if !ok {
		return nil, nil
	}
	least, _ := l.leastType()
	o := outlineOf(size)
	k, x := o.fit(d.matter, least)
	if k == nil {
		return nil, fmt.Errorf("dossier: the label of %s fits and then does not", l.Name())
	}
	return &artwork{label: l, size: o, ink: k, x: x, leaflet: d.moved, warnings: c.Warnings}, nil
}
