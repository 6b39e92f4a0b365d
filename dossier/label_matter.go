package dossier

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/calc"
)

// matter is what a label has to hold, ready to be set.
type matter struct {
	name, function string
	quantity       string
	figureMM, eMM  float64 // least heights; 0: no quantity, no sign
	months         string  // inside the open jar; ""
	date           string  // beside the hourglass; ""
	paras          []para
	book           bool // the sign that points to a leaflet
}

// para is one paragraph; its lead is set in bold.
type para struct {
	kind calc.LabelItemKind
	lead string
	text string
	// underlined marks the text, not its lead.
	underlined bool
}

// colourIndex finds colour index numbers, which are not parted.
var colourIndex = regexp.MustCompile(`\bCI (\d)`)

// roomForCode is left where a code or a date is stamped later.
const (
	roomForCode = "______________"
	roomForDate = "___/_____"
)

// matter gathers what the label says, cleaned for the fonts.
func (l *ProductLabel) matter(c *cleaner) matter {
	var m matter
	text := func(s string) string {
		return colourIndex.ReplaceAllString(strings.Join(strings.Fields(c.clean(s)), " "), "CI\u00a0$1")
	}
	add := func(i calc.LabelItem) {
		m.paras = append(m.paras, para{i.Kind, text(i.Lead), text(i.Text), i.Underlined})
	}
	for _, i := range l.Items {
		switch {
		case i.Text == "":
		case i.Kind == calc.ItemName:
			m.name = text(i.Text)
		case i.Kind == calc.ItemFunction:
			m.function = text(i.Text)
		case i.Kind == calc.ItemQuantity:
			m.quantity = text(i.Text)
		case i.Kind == calc.ItemPAO:
			m.months = text(i.Text)
		case i.Kind == calc.ItemDate && i.State == calc.LabelOpen:
			m.date = roomForDate
		case i.Kind == calc.ItemDate && i.State == calc.LabelGiven:
			m.date = text(i.Text)
		case i.Kind == calc.ItemBatch && i.State == calc.LabelOpen:
			m.paras = append(m.paras, para{kind: i.Kind, lead: text(i.Lead), text: roomForCode})
		case i.Kind == calc.ItemPrecaution && len(m.paras) > 0 && m.paras[len(m.paras)-1].kind == calc.ItemPrecaution:
			m.paras[len(m.paras)-1].text += " " + text(i.Text)
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
	return m
}

// without returns the matter without paragraphs of some kinds, and those.
func (m matter) without(kinds ...calc.LabelItemKind) (matter, []para) {
	rest := m
	rest.paras = nil
	var taken []para
	for _, p := range m.paras {
		if slices.Contains(kinds, p.kind) {
			taken = append(taken, p)
		} else {
			rest.paras = append(rest.paras, p)
		}
	}
	return rest, taken
}

// has says whether a paragraph of the kind is there.
func (m matter) has(kind calc.LabelItemKind) bool {
	return slices.ContainsFunc(m.paras, func(p para) bool { return p.kind == kind })
}

// runs are a paragraph's text with its lead in bold.
func (p para) runs() []run {
	text := run{text: p.text, whole: p.kind == calc.ItemBatch} // a code is not parted
	if p.lead == "" {
		return []run{text}
	}
	return []run{{text: p.lead + ": ", style: styleBold}, text}
}

// leastSign is the least height of an open jar, an hourglass or a book, in mm:
// the law names none.
const leastSign = 6.0

// bits are quantity, signs and date of the label: what stands in its foot. x is
// the height of a lower-case x, mm.
func (m matter) bits(x float64) []bit {
	var out []bit
	high := max(leastSign, 5*x)
	if m.quantity != "" {
		out = append(out, m.quantityBit(x))
	}
	if m.months != "" {
		out = append(out, signBit(signJar, high, m.months))
	}
	if m.date != "" {
		date := textBit(m.date, styleBold, sizeForX(x))
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
	b := textBit(m.quantity, styleBold, size)
	if m.eMM == 0 {
		return b
	}
	s := signs[signEstimated]
	high := max(m.eMM, heights[styleBold]().x*size*pointMM)
	_, _, _, foot := s.box()
	gap := 0.35 * size * pointMM
	b.signs = append(b.signs, inkSign{signEstimated, b.width + gap, b.texts[0].base - foot*high, high})
	b.width += gap + s.width*high
	return b
}
