package label_test

import (
	"bytes"
	"fmt"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/labelling"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/document/documenttest"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/label"
	"gallipot/dossier/label/labelsize"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

// labelCase is a label of a demo product on a size of the test's own.
type labelCase struct {
	product, variant string
	size             labelsize.Size
	opt              label.LabelOptions
	markets          []rows.Market
}

func length(s string) *exact.Num {
	n, err := exact.ParseNum(s)
	if err != nil {
		panic(err)
	}
	return &n
}

func rectangle(w, h string) labelsize.Size {
	return labelsize.Size{Shape: labelsize.Rectangle, WidthMM: length(w), HeightMM: length(h)}
}

func round(across string) labelsize.Size {
	return labelsize.Size{Shape: labelsize.Round, WidthMM: length(across)}
}

func wrap(w, h string) labelsize.Size {
	return labelsize.Size{Shape: labelsize.Wrap, WidthMM: length(w), HeightMM: length(h)}
}

func withLeaflet(l labelsize.Size) labelsize.Size { l.Leaflet = true; return l }

func withSign(l labelsize.Size) labelsize.Size { l.EMark = true; return l }

// labels makes the labels of a case.
func (c labelCase) labels(t testing.TB) []*label.ProductLabel {
	t.Helper()
	a := assess.Run(labelWorkshop(t), c.changed(t),
		assess.Options{Date: testDay, Law: table.Builtin(), Markets: c.markets})
	return label.Labels(a, c.variant, c.opt)
}

func (c labelCase) changed(t testing.TB) *workshop.Product {
	p := *labelWorkshop(t).Product(c.product)
	p.Label = &c.size
	return &p
}

func (c labelCase) name() string {
	return fmt.Sprintf("%s/%s %s %s", c.product, c.variant, c.size.Shape, label.OutlineOf(&c.size).SizeWords())
}

var labelCases = []labelCase{
	{product: "heath-wash", variant: "gorse", size: rectangle("120", "45")},
	{product: "heath-wash", variant: "duo", size: withSign(rectangle("60", "90")),
		opt: label.LabelOptions{Together: true, Batch: "HW26-017"}},
	{product: "heath-wash", variant: "duo", size: withSign(round("70"))},
	{product: "heath-wash", variant: "plain", size: withLeaflet(round("42"))},
	{product: "heath-wash", variant: "scrub", size: withSign(wrap("230", "40")),
		markets: []rows.Market{rows.GB, rows.EU, rows.NI}},
	{product: "heath-wash", variant: "plain", size: withLeaflet(rectangle("50", "30"))},
	{product: "salt-scrub", variant: "", size: rectangle("90", "60"), opt: label.LabelOptions{Made: 20261120}},
	{product: "body-cream", variant: "", size: round("90")},
	{product: "lip-balm", variant: "", size: withLeaflet(round("38"))},
}

// TestLabelMeasuredBack prints labels of every shape and measures the file, in
// mm: the trim box is the label; every text keeps the margin, in a circle too;
// letters and figures are as high as asked; every word of the label is there, in
// order; and the proof line stands outside.
func TestLabelMeasuredBack(t *testing.T) {
	for _, c := range labelCases {
		labels := c.labels(t)
		data, unfit, warnings, err := label.PDF(labels, c.opt, false)
		require.NoError(t, err, c.name())
		require.Empty(t, warnings, c.name())
		require.Less(t, len(unfit), len(labels), "%s: none fits", c.name())
		pages := readLabels(t, data)
		at := 0
		for _, l := range labels {
			if slices.Contains(unfit, l) {
				continue
			}
			art, err := l.Artwork(false)
			require.NoError(t, err)
			requireLabel(t, c, l, art, pages[at])
			at++
			if len(art.Leaflet) > 0 {
				requireLeaflet(t, art, pages[at])
				at++
			}
		}
		require.Equal(t, at, len(pages))
	}
}

func requireLabel(t *testing.T, c labelCase, l *label.ProductLabel, art *label.Artwork, p labelPage) {
	t.Helper()
	o := label.OutlineOf(&c.size)
	require.InDelta(t, o.Width, p.trim[2], 0.01, "%s: width", c.name())
	require.InDelta(t, o.Height, p.trim[3], 0.01, "%s: height", c.name())
	in, out := p.label(t)
	least, _ := l.LeastType()
	quantity := 0
	for _, x := range in {
		requireKept(t, o, x, c.name())
		inSign := strings.HasSuffix(x.S,
			"M") && x.Style == layout.StyleBold && l.PAOMonths > 0 && x.S == fmt.Sprintf("%dM", l.PAOMonths)
		if !inSign {
			require.GreaterOrEqual(t, x.Size*layout.PointMM*label.Heights[layout.StyleRegular]().X, least-0.002,
				"%s: %q", c.name(), x.S)
		}
		if q := l.Texts(labelling.ItemQuantity, ""); q != "" && x.S == q {
			quantity++
			require.Equal(t, layout.StyleBold, x.Style)
			require.GreaterOrEqual(t, x.Size*layout.PointMM*label.Heights[layout.StyleBold]().Digit,
				l.FigureMM.Float()-0.0005, "%s: figures", c.name())
		}
	}
	if l.FigureMM != nil {
		require.Equal(t, 1, quantity, "%s: the quantity stands there once", c.name())
	}
	have := wordsOn(in)
	for _, part := range art.Leaflet {
		require.NotContains(t, have, part.Text, "moved to the leaflet")
	}
	d, ok := l.Fitted(l.Matter(layout.NewCleaner()), c.size.Leaflet)
	require.True(t, ok)
	for _, para := range d.Paras {
		require.Contains(t, unspaced(have), unspaced(words.Joined(": ", para.Lead, para.Text)), "%s", c.name())
	}
	require.Contains(t, have, d.Name)
	require.Contains(t, strings.ReplaceAll(wordsOn(out), "\u00a0", " "), label.LabelProof, "%s: the proof line", c.name())
	requireApart(t, in, c.name())
}

// requireKept wants a text inside the margin of its shape, with all that its
// letters reach up and down.
func requireKept(t *testing.T, o label.Outline, x label.InkText, name string) {
	t.Helper()
	up, down := label.Heights[x.Style]().Up*x.Size*layout.PointMM, label.Heights[x.Style]().Down*x.Size*layout.PointMM
	for _, corner := range [][2]float64{{x.X, x.Base - up}, {x.X + x.Width, x.Base - up}, {x.X, x.Base + down},
		{x.X + x.Width, x.Base + down}} {
		if o.Shape == labelsize.Round {
			r := o.Width / 2
			require.LessOrEqual(t, math.Hypot(corner[0]-r, corner[1]-r), r-o.Margin+0.02, "%s: %q leaves the circle", name, x.S)
			continue
		}
		require.GreaterOrEqual(t, corner[0], o.Margin-0.02, "%s: %q", name, x.S)
		require.GreaterOrEqual(t, corner[1], o.Margin-0.02, "%s: %q", name, x.S)
		require.LessOrEqual(t, corner[0], o.Width-o.Overlap-o.Margin+0.02, "%s: %q", name, x.S)
		require.LessOrEqual(t, corner[1], o.Height-o.Margin+0.02, "%s: %q", name, x.S)
	}
}

// requireApart wants no text upon another: the letters without accents, which
// may reach into the line above, must not meet.
func requireApart(t *testing.T, texts []label.InkText, name string) {
	t.Helper()
	for i, a := range texts {
		for _, b := range texts[i+1:] {
			wide := min(a.X+a.Width, b.X+b.Width) - max(a.X, b.X)
			high := min(a.Base, b.Base) + 0.2*min(a.Size,
				b.Size)*layout.PointMM - max(a.Base-0.75*a.Size*layout.PointMM, b.Base-0.75*b.Size*layout.PointMM)
			require.False(t, wide > 0.05 && high > 0.05, "%s: %q and %q overlap", name, a.S, b.S)
		}
	}
}

func requireLeaflet(t *testing.T, art *label.Artwork, p labelPage) {
	t.Helper()
	in, out := p.label(t)
	have := wordsOn(in)
	for _, para := range art.Leaflet {
		require.Contains(t, unspaced(have), unspaced(words.Joined(": ", para.Lead, para.Text)))
	}
	require.Contains(t, strings.ReplaceAll(wordsOn(out), "\u00a0", " "), label.LabelProof)
	for _, x := range in {
		requireKept(t, label.Outline{Shape: labelsize.Rectangle, Width: p.trim[2], Height: p.trim[3], Margin: 7}, x,
			"leaflet")
	}
}

func TestLabelSameBytesTwice(t *testing.T) {
	for _, sheets := range []bool{false, true} {
		c := labelCases[1]
		one, _, _, err := label.PDF(c.labels(t), c.opt, sheets)
		require.NoError(t, err)
		two, _, _, err := label.PDF(c.labels(t), c.opt, sheets)
		require.NoError(t, err)
		require.True(t, bytes.Equal(one, two))
	}
}

// TestLabelSheets counts the labels on A4 sheets and wants each where the grid
// has it, and the proof line clear of them.
func TestLabelSheets(t *testing.T) {
	cut := rectangle("63", "38")
	cut.Sheet = &labelsize.Grid{Across: 3, Down: 7, LeftMM: length("7.5"), TopMM: length("19"),
		AcrossMM: length("66"), DownMM: length("38.1")}
	cut.Leaflet = true
	for _, c := range []struct {
		size         labelsize.Size
		across, down int
		pages        int
	}{
		{rectangle("120", "45"), 1, 5, 1}, // upright 1 x 5 = 5, across 2 x 3 = 6
		{round("70"), 2, 3, 1},
		{cut, 3, 7, 2}, // no room at the foot: the proof line is on a page of its own
	} {
		want := c.across * c.down
		lc := labelCase{product: "heath-wash", variant: "plain", size: c.size, markets: []rows.Market{rows.GB}}
		if c.size.Shape == labelsize.Rectangle && c.size.Sheet == nil {
			want = 6
		}
		data, unfit, _, err := label.PDF(lc.labels(t), lc.opt, true)
		require.NoError(t, err)
		require.Empty(t, unfit)
		pages := readLabels(t, data)
		require.Equal(t, c.pages, len(pages))
		p := pages[0]
		require.InDelta(t, 210*297, p.width*p.height, 5)
		var batches []label.InkText
		proof := false
		for _, x := range p.texts {
			if x.S == "120 g" {
				batches = append(batches, x)
			}
			proof = proof || strings.HasPrefix(x.S, "Proof")
			require.Greater(t, x.X, 0.0)
			require.Less(t, x.X+x.Width, p.width)
			require.Less(t, x.Base, p.height-2, "not cut off below")
		}
		require.Equal(t, want, len(batches), "%v", c.size.Shape)
		require.Equal(t, c.pages == 1, proof, "the proof line stands on the sheet itself where there is room")
		for _, x := range p.texts {
			if strings.HasPrefix(x.S, "Proof") {
				for _, b := range batches {
					require.Greater(t, x.Base-3, b.Base, "clear of the labels")
				}
			}
		}
		if c.size.Sheet != nil {
			require.InDelta(t, 66, batches[1].X-batches[0].X, 0.01)
			require.InDelta(t, 38.1, batches[3].Base-batches[0].Base, 0.01)
			require.True(t, slices.ContainsFunc(pages[1].texts,
				func(x label.InkText) bool { return strings.HasPrefix(x.S, "Proof") }))
		}
	}
	_, _, _, err := label.PDF(labelCase{product: "heath-wash", variant: "plain", size: rectangle("320", "200"),
		markets: []rows.Market{rows.GB}}.labels(t), label.LabelOptions{}, true)
	require.ErrorContains(t, err, "does not fit on an A4 sheet")
}

// TestLabelWithoutSize asks for it.
func TestLabelWithoutSize(t *testing.T) {
	c := labelCases[0]
	labels := c.labels(t)
	labels[0].A.Product.Label = nil
	_, _, _, err := label.PDF(labels, c.opt, false)
	require.ErrorContains(t, err, "gives no label size")
}

// TestFiguresMeasuredOnTheRaster prints quantities and measures the height of
// their figures in the printed page. Least heights:
// testdata/published/label_heights.csv.
func TestFiguresMeasuredOnTheRaster(t *testing.T) {
	ppm := documenttest.Tool(t, "pdftoppm")
	const dpi = 600.0
	for _, c := range []struct {
		grams, printed string
		least          float64
	}{
		{"30", "30 g", 2}, {"50", "50 g", 2}, {"120", "120 g", 3}, {"200", "200 g", 3}, {"500", "500 g", 4},
		{"1000", "1 kg", 4}, {"1500", "1.5 kg", 6},
	} {
		lc := labelCase{product: "heath-wash", variant: "plain", size: rectangle("120", "60"),
			markets: []rows.Market{rows.GB}}
		grams := length(c.grams)
		p := lc.changed(t)
		p.Product = withNet(p.Product, grams)
		labels := label.Labels(assess.Run(labelWorkshop(t), p,
			assess.Options{Date: testDay, Law: table.Builtin(), Markets: lc.markets}), "plain", lc.opt)
		data, _, _, err := label.PDF(labels, lc.opt, false)
		require.NoError(t, err)
		page := readLabels(t, data)[0]
		want := c.printed
		at := slices.IndexFunc(page.texts, func(x label.InkText) bool { return x.S == want })
		require.GreaterOrEqual(t, at, 0, "%s", want)
		x := page.texts[at]
		file := filepath.Join(t.TempDir(), "label")
		require.NoError(t, os.WriteFile(file+".pdf", data, 0o600))
		px := func(mm float64) int { return int(mm / 25.4 * dpi) }
		left, upper := px(x.X), px(x.Base-1.2*x.Size*layout.PointMM)
		first, rows := px(layout.TextMM(want[:1], x.Style, x.Size)), px(1.3*x.Size*layout.PointMM)
		documenttest.Run(t, ppm, "-r", fmt.Sprint(dpi), "-f", "1", "-l", "1", "-x", fmt.Sprint(left), "-y",
			fmt.Sprint(upper), "-W", fmt.Sprint(first), "-H", fmt.Sprint(rows),
			"-png", "-singlefile", file+".pdf", file)
		f, err := os.Open(file + ".png")
		require.NoError(t, err)
		img, err := png.Decode(f)
		require.NoError(t, err)
		f.Close()
		top, foot := math.MaxInt, 0
		for y := range rows {
			for x := range first {
				if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
					top, foot = min(top, y), max(foot, y)
				}
			}
		}
		high := float64(foot-top+1) / dpi * 25.4
		require.GreaterOrEqual(t, high, c.least-25.4/dpi, "%s: figures %.2f mm high", want, high)
		require.Less(t, high, c.least*2.2, "%s: the figure alone was measured", want)
	}
}

func withNet(p *formula.Product, grams *exact.Num) *formula.Product {
	q := *p
	q.Net = formula.NetContent{G: grams}
	return &q
}

// TestLabelOutsidePrograms lets others read the file: it is whole, its pages have
// the sizes said, and the words come out again.
func TestLabelOutsidePrograms(t *testing.T) {
	qpdf, ppm, words := documenttest.Tool(t, "qpdf"), documenttest.Tool(t, "pdftoppm"), documenttest.Tool(t, "pdftotext")
	for i, c := range labelCases[1:testdata.Cases(3, 5)] {
		data, _, _, err := label.PDF(c.labels(t), c.opt, i%2 == 1)
		require.NoError(t, err)
		file := filepath.Join(t.TempDir(), "label.pdf")
		require.NoError(t, os.WriteFile(file, data, 0o600))
		documenttest.Run(t, qpdf, "--check", file)
		_, complaints := documenttest.Run(t, ppm, "-r", "20", file, filepath.Join(t.TempDir(), "p"))
		require.Empty(t, complaints, c.name())
		text, _ := documenttest.Run(t, words, file, "-")
		require.Contains(t, strings.Join(strings.Fields(text), " "), label.LabelProof, c.name())
	}
}
