package dossier

import (
	"strings"

	"gallipot/dossier/words"
	"gallipot/ingredients"
)

const severityColumn = 21.0

// findings lists the title of a list of findings and one piece for each.
func (w *pdfWriter) findings(f *FindingList) []piece {
	var out []piece
	if f.Title == "" {
		out = append(out, piece{keep: true, draw: func() { w.anchor(f.ID, w.y) }})
	} else {
		title := w.set(w.plain(f.Title, styleBold), textW, bodySize, bodyLine, black)
		out = append(out, piece{need: bodyLine + 1, keep: true, draw: func() {
			w.anchor(f.ID, w.y)
			w.row([]*stack{{x: marginL, w: textW, lines: title}}, rowStyle{})
			w.took(1)
		}})
	}
	if len(f.Findings) == 0 {
		return append(out, w.paragraph(Rich(Span{Text: emptyFindings(f), Emph: true})))
	}
	for i := range f.Findings {
		out = append(out, w.finding(&f.Findings[i], i == 0, i+1 == len(f.Findings)))
	}
	return out
}

func (w *pdfWriter) finding(f *ingredients.Finding, first, last bool) piece {
	sign := &stack{x: marginL + cellPad, w: severityColumn - cellPad, again: true}
	style := styleRegular
	if f.Severity == ingredients.Stop {
		style = styleBold
	}
	sign.lines = w.set(w.plain(severitySymbol(f.Severity)+"\u00a0 "+f.Severity.String(), style), sign.w, bodySize-0.5, bodyLine-0.3, black)
	body := &stack{x: marginL + severityColumn, w: textW - severityColumn - cellPad}
	body.lines = w.findingLines(f, body.w)
	st := rowStyle{pad: 1.5, x: marginL, w: textW, under: 0.1, ink: rule, whole: 75}
	return piece{need: min(max(body.height(), sign.height()), st.whole) + 2*st.pad, draw: func() {
		if first {
			w.line(marginL, w.y, marginL+textW, w.y, 0.4, black)
		}
		w.row([]*stack{sign, body}, st)
		if last {
			w.line(marginL, w.y, marginL+textW, w.y, 0.4, black)
			w.gap(gapBlock)
		}
	}}
}

// findingLines sets message, place, sum, reason and fix below each other.
func (w *pdfWriter) findingLines(f *ingredients.Finding, width float64) []textLine {
	c := w.clean.clean
	said := words.Say(f, w.d.reader())
	head := []run{{text: c(said.Text())}}
	if said.Subject != "" {
		head = []run{{text: c(said.Subject) + ": ", style: styleBold}, {text: c(said.Text())}}
	}
	out := w.set(head, width, bodySize-0.5, bodyLine-0.3, black)
	small := func(runs ...run) {
		out = append(out, w.set(runs, width, tableSize, tableLine, black)...)
	}
	for _, t := range said.Sum {
		runs := []run{{text: "sum  ", style: styleItalic, grey: true}, {text: c(t.Text)}}
		if place := t.Pos.String(); place != "" {
			runs = append(runs, run{text: "  " + c(place), style: styleMono, grey: true})
		}
		small(runs...)
	}
	if said.Why != "" {
		small(run{text: "why  ", style: styleItalic, grey: true}, run{text: c(said.Why)})
	}
	if said.Fix != "" {
		small(run{text: "fix  ", style: styleItalic, grey: true}, run{text: c(said.Fix)})
	}
	if rest := findingRest(&said); rest != "" {
		small(run{text: c(rest), style: styleMono, grey: true})
	}
	return out
}

// findingRest returns what a stop is against, place, code and whom it concerns as
// one line.
func findingRest(f *words.Said) string {
	ask, where := "", ""
	if f.Ask != "" {
		ask = "ask: " + f.Ask
	}
	if len(f.Variants) > 0 {
		where = "variants: " + joined(", ", f.Variants...)
		if f.Worst != "" {
			where += " (figures of " + f.Worst + ")"
		}
	}
	return joined("  ·  ", f.Against, f.Pos.String(), ask, where, joined(", ", f.Markets...), f.Code)
}

const (
	fieldLabel = 54.0
	fieldRule  = 7.6 // between ruled lines: room for a hand
	tickSize   = 3.2
)

func (w *pdfWriter) fields(f *Fields) []piece {
	var out []piece
	for i, it := range f.Items {
		out = append(out, w.field(it, i+1 == len(f.Items)))
	}
	return out
}

func (w *pdfWriter) field(f Field, last bool) piece {
	label := &stack{x: marginL, w: fieldLabel - 4}
	label.lines = w.set(w.plain(f.Label, styleBold), label.w, bodySize-0.5, bodyLine-0.2, black)
	if f.Hint != "" {
		label.lines = append(label.lines, w.set(w.plain(f.Hint, styleRegular), label.w, smallSize, smallLine, grey)...)
	}
	space := &stack{x: marginL + fieldLabel, w: textW - fieldLabel}
	space.lines = w.tickLines(f.Options, space.w)
	rules := f.Lines
	if rules == 0 && len(f.Options) == 0 {
		rules = 1
	}
	if f.Value != "" {
		for _, l := range w.set(w.plain(f.Value, styleRegular), space.w, bodySize, fieldRule, black) {
			l.ruled = true
			space.lines = append(space.lines, l)
			rules--
		}
	}
	for range max(rules, 0) {
		space.lines = append(space.lines, textLine{lh: fieldRule, size: bodySize, ruled: true})
	}
	const whole = 90.0
	return piece{need: min(max(label.height(), space.height()), whole), draw: func() {
		w.row([]*stack{label, space}, rowStyle{whole: whole})
		w.gap(1.6)
		if last {
			w.gap(gapPara)
		}
	}}
}

// tickLines sets options behind boxes to tick, several on a line while they fit.
func (w *pdfWriter) tickLines(options []string, width float64) []textLine {
	const lh = fieldRule - 1.4
	var out []textLine
	used := width + 1
	for _, o := range options {
		o = w.clean.clean(o)
		need := tickSize + 2 + textMM(o, styleRegular, bodySize) + 6
		if need > width+6 || strings.Contains(o, "\n") { // too long for a line of its own
			for i, l := range w.set([]run{{text: o}}, width-tickSize-2, bodySize, bodyLine, black) {
				l.shift, l.boxed = tickSize+2, i == 0
				out = append(out, l)
			}
			used = width + 1
			continue
		}
		if used+need > width+6 {
			out = append(out, textLine{lh: lh, size: bodySize})
			used = 0
		}
		out[len(out)-1].options = append(out[len(out)-1].options, o)
		used += need
	}
	return out
}

// tickRow draws the options of one line.
func (w *pdfWriter) tickRow(x, y, lh float64, options []string) {
	for _, o := range options {
		w.tickBox(x, y+(lh-tickSize)/2, tickSize, false)
		x += tickSize + 2
		w.write(x, baseline(y, lh, bodySize), o, styleRegular, bodySize, black)
		x += textMM(o, styleRegular, bodySize) + 6
	}
}
