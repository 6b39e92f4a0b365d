package dossier

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

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// labelCase is a label of a demo product on a size of the test's own.
type labelCase struct {
	product, variant string
	size             LabelSize
	opt              LabelOptions
	markets          []law.Market
}

func length(s string) *ingredients.Num {
	n, err := ingredients.ParseNum(s)
	if err != nil {
		panic(err)
	}
	return &n
}

func rectangle(w, h string) LabelSize {
	return LabelSize{Shape: ShapeRectangle, WidthMM: length(w), HeightMM: length(h)}
}
func round(across string) LabelSize { return LabelSize{Shape: ShapeRound, WidthMM: length(across)} }
func wrap(w, h string) LabelSize {
	return LabelSize{Shape: ShapeWrap, WidthMM: length(w), HeightMM: length(h)}
}

func withLeaflet(l LabelSize) LabelSize { l.Leaflet = true; return l }
func withSign(l LabelSize) LabelSize    { l.EMark = true; return l }

// labels makes the labels of a case.
func (c labelCase) labels(t testing.TB) []*ProductLabel {
	t.Helper()
	a := labelWorkshop(t).Assess(c.changed(t), Options{Date: testDay, Law: law.Builtin(), Markets: c.markets})
	return Labels(a, c.variant, c.opt)
}

func (c labelCase) changed(t testing.TB) *Product {
	p := *labelWorkshop(t).Product(c.product)
	p.Label = &c.size
	return &p
}

func (c labelCase) name() string {
	return fmt.Sprintf("%s/%s %s %s", c.product, c.variant, c.size.Shape, outlineOf(&c.size).sizeWords())
}

var labelCases = []labelCase{
	{product: "heath-wash", variant: "gorse", size: rectangle("120", "45")},
	{product: "heath-wash", variant: "duo", size: withSign(rectangle("60", "90")), opt: LabelOptions{Together: true, Batch: "HW26-017"}},
	{product: "heath-wash", variant: "duo", size: withSign(round("70"))},
	{product: "heath-wash", variant: "plain", size: withLeaflet(round("42"))},
	{product: "heath-wash", variant: "scrub", size: withSign(wrap("230", "40")), markets: []law.Market{law.GB, law.EU, law.NI}},
	{product: "heath-wash", variant: "plain", size: withLeaflet(rectangle("50", "30"))},
	{product: "salt-scrub", variant: "", size: rectangle("90", "60"), opt: LabelOptions{Made: 20261120}},
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
		data, unfit, warnings, err := LabelPDF(labels, c.opt, false)
		require.NoError(t, err, c.name())
		require.Empty(t, warnings, c.name())
		require.Less(t, len(unfit), len(labels), "%s: none fits", c.name())
		pages := readLabels(t, data)
		at := 0
		for _, l := range labels {
			if slices.Contains(unfit, l) {
				continue
			}
			art, err := l.artwork(false)
			require.NoError(t, err)
			requireLabel(t, c, l, art, pages[at])
			at++
			if len(art.leaflet) > 0 {
				requireLeaflet(t, art, pages[at])
				at++
			}
		}
		require.Equal(t, at, len(pages))
	}
}

func requireLabel(t *testing.T, c labelCase, l *ProductLabel, art *artwork, p labelPage) {
	t.Helper()
	o := outlineOf(&c.size)
	require.InDelta(t, o.width, p.trim[2], 0.01, "%s: width", c.name())
	require.InDelta(t, o.height, p.trim[3], 0.01, "%s: height", c.name())
	in, out := p.label(t)
	least, _ := l.leastType()
	quantity := 0
	for _, x := range in {
		requireKept(t, o, x, c.name())
		inSign := strings.HasSuffix(x.s, "M") && x.style == styleBold && l.PAOMonths > 0 && x.s == fmt.Sprintf("%dM", l.PAOMonths)
		if !inSign {
			require.GreaterOrEqual(t, x.size*pointMM*heights[styleRegular]().x, least-0.002, "%s: %q", c.name(), x.s)
		}
		if q := l.texts(calc.ItemQuantity, ""); q != "" && x.s == q {
			quantity++
			require.Equal(t, styleBold, x.style)
			require.GreaterOrEqual(t, x.size*pointMM*heights[styleBold]().digit, l.FigureMM.Float()-0.0005, "%s: figures", c.name())
		}
	}
	if l.FigureMM != nil {
		require.Equal(t, 1, quantity, "%s: the quantity stands there once", c.name())
	}
	have := wordsOn(in)
	for _, part := range art.leaflet {
		require.NotContains(t, have, part.text, "moved to the leaflet")
	}
	d, ok := l.fitted(l.matter(newCleaner()), c.size.Leaflet)
	require.True(t, ok)
	for _, para := range d.paras {
		require.Contains(t, unspaced(have), unspaced(joined(": ", para.lead, para.text)), "%s", c.name())
	}
	require.Contains(t, have, d.name)
	require.Contains(t, strings.ReplaceAll(wordsOn(out), "\u00a0", " "), LabelProof, "%s: the proof line", c.name())
	requireApart(t, in, c.name())
}

// requireKept wants a text inside the margin of its shape, with all that its
// letters reach up and down.
func requireKept(t *testing.T, o outline, x inkText, name string) {
	t.Helper()
	up, down := heights[x.style]().up*x.size*pointMM, heights[x.style]().down*x.size*pointMM
	for _, corner := range [][2]float64{{x.x, x.base - up}, {x.x + x.width, x.base - up}, {x.x, x.base + down}, {x.x + x.width, x.base + down}} {
		if o.shape == ShapeRound {
			r := o.width / 2
			require.LessOrEqual(t, math.Hypot(corner[0]-r, corner[1]-r), r-o.margin+0.02, "%s: %q leaves the circle", name, x.s)
			continue
		}
		require.GreaterOrEqual(t, corner[0], o.margin-0.02, "%s: %q", name, x.s)
		require.GreaterOrEqual(t, corner[1], o.margin-0.02, "%s: %q", name, x.s)
		require.LessOrEqual(t, corner[0], o.width-o.overlap-o.margin+0.02, "%s: %q", name, x.s)
		require.LessOrEqual(t, corner[1], o.height-o.margin+0.02, "%s: %q", name, x.s)
	}
}

// requireApart wants no text upon another: the letters without accents, which
// may reach into the line above, must not meet.
func requireApart(t *testing.T, texts []inkText, name string) {
	t.Helper()
	for i, a := range texts {
		for _, b := range texts[i+1:] {
			wide := min(a.x+a.width, b.x+b.width) - max(a.x, b.x)
			high := min(a.base, b.base) + 0.2*min(a.size, b.size)*pointMM - max(a.base-0.75*a.size*pointMM, b.base-0.75*b.size*pointMM)
			require.False(t, wide > 0.05 && high > 0.05, "%s: %q and %q overlap", name, a.s, b.s)
		}
	}
}

func requireLeaflet(t *testing.T, art *artwork, p labelPage) {
	t.Helper()
	in, out := p.label(t)
	have := wordsOn(in)
	for _, para := range art.leaflet {
		require.Contains(t, unspaced(have), unspaced(joined(": ", para.lead, para.text)))
	}
	require.Contains(t, strings.ReplaceAll(wordsOn(out), "\u00a0", " "), LabelProof)
	for _, x := range in {
		requireKept(t, outline{shape: ShapeRectangle, width: p.trim[2], height: p.trim[3], margin: 7}, x, "leaflet")
	}
}

func TestLabelSameBytesTwice(t *testing.T) {
	for _, sheets := range []bool{false, true} {
		c := labelCases[1]
		one, _, _, err := LabelPDF(c.labels(t), c.opt, sheets)
		require.NoError(t, err)
		two, _, _, err := LabelPDF(c.labels(t), c.opt, sheets)
		require.NoError(t, err)
		require.True(t, bytes.Equal(one, two))
	}
}

// TestLabelSheets counts the labels on A4 sheets and wants each where the grid
// has it, and the proof line clear of them.
func TestLabelSheets(t *testing.T) {
	cut := rectangle("63", "38")
	cut.Sheet = &LabelGrid{Across: 3, Down: 7, LeftMM: length("7.5"), TopMM: length("19"), AcrossMM: length("66"), DownMM: length("38.1")}
	cut.Leaflet = true
	for _, c := range []struct {
		size         LabelSize
		across, down int
		pages        int
	}{
		{rectangle("120", "45"), 1, 5, 1}, // upright 1 x 5 = 5, across 2 x 3 = 6
		{round("70"), 2, 3, 1},
		{cut, 3, 7, 2}, // no room at the foot: the proof line is on a page of its own
	} {
		want := c.across * c.down
		lc := labelCase{product: "heath-wash", variant: "plain", size: c.size, markets: []law.Market{law.GB}}
		if c.size.Shape == ShapeRectangle && c.size.Sheet == nil {
			want = 6
		}
		data, unfit, _, err := LabelPDF(lc.labels(t), lc.opt, true)
		require.NoError(t, err)
		require.Empty(t, unfit)
		pages := readLabels(t, data)
		require.Equal(t, c.pages, len(pages))
		p := pages[0]
		require.InDelta(t, 210*297, p.width*p.height, 5)
		var batches []inkText
		proof := false
		for _, x := range p.texts {
			if x.s == "120 g" {
				batches = append(batches, x)
			}
			proof = proof || strings.HasPrefix(x.s, "Proof")
			require.Greater(t, x.x, 0.0)
			require.Less(t, x.x+x.width, p.width)
			require.Less(t, x.base, p.height-2, "not cut off below")
		}
		require.Equal(t, want, len(batches), "%v", c.size.Shape)
		require.Equal(t, c.pages == 1, proof, "the proof line stands on the sheet itself where there is room")
		for _, x := range p.texts {
			if strings.HasPrefix(x.s, "Proof") {
				for _, b := range batches {
					require.Greater(t, x.base-3, b.base, "clear of the labels")
				}
			}
		}
		if c.size.Sheet != nil {
			require.InDelta(t, 66, batches[1].x-batches[0].x, 0.01)
			require.InDelta(t, 38.1, batches[3].base-batches[0].base, 0.01)
			require.True(t, slices.ContainsFunc(pages[1].texts, func(x inkText) bool { return strings.HasPrefix(x.s, "Proof") }))
		}
	}
	_, _, _, err := LabelPDF(labelCase{product: "heath-wash", variant: "plain", size: rectangle("320", "200"), markets: []law.Market{law.GB}}.labels(t), LabelOptions{}, true)
	require.ErrorContains(t, err, "does not fit on an A4 sheet")
}

// TestLabelWithoutSize asks for it.
func TestLabelWithoutSize(t *testing.T) {
	c := labelCases[0]
	labels := c.labels(t)
	labels[0].a.Product.Label = nil
	_, _, _, err := LabelPDF(labels, c.opt, false)
	require.ErrorContains(t, err, "gives no label size")
}

// TestFiguresMeasuredOnTheRaster prints quantities and measures the height of
// their figures in the printed page. Least heights:
// testdata/published/label_heights.csv.
func TestFiguresMeasuredOnTheRaster(t *testing.T) {
	ppm := requireTool(t, "pdftoppm")
	const dpi = 600.0
	for _, c := range []struct {
		grams string
		least float64
	}{{"30", 2}, {"50", 2}, {"120", 3}, {"200", 3}, {"500", 4}, {"1000", 4}, {"1500", 6}} {
		lc := labelCase{product: "heath-wash", variant: "plain", size: rectangle("120", "60"), markets: []law.Market{law.GB}}
		grams := length(c.grams)
		p := lc.changed(t)
		p.Product = withNet(p.Product, grams)
		labels := Labels(labelWorkshop(t).Assess(p, Options{Date: testDay, Law: law.Builtin(), Markets: lc.markets}), "plain", lc.opt)
		data, _, _, err := LabelPDF(labels, lc.opt, false)
		require.NoError(t, err)
		page := readLabels(t, data)[0]
		want := calc.QuantityText(calc.NetContent{G: grams})
		at := slices.IndexFunc(page.texts, func(x inkText) bool { return x.s == want })
		require.GreaterOrEqual(t, at, 0, "%s", want)
		x := page.texts[at]
		file := filepath.Join(t.TempDir(), "label")
		require.NoError(t, os.WriteFile(file+".pdf", data, 0o600))
		px := func(mm float64) int { return int(mm / 25.4 * dpi) }
		left, upper := px(x.x), px(x.base-1.2*x.size*pointMM)
		first, rows := px(textMM(want[:1], x.style, x.size)), px(1.3*x.size*pointMM)
		runTool(t, ppm, "-r", fmt.Sprint(dpi), "-f", "1", "-l", "1", "-x", fmt.Sprint(left), "-y", fmt.Sprint(upper), "-W", fmt.Sprint(first), "-H", fmt.Sprint(rows),
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

func withNet(p *calc.Product, grams *ingredients.Num) *calc.Product {
	q := *p
	q.Net = calc.NetContent{G: grams}
	return &q
}

// TestLabelOutsidePrograms lets others read the file: it is whole, its pages have
// the sizes said, and the words come out again.
func TestLabelOutsidePrograms(t *testing.T) {
	qpdf, ppm, words := requireTool(t, "qpdf"), requireTool(t, "pdftoppm"), requireTool(t, "pdftotext")
	for i, c := range labelCases[1:5] {
		data, _, _, err := LabelPDF(c.labels(t), c.opt, i%2 == 1)
		require.NoError(t, err)
		file := filepath.Join(t.TempDir(), "label.pdf")
		require.NoError(t, os.WriteFile(file, data, 0o600))
		runTool(t, qpdf, "--check", file)
		_, complaints := runTool(t, ppm, "-r", "20", file, filepath.Join(t.TempDir(), "p"))
		require.Empty(t, complaints, c.name())
		text, _ := runTool(t, words, file, "-")
		require.Contains(t, strings.Join(strings.Fields(text), " "), LabelProof, c.name())
	}
}
