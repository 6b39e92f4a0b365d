package pdf

import (
	"strconv"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

// headingStyle is how one level of headings is set.
type headingStyle struct {
	size, lh, before, after float64
	style                   layout.FontStyle
	rule                    bool
}

var headingStyles = [...]headingStyle{
	{size: 15, lh: 7, before: 9, after: 3.2, style: layout.StyleBold, rule: true},
	{size: 11.5, lh: 5.6, before: 6.5, after: 1.8, style: layout.StyleBold},
	{size: 9.5, lh: 4.8, before: 4.5, after: 1.2, style: layout.StyleBold},
	{size: 9.5, lh: 4.8, before: 3.5, after: 1, style: layout.StyleItalic},
}

// numberGap stands between a section's number and its title, in mm.
const numberGap = 3.2

func (w *Writer) heading(s *document.Section, depth int) piece {
	h := headingStyles[min(depth, len(headingStyles))-1]
	number, title := w.Clean.Clean(s.Number), w.Clean.Clean(s.Title)
	indent := 0.0
	if number != "" {
		indent = layout.TextMM(number, h.style, h.size) + numberGap
	}
	lines := w.set(w.plain(s.Title, h.style), TextW-indent, h.size, h.lh, Black)
	height := float64(len(lines))*h.lh + h.after
	return piece{
		need: h.before + height, keep: true, fresh: s.NewPage,
		draw: func() {
			w.gap(h.before)
			w.anchor(s.ID, w.y)
			w.font(layout.StyleRegular, bodySize) // a bookmark's text follows the font that is set
			w.P.Bookmark(words.Joined("  ", number, title), depth-1, max(w.y-2, 0))
			w.outline = append(w.outline, outlineItem{words.Joined("  ", number, title), depth - 1, w.P.PageNo()})
			w.Write(marginL, baseline(w.y, h.lh, h.size), number, h.style, h.size, accent)
			w.row([]*stack{{x: marginL + indent, w: TextW - indent, lines: lines}}, rowStyle{})
			if h.rule {
				w.Line(marginL, w.y+0.8, PageW-marginR, w.y+0.8, 0.35, accent)
				w.took(0.8)
			}
			w.took(h.after)
		},
	}
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

// Below are the white spaces between blocks, in mm.
const (
	gapPara  = 2.4
	gapBlock = 4.2
)

func (w *Writer) paragraph(p *document.Paragraph) piece {
	size, lh, ink := bodySize, bodyLine, Black
	if p.Small {
		size, lh, ink = smallSize, smallLine, Grey
	}
	lines := w.set(w.runsOf(p), TextW, size, lh, ink)
	return piece{need: gapPara + lh*float64(min(len(lines), fewLines)), lines: len(lines), draw: func() {
		w.row([]*stack{{x: marginL, w: TextW, lines: lines}}, rowStyle{})
		w.gap(gapPara)
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
		lines := w.set(w.runsOf(p), TextW-indent, bodySize, bodyLine, Black)
		mark := []textLine{{runs: []layout.Run{{Text: sign}}, size: bodySize, lh: bodyLine, ink: Grey}}
		last := i+1 == len(b.Items)
		out = append(out, piece{need: bodyLine * float64(min(len(lines), fewLines)), draw: func() {
			w.row([]*stack{
				{x: marginL + 0.8, w: indent, lines: mark},
				{x: marginL + indent, w: TextW - indent, lines: lines},
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

func (w *Writer) keyFigures(k *document.KeyFigures) []piece {
	var out []piece
	for from := 0; from < len(k.Items); from += keyFiguresPerRow {
		items := k.Items[from:min(from+keyFiguresPerRow, len(k.Items))]
		out = append(out, w.keyRow(items, min(len(k.Items), keyFiguresPerRow)))
	}
	if marks := w.legend(document.CellsOf(k)); len(marks) > 0 {
		out = append(out, piece{need: smallLine, draw: func() {
			w.row([]*stack{{x: marginL, w: TextW, lines: marks}}, rowStyle{})
			w.gap(gapPara)
		}})
	}
	return out
}

func (w *Writer) keyRow(items []document.KeyFigure, per int) piece {
	const gutter = 4.0
	wd := (TextW - gutter*float64(per-1)) / float64(per)
	var stacks []*stack
	height := 0.0
	for i, it := range items {
		s := &stack{x: marginL + float64(i)*(wd+gutter), w: wd}
		s.lines = append(s.lines, w.set(w.plain(it.Label, layout.StyleRegular), wd, smallSize, smallLine, Grey)...)
		s.lines = append(s.lines, w.keyValue(it.Value, wd)...)
		if it.Note != "" {
			s.lines = append(s.lines, w.set(w.plain(it.Note, layout.StyleRegular), wd, smallSize, smallLine, Grey)...)
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
		w.gap(gapPara)
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
	size := 15.0
	for size > 9 && layout.LineWidth(runs, layout.RuneMM(size)) > wd {
		size--
	}
	return w.set(runs, wd, size, max(size*0.46, 4.6), Black)
}

func (w *Writer) callout(c *document.Callout) piece {
	const inset = 5.0
	var lines []textLine
	if c.Title != "" {
		title := words.Joined("\u00a0", document.CalloutSigns[c.Kind], w.Clean.Clean(c.Title))
		lines = w.set([]layout.Run{{Text: title, Style: layout.StyleBold}}, TextW-2*inset, bodySize, bodyLine, Black)
	}
	for i, p := range c.Body {
		if i > 0 {
			lines = append(lines, textLine{size: bodySize, lh: 1.5})
		}
		lines = append(lines, w.set(w.runsOf(p), TextW-2*inset, bodySize-0.5, bodyLine-0.3, Black)...)
	}
	body := &stack{x: marginL + inset, w: TextW - 2*inset, lines: lines}
	st := rowStyle{pad: 2.4, fill: &pale, x: marginL, w: TextW, bar: 1.2, barInk: Black}
	if c.Kind == document.CalloutNote {
		st.bar, st.barInk = 0.6, accent
	}
	return piece{need: min(body.height()+2*st.pad, 60), keep: c.Keep, draw: func() {
		w.row([]*stack{body}, st)
		w.gap(gapBlock)
	}}
}

// legend sets the marks used in a table as small lines.
func (w *Writer) legend(tables ...*document.Table) []textLine {
	var out []textLine
	for _, m := range w.d.LegendFor(tables...) {
		runs := []layout.Run{{Text: w.Clean.Clean(m.Symbol) + "\u00a0 "}, {Text: w.Clean.Clean(m.Text)}}
		out = append(out, w.set(runs, TextW, smallSize, smallLine, Grey)...)
	}
	return out
}
