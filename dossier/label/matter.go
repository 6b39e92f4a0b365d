package label

import (
	"slices"
	"strings"
	"unicode/utf8"

	"gallipot/calc/labelling"
	"gallipot/dossier/document/layout"
	"gallipot/ingredients/pattern"
)

// matter is what a label has to hold, ready to be set.
type matter struct {
	Name, function string
	quantity       string
	figureMM, eMM  float64 // least heights; 0: no quantity, no sign
	months         string  // inside the open jar; ""
	date           string  // beside the hourglass; ""
	Paras          []para
	book           bool // the sign that points to a leaflet

	nameAs, functionAs *written
	foot               *foot // of one height of letters; nil: made each time
}

// para is one paragraph; its lead is set in bold.
type para struct {
	kind labelling.LabelItemKind
	Lead string
	Text string
	// underlined marks the text, not its lead.
	underlined bool
	as         *written // nil: measured each time
}

// colourIndex finds colour index numbers, which are not parted.
var colourIndex = pattern.New(`\bCI (\d)`)

// roomForCode is left where a code or a date is stamped later.
const (
	roomForCode = "______________"
	roomForDate = "___/_____"
)

// Matter gathers what the label says, cleaned for the fonts.
func (l *ProductLabel) Matter(c *layout.Cleaner) matter {
	k := l.known
	if k == nil {
		k = newKnown()
	}
	var m matter
	text := func(s string) string {
		t, done := k.texts[s]
		if !done {
			if t = c.Clean(s); !oneLine(t) {
				t = strings.Join(strings.Fields(t), " ")
			}
			if strings.Contains(t, "CI ") {
				t = colourIndex.ReplaceAllString(t, "CI\u00a0$1")
			}
			k.texts[s] = t
		}
		return t
	}
	add := func(i labelling.LabelItem) {
		m.Paras = append(m.Paras, para{kind: i.Kind, Lead: text(i.Lead), Text: text(i.Text), underlined: i.Underlined})
	}
	for _, i := range l.Items {
		switch {
		case i.Text == "":
		case i.Kind == labelling.ItemName:
			m.Name = text(i.Text)
		case i.Kind == labelling.ItemFunction:
			m.function = text(i.Text)
		case i.Kind == labelling.ItemQuantity:
			m.quantity = text(i.Text)
		case i.Kind == labelling.ItemPAO:
			m.months = text(i.Text)
		case i.Kind == labelling.ItemDate && i.State == labelling.LabelOpen:
			m.date = roomForDate
		case i.Kind == labelling.ItemDate && i.State == labelling.LabelGiven:
			m.date = text(i.Text)
		case i.Kind == labelling.ItemBatch && i.State == labelling.LabelOpen:
			m.Paras = append(m.Paras, para{kind: i.Kind, Lead: text(i.Lead), Text: roomForCode})
		case i.Kind == labelling.ItemPrecaution && len(m.Paras) > 0 &&
			m.Paras[len(m.Paras)-1].kind == labelling.ItemPrecaution:
			m.Paras[len(m.Paras)-1].Text += " " + text(i.Text)
		default:
			add(i)
		}
	}
	if l.FigureMM != nil {
		m.figureMM = l.FigureMM.Float()
	}
	if l.EMarkMM != nil {
		m.eMM = l.EMarkMM.Float()
	}
	m.measureOnce(k)
	return m
}

// oneLine says whether nothing but single spaces stands between the words of a text.
func oneLine(s string) bool {
	for i := range len(s) {
		switch c := s[i]; {
		case c == ' ' && (i == 0 || i == len(s)-1 || s[i-1] == ' '), c < ' ', c >= utf8.RuneSelf:
			return false // a sign beyond ASCII may be a space
		}
	}
	return true
}

// without returns the matter without paragraphs of some kinds, and those.
func (m matter) without(kinds ...labelling.LabelItemKind) (matter, []para) {
	rest := m
	rest.Paras = nil
	var taken []para
	for _, p := range m.Paras {
		if slices.Contains(kinds, p.kind) {
			taken = append(taken, p)
		} else {
			rest.Paras = append(rest.Paras, p)
		}
	}
	return rest, taken
}

// has says whether a paragraph of the kind is there.
func (m matter) has(kind labelling.LabelItemKind) bool {
	return slices.ContainsFunc(m.Paras, func(p para) bool { return p.kind == kind })
}

// runs are a paragraph's text with its lead in bold.
func (p para) runs() []layout.Run {
	text := layout.Run{Text: p.Text, Whole: p.kind == labelling.ItemBatch} // a code is not parted
	if p.Lead == "" {
		return []layout.Run{text}
	}
	return []layout.Run{{Text: p.Lead + ": ", Style: layout.StyleBold}, text}
}

// leastSign is the least height of an open jar, an hourglass or a book, in mm:
// the law names none.
const leastSign = 6.0

// foot is what stands in the foot of a label whose letters have one height.
type foot struct {
	x    float64
	book bool
	bits []bit
}

// withFoot returns the matter with the foot for a height of letters made.
func (m matter) withFoot(x float64) matter {
	if m.foot == nil || m.foot.x != x || m.foot.book != m.book {
		m.foot = &foot{x, m.book, m.bits(x)}
	}
	return m
}

// bits are quantity, signs and date of the label: what stands in its foot. x is
// the height of a lower-case x, mm.
func (m matter) bits(x float64) []bit {
	if m.foot != nil && m.foot.x == x && m.foot.book == m.book {
		return m.foot.bits
	}
	var out []bit
	high := max(leastSign, 5*x)
	if m.quantity != "" {
		out = append(out, m.quantityBit(x))
	}
	if m.months != "" {
		out = append(out, signBit(signJar, high, m.months))
	}
	if m.date != "" {
		date := textBit(m.date, layout.StyleBold, sizeForX(x))
		out = append(out, beside(signBit(signHourglass, high, ""), date, 0.8))
	}
	if m.book {
		out = append(out, signBit(signBook, high, ""))
	}
	return out
}

// quantityBit sets the quantity with the figures no lower than the law asks, and
// the estimated sign on the same line behind it.
func (m matter) quantityBit(x float64) bit {
	size := max(sizeForDigits(m.figureMM), sizeForX(x))
	b := textBit(m.quantity, layout.StyleBold, size)
	if m.eMM == 0 {
		return b
	}
	s := signs[signEstimated]
	high := max(m.eMM, heights[layout.StyleBold]().X*size*layout.PointMM)
	_, _, _, foot := s.box()
	gap := 0.35 * size * layout.PointMM
	b.signs = append(b.signs, inkSign{signEstimated, b.width + gap, b.texts[0].Base - foot*high, high})
	b.width += gap + s.width*high
	return b
}
