package pdf

import (
	"strconv"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

// numberGap stands between a section's number and its title, in mm.
const numberGap = 3.2

// ruleMM is how far below a heading its rule stands, and belowHeading what the gap to the
// next block may come to beyond the heading's own, in mm.
const (
	ruleMM       = 0.8
	belowHeading = 1.0
)

func (w *Writer) heading(s *document.Section, depth, level int) piece {
	h := w.sc.headings[min(level, len(w.sc.headings))-1]
	number, title := w.Clean.Clean(s.Number), w.Clean.Clean(s.Title)
	indent := 0.0
	if number != "" {
		indent = layout.TextMM(number, h.style, h.size) + numberGap
	}
	lines := w.set(w.plain(s.Title, h.style), w.width-indent, h.size, h.lh, Black)
	height := float64(len(lines))*h.lh + h.after + belowHeading
	if h.rule {
		height += ruleMM
	}
	return piece{
		need: h.before + height, keep: true, fresh: s.NewPage,
		draw: func() {
			w.gap(h.before)
			w.anchor(s.ID, w.y)
			if level <= 1 {
				if w.section = words.Joined(" ", number, title); w.fresh || w.sectionOn[w.P.PageNo()] == "" {
					w.sectionOn[w.P.PageNo()] = w.section
				}
			}
			w.font(layout.StyleRegular, w.sc.body) // a bookmark's text follows the font that is set
			w.P.Bookmark(words.Joined("  ", number, title), depth-1, max(w.y-2, 0))
			w.outline = append(w.outline, outlineItem{words.Joined("  ", number, title), depth - 1, w.P.PageNo()})
			w.Write(w.left, baseline(w.y, h.lh, h.size), number, h.style, h.size, accent)
			w.row([]*stack{{x: w.left + indent, w: w.width - indent, lines: lines}}, rowStyle{})
			if h.rule {
				w.Line(w.left, w.y+ruleMM, w.left+w.width, w.y+ruleMM, 0.35, accent)
				w.took(ruleMM)
			}
			w.took(h.after)
		},
	}
}

// quietHeading marks a part that has no heading of its own on the page.
func (w *Writer) quietHeading(s *document.Section) piece {
	title := words.Joined("  ", w.Clean.Clean(s.Number), w.Clean.Clean(s.Title))
	return piece{keep: true, fresh: s.NewPage, draw: func() {
		w.anchor(s.ID, w.y)
		w.font(layout.StyleRegular, w.sc.body)
		w.P.Bookmark(title, 0, max(w.y-2, 0))
		w.outline = append(w.outline, outlineItem{title, 0, w.P.PageNo()})
	}}
}

// runsOf turns spans into cleaned runs.
func (w *Writer) runsOf(p *document.Paragraph) []layout.Run {
	var out []layout.Run
	for _, s := range p.Spans {
		style := layout.StyleRegular
		switch {
		case s.Mono:
			style = layout.StyleMono
		case s.Strong:
			style = layout.StyleBold
		case s.Emph:
			style = layout.StyleItalic
		}
		out = append(out, layout.Run{Text: w.Clean.Clean(s.Text), Style: style, Link: s.Link})
	}
	return out
}

func (w *Writer) paragraph(p *document.Paragraph) piece {
	size, lh, ink := w.sc.body, w.sc.bodyLine, Black
	if p.Small {
		size, lh, ink = w.sc.small, w.sc.smallLine, Grey
	}
	lines := w.set(w.runsOf(p), w.width, size, lh, ink)
	return piece{need: w.sc.gapPara + lh*float64(min(len(lines), fewLines)), lines: len(lines), draw: func() {
		w.row([]*stack{{x: w.left, w: w.width, lines: lines}}, rowStyle{})
		w.gap(w.sc.gapPara)
	}}
}

func (w *Writer) bullets(b *document.Bullets) []piece {
	const indent = 5.0
	var out []piece
	for i, p := range b.Items {
		sign := "•"
		if b.Ordered {
			sign = strconv.Itoa(i+1) + "."
		}
		lines := w.set(w.runsOf(p), w.width-indent, w.sc.body, w.sc.bodyLine, Black)
		mark := []textLine{{runs: []layout.Run{{Text: sign}}, size: w.sc.body, lh: w.sc.bodyLine, ink: Grey}}
		last := i+1 == len(b.Items)
		out = append(out, piece{need: w.sc.bodyLine * float64(min(len(lines), fewLines)), draw: func() {
			w.row([]*stack{
				{x: w.left + 0.8, w: indent, lines: mark},
				{x: w.left + indent, w: w.width - indent, lines: lines},
			}, rowStyle{})
			w.gap(1)
			if last {
				w.gap(w.sc.gapPara - 1)
			}
		}})
	}
	return out
}

func (w *Writer) keyFigures(k *document.KeyFigures) []piece {
	var out []piece
	for from := 0; from < len(k.Items); from += w.sc.figures {
		items := k.Items[from:min(from+w.sc.figures, len(k.Items))]
		out = append(out, w.keyRow(items, min(len(k.Items), w.sc.figures)))
	}
	if marks := w.legend(document.CellsOf(k)); len(marks) > 0 {
		out = append(out, piece{need: w.sc.smallLine, draw: func() {
			w.row([]*stack{{x: w.left, w: w.width, lines: marks}}, rowStyle{})
			w.gap(w.sc.gapPara)
		}})
	}
	return out
}

func (w *Writer) keyRow(items []document.KeyFigure, per int) piece {
	const gutter = 4.0
	wd := (w.width - gutter*float64(per-1)) / float64(per)
	var stacks []*stack
	height := 0.0
	for i, it := range items {
		s := &stack{x: w.left + float64(i)*(wd+gutter), w: wd}
		s.lines = append(s.lines, w.set(w.plain(it.Label, layout.StyleRegular), wd, w.sc.small, w.sc.smallLine,
			Grey)...)
		s.lines = append(s.lines, w.keyValue(it.Value, wd)...)
		if it.Note != "" {
			s.lines = append(s.lines, w.set(w.plain(it.Note, layout.StyleRegular), wd, w.sc.small, w.sc.smallLine,
				Grey)...)
		}
		height = max(height, s.height())
		stacks = append(stacks, s)
	}
	return piece{need: height + 6, draw: func() {
		w.gap(1)
		for _, s := range stacks {
			w.Line(s.x, w.y, s.x+s.w, w.y, 0.5, accent)
		}
		w.row(stacks, rowStyle{pad: 1.6})
		w.gap(w.sc.gapPara)
	}}
}

// keyValue sets a figure large, and smaller where it is long.
func (w *Writer) keyValue(c document.Cell, wd float64) []textLine {
	runs := w.cellRuns(c, nil)
	for i := range runs {
		if runs[i].Style == layout.StyleRegular {
			runs[i].Style = layout.StyleBold
		}
	}
	size := w.sc.keySize
	for size > 8 && layout.LineWidth(runs, layout.RuneMM(size)) > wd {
		size--
	}
	return w.set(runs, wd, size, max(size*0.46, w.sc.bodyLine), Black)
}

func (w *Writer) callout(c *document.Callout) piece {
	const inset = 5.0
	var lines []textLine
	if c.Title != "" {
		title := words.Joined("\u00a0", document.CalloutSigns[c.Kind], w.Clean.Clean(c.Title))
		lines = w.set([]layout.Run{{Text: title, Style: layout.StyleBold}}, w.width-2*inset, w.sc.body,
			w.sc.bodyLine, Black)
	}
	for i, p := range c.Body {
		if i > 0 {
			lines = append(lines, textLine{size: w.sc.body, lh: 1.5})
		}
		lines = append(lines, w.set(w.runsOf(p), w.width-2*inset, w.sc.body-0.5, w.sc.bodyLine-0.3, Black)...)
	}
	body := &stack{x: w.left + inset, w: w.width - 2*inset, lines: lines}
	st := rowStyle{pad: 2.4, fill: &pale, x: w.left, w: w.width, bar: 1.2, barInk: Black}
	if c.Kind == document.CalloutNote {
		st.bar, st.barInk = 0.6, accent
	}
	return piece{need: min(body.height()+2*st.pad, 60), keep: c.Keep, draw: func() {
		w.row([]*stack{body}, st)
		w.gap(w.sc.gapBlock)
	}}
}

// legend sets the marks used in a table as small lines.
func (w *Writer) legend(tables ...*document.Table) []textLine {
	var out []textLine
	for _, m := range w.d.LegendFor(tables...) {
		runs := []layout.Run{{Text: w.Clean.Clean(m.Symbol) + "\u00a0 "}, {Text: w.Clean.Clean(m.Text)}}
		out = append(out, w.set(runs, w.width, w.sc.small, w.sc.smallLine, Grey)...)
	}
	return out
}
