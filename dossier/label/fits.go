package label

import (
	"gallipot/calc/labelling"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/label/labelsize"
)

// Whether a label fits is asked for many sizes and ways of setting it, and of most labels
// nothing else is: here lines are counted and nothing is set. Between straight sides a text
// takes as many lines wherever it begins. What fits here is what [outline.set] sets.

// fits says whether the matter fits in one way of setting it.
func (o outline) fits(m matter, s setting) bool {
	if o.Shape == labelsize.Round {
		return o.set(m, s) != nil
	}
	p := o.panels(s)
	switch {
	case s.front == 0:
		return m.columnFits(p.front, s)
	case o.Shape == labelsize.Wrap:
		list, others := m.split()
		return others.textFits(p.left, s) && list.textFits(p.right, s) && m.frontFits(p.front, s)
	}
	return m.textFits(p.right, s) && m.frontFits(p.front, s)
}

// columnFits is whether [matter.setColumn] sets it.
func (m matter) columnFits(a area, s setting) bool {
	bits := m.bits(s.x)
	foot, ok := footHeight(a, bits)
	if !ok {
		return false
	}
	above := a
	above.bottom = a.bottom - foot - footGap*s.x
	if m.lowest(above, a.top, s) > above.bottom+layout.Slack {
		return false
	}
	y, ok := m.nameEnd(above, a.top, s)
	if ok {
		_, ok = m.parasEnd(above, y, s)
	}
	if ok {
		_, ok = (*ink)(nil).flowBits(a, a.bottom-foot, bits)
	}
	return ok
}

// frontFits is whether [matter.setFront] sets it.
func (m matter) frontFits(a area, s setting) bool {
	bits := m.bits(s.x)
	foot, ok := footHeight(a, bits)
	if !ok {
		return false
	}
	above := a
	above.bottom = a.bottom - foot - footGap*s.x
	if _, ok = m.nameEnd(above, a.top, s); ok {
		_, ok = (*ink)(nil).flowBits(a, a.bottom-foot, bits)
	}
	return ok
}

// textFits is whether [matter.setText] sets it.
func (m matter) textFits(a area, s setting) bool {
	_, ok := m.parasEnd(a, a.top, s)
	return ok
}

// nameEnd is where [matter.setName] ends.
func (m matter) nameEnd(a area, y float64, s setting) (float64, bool) {
	size := sizeForX(s.x)
	name := measured(m.nameAs, m.nameRuns(), roundedUp(size*s.name))
	if lines, ok := name.Lines(a.widest); s.lines > 0 && (!ok || lines > s.lines) {
		return y, false
	}
	y, ok := a.under(name, y, roundedUp(size*s.name))
	if ok && m.function != "" {
		small := functionSize(size, s)
		y, ok = a.under(measured(m.functionAs, m.functionRuns(), small), y, small)
	}
	return y + nameGap*s.x, ok
}

// parasEnd is where [matter.setParas] ends.
func (m matter) parasEnd(a area, y float64, s setting) (float64, bool) {
	return m.eachPara(a, y, s, func(p para, y, size float64) (float64, bool) {
		text := p.as.in(size)
		if text == nil {
			text = measured(p.as, p.runs(), size)
		}
		return a.under(text, y, size)
	})
}

// under is where [ink.flowText] ends between straight sides.
func (a area) under(text *layout.Measured, y, size float64) (float64, bool) {
	lines, ok := text.Lines(a.widest)
	if !ok {
		return y, false
	}
	high := lineShare() * size * layout.PointMM
	for range lines {
		if y+high > a.bottom+layout.Slack {
			return y, false
		}
		y += high
	}
	return y, true
}

// written is a text of labels, whose letters are measured once for each size.
type written struct {
	width    float64 // see widthOf
	measured bool    // width is known
	sizes    []inSize
	room     [1]inSize // most texts are asked for in one size
}

type inSize struct {
	size float64
	text *layout.Measured
}

// writtenKey tells the texts of labels apart.
type writtenKey struct {
	kind       labelling.LabelItemKind
	lead, text string
	bold       bool
}

// in is the text in a size; nil where it was not measured in it.
func (w *written) in(size float64) *layout.Measured {
	if w != nil {
		for i := range w.sizes {
			if w.sizes[i].size == size {
				return w.sizes[i].text
			}
		}
	}
	return nil
}

// measured is a text in a size; nothing is remembered where w is nil.
func measured(w *written, runs []layout.Run, size float64) *layout.Measured {
	text := w.in(size)
	if text == nil {
		text = layout.Measure(runs, size)
		if w != nil {
			w.sizes = append(w.sizes, inSize{size, text})
		}
	}
	return text
}

// measureOnce makes the matter share what is measured of its texts with other labels.
func (m *matter) measureOnce(k *known) {
	m.nameAs = k.written(writtenKey{text: m.Name, bold: true})
	m.functionAs = k.written(writtenKey{text: m.function})
	for i := range m.Paras {
		p := &m.Paras[i]
		p.as = k.written(writtenKey{kind: p.kind, lead: p.Lead, text: p.Text})
	}
}
