package dossier

import (
	"strconv"
)

// headingStyle is how one level of headings is set.
type headingStyle struct {
	size, lh, before, after float64
	style                   fontStyle
	rule                    bool
}

var headingStyles = [...]headingStyle{
	{size: 15, lh: 7, before: 9, after: 3.2, style: styleBold, rule: true},
	{size: 11.5, lh: 5.6, before: 6.5, after: 1.8, style: styleBold},
	{size: 9.5, lh: 4.8, before: 4.5, after: 1.2, style: styleBold},
	{size: 9.5, lh: 4.8, before: 3.5, after: 1, style: styleItalic},
}

// numberGap stands between a section's number and its title, in mm.
const numberGap = 3.2

func (w *pdfWriter) heading(s *Section, depth int) piece {
	h := headingStyles[min(depth, len(headingStyles))-1]
	number, title := w.clean.clean(s.Number), w.clean.clean(s.Title)
	indent := 0.0
	if number != "" {
		indent = textMM(number, h.style, h.size) + numberGap
	}
	lines := w.set(w.plain(s.Title, h.style), textW-indent, h.size, h.lh, black)
	height := float64(len(lines))*h.lh + h.after
	return piece{
		need: h.before + height, keep: true, fresh: s.NewPage,
		draw: func() {
			w.gap(h.before)
			w.anchor(s.ID, w.y)
			w.font(styleRegular, bodySize) // a bookmark's text follows the font that is set
			w.p.Bookmark(joined("  ", number, title), depth-1, max(w.y-2, 0))
			w.outline = append(w.outline, outlineItem{joined("  ", number, title), depth - 1, w.p.PageNo()})
			w.write(marginL, baseline(w.y, h.lh, h.size), number, h.style, h.size, accent)
			w.row([]*stack{{x: marginL + indent, w: textW - indent, lines: lines}}, rowStyle{})
			if h.rule {
				w.line(marginL, w.y+0.8, pageW-marginR, w.y+0.8, 0.35, accent)
				w.took(0.8)
			}
			w.took(h.after)
		},
	}
}

// runsOf turns spans into cleaned runs.
func (w *pdfWriter) runsOf(p *Paragraph) []run {
	var out []run
	for _, s := range p.Spans {
		style := styleRegular
		switch {
		case s.Mono:
			style = styleMono
		case s.Strong:
			style = styleBold
		case s.Emph:
			style = styleItalic
		}
		out = append(out, run{text: w.clean.clean(s.Text), style: style, link: s.Link})
	}
	return out
}

// Below are the white spaces between blocks, in mm.
const (
	gapPara  = 2.4
	gapBlock = 4.2
)

func (w *pdfWriter) paragraph(p *Paragraph) piece {
	size, lh, ink := bodySize, bodyLine, black
	if p.Small {
		size, lh, ink = smallSize, smallLine, grey
	}
	lines := w.set(w.runsOf(p), textW, size, lh, ink)
	return piece{need: gapPara + lh*float64(min(len(lines), fewLines)), lines: len(lines), draw: func() {
		w.row([]*stack{{x: marginL, w: textW, lines: lines}}, rowStyle{})
		w.gap(gapPara)
	}}
}

func (w *pdfWriter) bullets(b *Bullets) []piece {
	const indent = 5.0
	var out []piece
	for i, p := range b.Items {
		sign := "•"
		if b.Ordered {
			sign = strconv.Itoa(i+1) + "."
		}
		lines := w.set(w.runsOf(p), textW-indent, bodySize, bodyLine, black)
		mark := []textLine{{runs: []run{{text: sign}}, size: bodySize, lh: bodyLine, ink: grey}}
		last := i+1 == len(b.Items)
		out = append(out, piece{need: bodyLine * float64(min(len(lines), fewLines)), draw: func() {
			w.row([]*stack{
				{x: marginL + 0.8, w: indent, lines: mark},
				{x: marginL + indent, w: textW - indent, lines: lines},
			}, rowStyle{})
			w.gap(1)
			if last {
				w.gap(gapPara - 1)
			}
		}})
	}
	return out
}

// keyFiguresPerRow is how many figures stand side by side.
const keyFiguresPerRow = 4

func (w *pdfWriter) keyFigures(k *KeyFigures) []piece {
	var out []piece
	for from := 0; from < len(k.Items); from += keyFiguresPerRow {
		items := k.Items[from:min(from+keyFiguresPerRow, len(k.Items))]
		out = append(out, w.keyRow(items, min(len(k.Items), keyFiguresPerRow)))
	}
	if marks := w.legend(cellsOf(k)); len(marks) > 0 {
		out = append(out, piece{need: smallLine, draw: func() {
			w.row([]*stack{{x: marginL, w: textW, lines: marks}}, rowStyle{})
			w.gap(gapPara)
		}})
	}
	return out
}

// cellsOf puts the values of key figures into a table, for their legend.
func cellsOf(k *KeyFigures) *Table {
	t := &Table{}
	for _, it := range k.Items {
		t.Add(it.Value)
	}
	return t
}

func (w *pdfWriter) keyRow(items []KeyFigure, per int) piece {
	const gutter = 4.0
	wd := (textW - gutter*float64(per-1)) / float64(per)
	var stacks []*stack
	height := 0.0
	for i, it := range items {
		s := &stack{x: marginL + float64(i)*(wd+gutter), w: wd}
		s.lines = append(s.lines, w.set(w.plain(it.Label, styleRegular), wd, smallSize, smallLine, grey)...)
		s.lines = append(s.lines, w.keyValue(it.Value, wd)...)
		if it.Note != "" {
			s.lines = append(s.lines, w.set(w.plain(it.Note, styleRegular), wd, smallSize, smallLine, grey)...)
		}
		height = max(height, s.height())
		stacks = append(stacks, s)
	}
	return piece{need: height + 6, draw: func() {
		w.gap(1)
		for _, s := range stacks {
			w.line(s.x, w.y, s.x+s.w, w.y, 0.5, accent)
		}
		w.row(stacks, rowStyle{pad: 1.6})
		w.gap(gapPara)
	}}
}

// keyValue sets a figure large, and smaller where it is long.
func (w *pdfWriter) keyValue(c Cell, wd float64) []textLine {
	runs := w.cellRuns(c, nil)
	for i := range runs {
		if runs[i].style == styleRegular {
			runs[i].style = styleBold
		}
	}
	size := 15.0
	for size > 9 && lineWidth(runs, runeMM(size)) > wd {
		size--
	}
	return w.set(runs, wd, size, max(size*0.46, 4.6), black)
}

var calloutSigns = [...]string{"", "▲", "■"}

func (w *pdfWriter) callout(c *Callout) piece {
	const inset = 5.0
	var lines []textLine
	if c.Title != "" {
		title := joined("\u00a0", calloutSigns[c.Kind], w.clean.clean(c.Title))
		lines = w.set([]run{{text: title, style: styleBold}}, textW-2*inset, bodySize, bodyLine, black)
	}
	for i, p := range c.Body {
		if i > 0 {
			lines = append(lines, textLine{size: bodySize, lh: 1.5})
		}
		lines = append(lines, w.set(w.runsOf(p), textW-2*inset, bodySize-0.5, bodyLine-0.3, black)...)
	}
	body := &stack{x: marginL + inset, w: textW - 2*inset, lines: lines}
	st := rowStyle{pad: 2.4, fill: &pale, x: marginL, w: textW, bar: 1.2, barInk: black}
	if c.Kind == CalloutNote {
		st.bar, st.barInk = 0.6, accent
	}
	return piece{need: min(body.height()+2*st.pad, 60), keep: c.Keep, draw: func() {
		w.row([]*stack{body}, st)
		w.gap(gapBlock)
	}}
}

// legend sets the marks used in a table as small lines.
func (w *pdfWriter) legend(tables ...*Table) []textLine {
	var out []textLine
	for _, m := range w.d.legendFor(tables...) {
		runs := []run{{text: w.clean.clean(m.Symbol) + "\u00a0 "}, {text: w.clean.clean(m.Text)}}
		out = append(out, w.set(runs, textW, smallSize, smallLine, grey)...)
	}
	return out
}
