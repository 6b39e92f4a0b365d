package label

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gallipot/calc/labelling"
	"gallipot/calc/law"
	"gallipot/calc/law/duties"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/label/labelsize"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// artwork is a label as it is printed.
type artwork struct {
	label    *ProductLabel
	size     outline
	ink      *ink
	x        float64 // height of a lower-case x, mm
	Leaflet  []para  // what went onto a leaflet
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
	short, directions := m.without(labelling.ItemDirections)
	if len(directions) > 0 {
		out = append(out, draft{matter: short, dropped: directions})
	}
	if !leaflet {
		return out
	}
	for _, kinds := range [][]labelling.LabelItemKind{{labelling.ItemIngredients},
		{labelling.ItemIngredients, labelling.ItemPrecaution, labelling.ItemDirections}} {
		rest, moved := m.without(kinds...)
		if len(moved) > 0 {
			rest.book = true
			out = append(out, draft{matter: rest, moved: moved})
		}
	}
	return out
}

// LeastType is the smallest height of a lower-case x on the label, in mm: the
// maker's, or the yardstick of the tables for a face of that size.
func (l *ProductLabel) LeastType() (float64, *duties.LabelRule) {
	size := l.A.Product.Label
	rule := law.LabelBand(l.A.Options.Law, duties.LabelLetterHeight, face(size))
	if size.MinTypeMM != nil {
		return size.MinTypeMM.Float(), rule
	}
	return rule.Value.Float(), rule
}

// face is the area of the label in cm², which stands for that of the largest
// face of the pack.
func face(l *labelsize.Size) exact.Num {
	height := l.WidthMM
	if l.HeightMM != nil && l.Shape != labelsize.Round {
		height = l.HeightMM
	}
	return l.WidthMM.Mul(*height).Quo(exact.Int(100))
}

// mm prints a length.
func mm(f float64) string { return strconv.FormatFloat(math.Ceil(f*100-1e-6)/100, 'f', -1, 64) }

// SizeWords prints width and height of an outline.
func (o outline) SizeWords() string {
	if o.Shape == labelsize.Round {
		return mm(o.Width) + " mm across"
	}
	return mm(o.Width) + " × " + mm(o.Height) + " mm"
}

// whole returns the outline with its sides rounded up to whole mm.
func (o outline) whole() outline {
	o.Width, o.Height = math.Ceil(o.Width-1e-6), math.Ceil(o.Height-1e-6)
	return o
}

// Fitted finds the first draft that fits at the least type.
func (l *ProductLabel) Fitted(m matter, leaflet bool) (draft, bool) {
	o := outlineOf(l.A.Product.Label)
	least, _ := l.LeastType()
	for _, d := range m.drafts(leaflet) {
		if o.holds(d.matter, least) {
			return d, true
		}
	}
	return draft{}, false
}

// FitFindings says how the text fits on the label, where its size is stated.
func (l *ProductLabel) FitFindings(leaflet bool) []finding.Finding {
	size := l.A.Product.Label
	if size == nil || size.WidthMM == nil || size.Shape != labelsize.Round && size.HeightMM == nil {
		return nil
	}
	leaflet = leaflet || size.Leaflet
	var fs []finding.Finding
	m := l.Matter(layout.NewCleaner())
	least, rule := l.LeastType()
	if size.MinTypeMM != nil && size.MinTypeMM.Less(*rule.Value) {
		fs = append(fs, l.finding(finding.Note, "label-type-small", "L72", workshop.With().
			Figure("least", mm(least), "mm").Num("height", *rule.Value, "mm", finding.AsIs)))
	}
	d, ok := l.Fitted(m, leaflet)
	switch {
	case !ok:
		return append(fs, l.tooSmall(m, leaflet))
	case len(d.dropped) > 0:
		fs = append(fs, l.finding(finding.Note, "label-directions-left-off", "L05", nil))
	case len(d.moved) > 0:
		fs = append(fs, l.finding(finding.Note, "label-leaflet", "L41", workshop.With().
			Names("items", d.movedKinds())))
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
		names = words.AddOnce(names, name)
	}
	return names
}

// tooSmall says by how much a label is too small, and what would do.
func (l *ProductLabel) tooSmall(m matter, leaflet bool) finding.Finding {
	o := outlineOf(l.A.Product.Label)
	least, _ := l.LeastType()
	short, _ := m.without(labelling.ItemDirections)
	v := workshop.With().Name("size", o.SizeWords()).Figure("height", mm(least), "mm").Flag(leaflet, "leaflet")
	var ways finding.Values
	if g := o.growth(short, least); g > 0 {
		ways = ways.Term("", "enlarge", workshop.With().Name("size", o.scaled(g).whole().SizeWords()))
	}
	switch _, ok := l.Fitted(m, true); {
	case leaflet:
	case ok:
		ways = ways.Term("", "move-to-leaflet", nil)
	default:
		ways = ways.Term("", "put-in-box", nil)
	}
	return l.finding(finding.Ask, "label-too-small", "L41", v.Those("ways", ways))
}

func (l *ProductLabel) finding(sev finding.Severity, code, rule string, v finding.Values) finding.Finding {
	p := l.A.Product
	return p.About(finding.NewFinding(sev, code, p.Label.Pos,
		v.Source("law", labelling.LabelRuleSource(law.LabelRule(l.A.Options.Law, rule))))).
		At(p.File(), "label", nil)
}

// Artwork sets the label. It is nil where the text does not fit: half a label is
// none.
//
// Errors: no label size in the product file.
func (l *ProductLabel) Artwork(leaflet bool) (*artwork, error) {
	size := l.A.Product.Label
	if size == nil {
		return nil, &exact.ValueError{What: "the product file of " + l.A.Product.ID + " gives no label size",
			Fix: "write label: {shape: rectangle, width_mm: 70, height_mm: 40}, or shape round or wrap"}
	}
	c := layout.NewCleaner()
	d, ok := l.Fitted(l.Matter(c), leaflet || size.Leaflet)
	if !ok {
		return nil, nil
	}
	least, _ := l.LeastType()
	o := outlineOf(size)
	k, x := o.fit(d.matter, least)
	if k == nil {
		return nil, fmt.Errorf("dossier: the label of %s fits and then does not", l.Name())
	}
	return &artwork{label: l, size: o, ink: k, x: x, Leaflet: d.moved, warnings: c.Warnings}, nil
}
