package pdf

import (
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

const severityColumn = 21.0

// findings lists the title of a list of findings and one piece for each.
func (w *Writer) findings(f *document.FindingList) []piece {
	var out []piece
	if f.Title == "" {
		out = append(out, piece{keep: true, draw: func() { w.anchor(f.ID, w.y) }})
	} else {
		title := w.set(w.plain(f.Title, layout.StyleBold), w.width, w.sc.body, w.sc.bodyLine, Black)
		out = append(out, piece{need: w.sc.bodyLine + 1, keep: true, draw: func() {
			w.anchor(f.ID, w.y)
			w.row([]*stack{{x: w.left, w: w.width, lines: title}}, rowStyle{})
			w.took(1)
		}})
	}
	if len(f.Findings) == 0 {
		return append(out, w.paragraph(document.Rich(document.Span{Text: document.EmptyFindings(f), Emph: true})))
	}
	for i := range f.Findings {
		out = append(out, w.finding(&f.Findings[i], i == 0, i+1 == len(f.Findings)))
	}
	return out
}

func (w *Writer) finding(f *finding.Finding, first, last bool) piece {
	sign := &stack{x: w.left + w.sc.cellPad, w: severityColumn - w.sc.cellPad, again: true}
	style := layout.StyleRegular
	if f.Severity == finding.Stop {
		style = layout.StyleBold
	}
	sign.lines = w.set(w.plain(document.SeveritySymbol(f.Severity)+"\u00a0 "+f.Severity.String(), style), sign.w,
		w.sc.body-0.5, w.sc.bodyLine-0.3, Black)
	body := &stack{x: w.left + severityColumn, w: w.width - severityColumn - w.sc.cellPad}
	body.lines = w.findingLines(f, body.w)
	st := rowStyle{pad: 1.5, x: w.left, w: w.width, under: 0.1, ink: Rule, whole: 75}
	return piece{need: min(max(body.height(), sign.height()), st.whole) + 2*st.pad, draw: func() {
		if first {
			w.Line(w.left, w.y, w.left+w.width, w.y, 0.4, Black)
		}
		w.row([]*stack{sign, body}, st)
		if last {
			w.Line(w.left, w.y, w.left+w.width, w.y, 0.4, Black)
			w.gap(w.sc.gapBlock)
		}
	}}
}

// findingLines sets message, place, sum, reason and fix below each other.
func (w *Writer) findingLines(f *finding.Finding, width float64) []textLine {
	c := w.Clean.Clean
	said := words.Say(f, w.d.Reader())
	head := []layout.Run{{Text: c(said.Text())}}
	if said.Subject != "" {
		head = []layout.Run{{Text: c(said.Subject) + ": ", Style: layout.StyleBold}, {Text: c(said.Text())}}
	}
	out := w.set(head, width, w.sc.body-0.5, w.sc.bodyLine-0.3, Black)
	small := func(runs ...layout.Run) {
		out = append(out, w.set(runs, width, w.sc.table[0].size, w.sc.table[0].line, Black)...)
	}
	for _, t := range said.Sum {
		runs := []layout.Run{{Text: "sum  ", Style: layout.StyleItalic, Grey: true}, {Text: c(t.Text)}}
		if place := t.Pos.String(); place != "" {
			runs = append(runs, layout.Run{Text: "  " + c(place), Style: layout.StyleMono, Grey: true})
		}
		small(runs...)
	}
	if said.Why != "" {
		small(layout.Run{Text: "why  ", Style: layout.StyleItalic, Grey: true}, layout.Run{Text: c(said.Why)})
	}
	if said.Fix != "" {
		small(layout.Run{Text: said.FixHead() + "  ", Style: layout.StyleItalic, Grey: true},
			layout.Run{Text: c(said.Fix)})
	}
	if rest := document.FindingRest(&said); rest != "" {
		small(layout.Run{Text: c(rest), Style: layout.StyleMono, Grey: true})
	}
	return out
}

// fieldLabel is the column of labels beside the lines to write on.
const (
	fieldLabel = 54.0
	denseLabel = 82.0 // with a code before it
	handLabel  = 34.0 // of what is filled in while working
)

func (w *Writer) fields(f *document.Fields) []piece {
	var out []piece
	for i, it := range f.Items {
		label := fieldLabel
		if w.sc.dense {
			label = denseLabel
		}
		if w.d.AtHand {
			label = min(handLabel, w.width/3)
		}
		label = min(label, w.width*0.5) // in a column
		if f.Wide {
			label = w.width * 0.6
		}
		p := w.field(it, label, f.Wide, i+1 == len(f.Items))
		p.keep = f.Together && i+1 < len(f.Items)
		out = append(out, p)
	}
	return out
}

func (w *Writer) field(f document.Field, fieldLabel float64, wide, last bool) piece {
	code := 0.0
	if f.Code != "" {
		code = 10
	}
	label := &stack{x: w.left + code, w: fieldLabel - code - 4}
	style := layout.StyleBold
	if wide || w.sc.dense {
		style = layout.StyleRegular
	}
	label.lines = w.set(w.plain(f.Label, style), label.w, w.sc.body-0.5, w.sc.bodyLine-0.2, Black)
	number := &stack{x: w.left, w: code}
	if code > 0 {
		number.lines = w.set(w.plain(f.Code, layout.StyleBold), code, w.sc.body-0.5, w.sc.bodyLine-0.2, accent)
	}
	if f.Hint != "" {
		label.lines = append(label.lines, w.set(w.plain(f.Hint, layout.StyleRegular), label.w, w.sc.small,
			w.sc.smallLine, Grey)...)
	}
	space := &stack{x: w.left + fieldLabel, w: w.width - fieldLabel}
	space.lines = w.tickLines(f.Options, space.w)
	rules := f.Lines
	if rules == 0 && len(f.Options) == 0 {
		rules = 1
	}
	if f.Value != "" {
		for _, l := range w.set(w.plain(f.Value, layout.StyleRegular), space.w, w.sc.body, w.sc.fieldRule, Black) {
			l.ruled = true
			space.lines = append(space.lines, l)
			rules--
		}
	}
	for range max(rules, 0) {
		space.lines = append(space.lines, textLine{lh: w.sc.fieldRule, size: w.sc.body, ruled: true})
	}
	const whole = 90.0
	return piece{need: min(max(label.height(), space.height()), whole), draw: func() {
		w.row([]*stack{number, label, space}, rowStyle{whole: whole})
		w.gap(w.sc.fieldGap)
		if last {
			w.gap(w.sc.gapPara)
		}
	}}
}

// tickLines sets options behind boxes to tick, several on a line while they fit.
func (w *Writer) tickLines(options []string, width float64) []textLine {
	lh := w.sc.fieldRule - 1.4
	var out []textLine
	used := width + 1
	for _, o := range options {
		o = w.Clean.Clean(o)
		need := w.sc.tick + 2 + layout.TextMM(o, layout.StyleRegular, w.sc.body) + 6
		if need > width+6 || strings.Contains(o, "\n") { // too long for a line of its own
			for i, l := range w.set([]layout.Run{{Text: o}}, width-w.sc.tick-2, w.sc.body, w.sc.bodyLine, Black) {
				l.shift, l.boxed = w.sc.tick+2, i == 0
				out = append(out, l)
			}
			used = width + 1
			continue
		}
		if used+need > width+6 {
			out = append(out, textLine{lh: lh, size: w.sc.body})
			used = 0
		}
		out[len(out)-1].options = append(out[len(out)-1].options, o)
		used += need
	}
	return out
}
