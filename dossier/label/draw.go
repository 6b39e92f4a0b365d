package label

import (
	"fmt"

	"codeberg.org/go-pdf/fpdf"

	"gallipot/calc/labelling"
	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/label/labelsize"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// labelPrinter draws labels in true size. Everything that is not label stands
// outside its outline: marks, the proof line, a bar to check the printer by.
type labelPrinter struct {
	*pdf.Writer
	warnings []string
}

// The page of a proof, in mm.
const (
	proofEdge  = 12.0 // round the label
	proofFoot  = 26.0 // below it
	proofWidth = 104.0
	proofSize  = 6.5 // points
	proofLine  = 3.0
	barLength  = 50.0
	lineWidth  = 0.15 // of a thin line on the label
)

// newLabelPrinter makes an empty file with the furniture of d.
func newLabelPrinter(d *document.Document) *labelPrinter {
	w := pdf.NewWriter(d)
	w.P = pdf.NewPages() // without a font: each that is loaded takes room
	w.Loaded, w.InFont = [layout.StyleMedium + 1]bool{}, pdf.FontUse{}
	return &labelPrinter{Writer: w}
}

// PDF prints a proof of each label on a page of its own, in true size with
// marks at its edge; where a leaflet belongs to it, the leaflet follows. The
// trim box of a page is the label.
//
// With sheets set it fills A4 sheets with each label in place of that, see
// [LabelSize.Sheet]. The same labels give the same bytes.
//
// The labels that do not fit are left out and returned; the file is nil where
// none fits. Warnings name runes that the fonts lack.
// Errors: no label size in the product file, or a label larger than the sheet.
func PDF(labels []*ProductLabel, opt LabelOptions,
	sheets bool) (data []byte, unfit []*ProductLabel, warnings []string, err error) {
	defer func() {
		if r := recover(); r != nil {
			data, err = nil, fmt.Errorf("dossier: the labels could not be drawn: %v", r)
		}
	}()
	var w *labelPrinter
	for _, l := range labels {
		art, err := l.Artwork(opt.Leaflet)
		if err != nil {
			return nil, nil, nil, err
		}
		if art == nil {
			unfit = append(unfit, l)
			continue
		}
		if w == nil {
			w = newLabelPrinter(show.Show(l.A, "").Document("Labels, proof"))
		}
		for _, text := range art.warnings {
			w.warnings = words.AddOnce(w.warnings, text)
		}
		if sheets {
			err = w.sheet(art)
		} else {
			w.proof(art)
		}
		if err != nil {
			return nil, nil, nil, err
		}
	}
	if w == nil {
		return nil, unfit, nil, nil
	}
	file, err := w.Archive()
	if err != nil {
		return nil, nil, nil, err
	}
	data, err = file.With(nil)
	return data, unfit, append(w.warnings, w.Clean.Warnings...), err
}

// proof prints one label on a page, and its leaflet on another.
func (w *labelPrinter) proof(art *artwork) {
	w.onPage(art.size, art.ink, art.words())
	if len(art.Leaflet) == 0 {
		return
	}
	size, k := art.leafletPage()
	w.onPage(size, k, []string{LabelProof, "Leaflet to the label " + art.label.Name() + " · " +
		art.label.marketNames()})
}

// onPage draws something in the middle of a page that is large enough for it and
// the words below it.
func (w *labelPrinter) onPage(o outline, k *ink, words []string) {
	pw := max(o.Width+2*proofEdge, proofWidth)
	lines := w.wrapped(words, pw-2*proofEdge)
	ph := o.Height + 2*proofEdge + 7 + float64(len(lines))*proofLine
	w.P.AddPageFormat("P", fpdf.SizeType{Wd: pw, Ht: ph})
	x, y := (pw-o.Width)/2, proofEdge
	w.P.SetPageBox("trim", x, ph-y-o.Height, o.Width, o.Height)
	w.draw(k, x, y)
	w.marks(o, x, y)
	at := y + o.Height + proofEdge - 2
	w.bar(proofEdge, at)
	w.say(lines, proofEdge, at+6)
}

// draw puts ink onto the page, its corner at x, y.
func (w *labelPrinter) draw(k *ink, x, y float64) {
	for _, l := range k.lines {
		w.Line(x+l.x0, y+l.y0, x+l.x1, y+l.y1, lineWidth, pdf.Colour{})
	}
	for _, s := range k.signs {
		for _, shape := range s.shapes() {
			w.Shape(shape, x, y, 1)
		}
	}
	for _, t := range k.texts {
		w.Write(x+t.X, y+t.Base, t.S, t.Style, t.Size, pdf.Colour{})
	}
}

// marks shows where the label is cut: lines beyond its corners, or the circle
// itself. Where a wrap overlaps is marked above and below it.
func (w *labelPrinter) marks(o outline, x, y float64) {
	const off, long, thin = 1.5, 4.0, 0.1
	if o.Shape == labelsize.Round {
		w.circle(x, y, o.Width)
	}
	for _, cx := range []float64{x, x + o.Width} {
		for _, d := range []float64{-off, o.Height + off} {
			w.Line(cx, y+d, cx, y+d+sign1(d)*long, thin, pdf.Colour{})
		}
	}
	for _, cy := range []float64{y, y + o.Height} {
		for _, d := range []float64{-off, o.Width + off} {
			w.Line(x+d, cy, x+d+sign1(d)*long, cy, thin, pdf.Colour{})
		}
	}
	if o.Overlap > 0 {
		at := x + o.Width - o.Overlap
		w.Line(at, y-off, at, y-off-long/2, thin, pdf.Colour{})
		w.Line(at, y+o.Height+off, at, y+o.Height+off+long/2, thin, pdf.Colour{})
		w.Write(at+0.6, y-off-0.4, "overlap", layout.StyleRegular, proofSize-1.5, pdf.Grey)
	}
}

// circle draws the line along which a round label is cut.
func (w *labelPrinter) circle(x, y, across float64) {
	w.P.SetDrawColor(pdf.Rule[0], pdf.Rule[1], pdf.Rule[2])
	w.P.SetLineWidth(0.1)
	w.P.Circle(x+across/2, y+across/2, across/2, "D")
}

func sign1(f float64) float64 {
	if f < 0 {
		return -1
	}
	return 1
}

// bar draws a line of known length, by which to see whether a printer keeps the
// size.
func (w *labelPrinter) bar(x, y float64) {
	w.Line(x, y, x+barLength, y, 0.2, pdf.Colour{})
	for _, at := range []float64{x, x + barLength} {
		w.Line(at, y-1, at, y+1, 0.2, pdf.Colour{})
	}
	w.Write(x+barLength+1.5, y+0.8, fmt.Sprintf("%.0f mm: print at 100 %%", barLength), layout.StyleRegular,
		proofSize, pdf.Black)
}

// wrapped breaks the words of a proof into lines.
func (w *labelPrinter) wrapped(words []string, width float64) []string {
	var lines []string
	for i, s := range words {
		style := layout.StyleRegular
		if i == 0 {
			style = layout.StyleBold
		}
		for _, line := range layout.WrapRuns([]layout.Run{{Text: w.Clean.Clean(s), Style: style}}, width,
			layout.RuneMM(proofSize)) {
			text := ""
			for _, r := range line {
				text += r.Text
			}
			if style == layout.StyleBold {
				text = "\x00" + text
			}
			lines = append(lines, text)
		}
	}
	return lines
}

// say writes the lines of a proof; the first sentence is bold.
func (w *labelPrinter) say(lines []string, x, y float64) {
	for i, s := range lines {
		style := layout.StyleRegular
		if s != "" && s[0] == 0 {
			s, style = s[1:], layout.StyleBold
		}
		w.Write(x, y+float64(i)*proofLine, s, style, proofSize, pdf.Black)
	}
}

// words are what stands below a proof.
func (art *artwork) words() []string {
	l := art.label
	text := []string{LabelProof}
	about := fmt.Sprintf("%s · %s · %s · lower-case x %s mm", l.Name(), l.marketNames(), art.size.SizeWords(),
		mm(art.x))
	if l.FigureMM != nil {
		about += " · figures of the quantity at least " + l.FigureMM.Exact() + " mm"
	}
	text = append(text, about, fmt.Sprintf("law of %s · fingerprint %s", l.A.Options.Date, l.A.Fingerprint))
	if len(art.Leaflet) > 0 {
		text = append(text, "With a leaflet: the law allows it only where the pack has no room.")
	}
	if n := l.missing(); n > 0 {
		text = append(text, words.Count(n, "item is", "items are")+" missing and in square brackets.")
	}
	if n := l.A.Stops(); n > 0 {
		text = append(text,
			"Against a law, a certificate or a fragrance Standard, or not computable as it stands: "+words.Count(n,
				"finding", "findings")+" of kind stop.")
	}
	if l.A.Workshop.Invented {
		text = append(text, "Invented data.")
	}
	return text
}

// leafletSizes are the papers a leaflet may take, A6 and larger, in mm.
var leafletSizes = []outline{
	{Shape: labelsize.Rectangle, Width: 105, Height: 148, Margin: 7},
	{Shape: labelsize.Rectangle, Width: 148, Height: 210, Margin: 9},
	{Shape: labelsize.Rectangle, Width: 210, Height: 297, Margin: 12},
}

// leafletPage sets what went onto the leaflet on the smallest paper that holds
// it.
func (art *artwork) leafletPage() (outline, *ink) {
	c := layout.NewCleaner()
	m := art.label.Matter(c)
	m = matter{Name: m.Name, function: m.function, Paras: art.Leaflet}
	for _, o := range leafletSizes {
		for _, x := range []float64{1.6, 1.4, 1.2} {
			if k := o.set(m, setting{x: x, name: 1.6}); k != nil {
				return o, k
			}
		}
	}
	panic("dossier: a leaflet of one page does not hold the text of " + art.label.Name())
}

// missing counts the items that stand in square brackets.
func (l *ProductLabel) missing() int {
	n := 0
	for _, i := range l.Items {
		if i.State == labelling.LabelMissing {
			n++
		}
	}
	return n
}

// noSheet says that a label does not stand on its sheet.
func noSheet(o outline, size *labelsize.Size) error {
	if size.Sheet != nil {
		return &exact.ValueError{What: "labels of " + o.SizeWords() +
			" do not stand side by side on the sheet that the product file describes",
			Fix: "measure the steps from one label to the next, and the edges, anew"}
	}
	return &exact.ValueError{What: "a label of " + o.SizeWords() + " does not fit on an A4 sheet",
		Fix: "print it with --pdf alone"}
}
