package dossier

import (
	"bytes"
	"encoding/csv"
	"io/fs"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
	"gallipot/testdata"
)

// demoOnce is the demo workshop, read once: nothing in it changes.
var demoOnce = sync.OnceValue(func() *Workshop {
	tree, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		panic(err)
	}
	w, _ := LoadFS("demo", tree, law.Builtin())
	return w
})

func labelWorkshop(t testing.TB) *Workshop {
	t.Helper()
	require.NotNil(t, demoOnce())
	return demoOnce()
}

// chanceMatter is label text put together by chance.
func chanceMatter(r *rand.Rand) matter {
	name := []string{"Sodium Cocoyl Isethionate", "Aqua", "Acrylates/C10-30 Alkyl Acrylate Crosspolymer", "Hydroxyisohexyl 3-Cyclohexene Carboxaldehyde", "Mel", "Élan Žito", "CI\u00a077891", "Butyrospermum Parkii Butter"}
	pick := func(n int) string {
		var parts []string
		for range n {
			parts = append(parts, name[r.IntN(len(name))])
		}
		return strings.Join(parts, ", ")
	}
	m := matter{name: pick(1 + r.IntN(2)), function: "body wash", quantity: "120 g", figureMM: 3}
	if r.IntN(2) == 0 {
		m.eMM = 3
	}
	if r.IntN(2) == 0 {
		m.months = "12M"
	} else {
		m.date = roomForDate
	}
	m.paras = []para{{kind: calc.ItemPrecaution, lead: "", text: "Keep out of the eyes."}, {kind: calc.ItemDirections, lead: "Directions", text: pick(3)},
		{kind: calc.ItemIngredients, lead: "Ingredients", text: pick(1 + r.IntN(60))}, {kind: calc.ItemPerson, lead: "", text: "Skerry, Shore Road 1, ZZ99 0ZZ"}, {kind: calc.ItemBatch, lead: "Batch", text: roomForCode}}
	return m
}

// TestLabelLayoutByChance sets texts put together by chance on labels of every
// shape, the same ones every time: what is set keeps inside the margin, nothing
// overlaps, signs included, and no word is lost.
func TestLabelLayoutByChance(t *testing.T) {
	set := map[LabelShape]int{}
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 3))
		m := chanceMatter(r)
		o := outline{shape: ShapeRectangle, width: 25 + 120*r.Float64(), height: 20 + 80*r.Float64(), margin: 1 + 2*r.Float64()}
		switch r.IntN(3) {
		case 0:
			o.shape, o.height = ShapeRound, o.width
		case 1:
			o.shape, o.overlap = ShapeWrap, 6
			o.width += 60
		}
		k, x := o.fit(m, 0.9)
		if k == nil {
			require.False(t, o.holds(m, 0.9), "seed %d: it holds, and could not be set", seed)
			continue
		}
		set[o.shape]++
		require.GreaterOrEqual(t, x, 0.9)
		for _, text := range k.texts {
			requireKept(t, o, text, string(o.shape))
		}
		requireApart(t, k.texts, string(o.shape))
		requireSigns(t, o, k)
		have := wordsOn(k.texts)
		for _, p := range m.paras {
			require.Contains(t, unspaced(have), unspaced(joined(": ", p.lead, p.text)), "seed %d", seed)
		}
	}
	for _, shape := range []LabelShape{ShapeRectangle, ShapeRound, ShapeWrap} {
		require.Greater(t, set[shape], 15, "%s: too few fitted for the test to mean anything", shape)
	}
}

// requireSigns wants every sign inside the label and clear of text, save for
// that inside the jar.
func requireSigns(t *testing.T, o outline, k *ink) {
	t.Helper()
	for _, s := range k.signs {
		w := signs[s.kind].width * s.height
		for _, corner := range [][2]float64{{s.x, s.y}, {s.x + w, s.y}, {s.x, s.y + s.height}, {s.x + w, s.y + s.height}} {
			require.True(t, o.inside(corner[0], corner[1]), "%s leaves the label", s.kind)
		}
		for _, x := range k.texts {
			if s.kind == signJar && strings.HasSuffix(x.s, "M") && x.x > s.x && x.x+x.width < s.x+w {
				require.Greater(t, x.base-heights[styleBold]().digit*x.size*pointMM, s.y+0.5*s.height, "the months stand in the jar, not on its lid")
				require.Less(t, x.base, s.y+s.height)
				continue
			}
			wide := min(x.x+x.width, s.x+w) - max(x.x, s.x)
			high := min(x.base, s.y+s.height) - max(x.base-0.7*x.size*pointMM, s.y)
			require.False(t, wide > 0.05 && high > 0.05, "%s lies upon %q", s.kind, x.s)
		}
	}
}

// TestLabelGrowth: the size that is offered holds the text, and a label a little
// smaller does not.
func TestLabelGrowth(t *testing.T) {
	for seed := range uint64(12) {
		r := rand.New(rand.NewPCG(seed, 5))
		m := chanceMatter(r)
		for _, o := range []outline{{shape: ShapeRectangle, width: 30, height: 20, margin: 2}, {shape: ShapeRound, width: 30, height: 30, margin: 2}} {
			if o.holds(m, 0.9) {
				continue
			}
			g := o.growth(m, 0.9)
			if g == 0 {
				require.False(t, o.scaled(4).holds(m, 0.9))
				continue
			}
			require.True(t, o.scaled(g).holds(m, 0.9), "seed %d: %.2f times the size", seed, g)
			require.False(t, o.scaled(g-0.021).holds(m, 0.9), "seed %d: a little less would do too", seed)
		}
	}
}

// TestLeafletComesLast: nothing moves to a leaflet while it fits on the label,
// what may not move stays (label-rules.csv, L01 to L08), and the label then
// points to the leaflet.
func TestLeafletComesLast(t *testing.T) {
	m := matter{name: "Tide", quantity: "120 g", figureMM: 3, paras: []para{
		{kind: calc.ItemPrecaution, lead: "", text: "Keep out of the eyes."}, {kind: calc.ItemDirections, lead: "Directions", text: "Rub in."}, {kind: calc.ItemStorage, lead: "", text: "Keep cool."},
		{kind: calc.ItemIngredients, lead: "Ingredients", text: "Aqua"}, {kind: calc.ItemPerson, lead: "", text: "Skerry"}, {kind: calc.ItemOrigin, lead: "", text: "Made in Ireland"}, {kind: calc.ItemBatch, lead: "Batch", text: "1"}}}
	drafts := m.drafts(true)
	require.Len(t, drafts, 4)
	for i, d := range drafts {
		for _, kind := range []calc.LabelItemKind{calc.ItemStorage, calc.ItemPerson, calc.ItemOrigin, calc.ItemBatch} {
			require.True(t, d.has(kind), "%s may not leave the label", kind)
		}
		require.Equal(t, i >= 2, d.book)
		require.Equal(t, i < 2, d.has(calc.ItemIngredients))
		require.Equal(t, i < 3, d.has(calc.ItemPrecaution))
		require.Len(t, d.paras, len(m.paras)-len(d.moved)-len(d.dropped))
	}
	require.Len(t, m.drafts(false), 2, "no leaflet unless it is wanted")
}

// TestLabelFindingsSayWhere: what concerns some variants or markets only says
// so.
func TestLabelFindingsSayWhere(t *testing.T) {
	c := labelCase{product: "heath-wash", size: rectangle("50", "34")}
	a := labelWorkshop(t).Assess(c.changed(t), Options{Date: testDay, Law: law.Builtin()})
	small := 0
	for _, f := range labelFindings(a) {
		assert.NotEmpty(t, said(f).Fix, f.Code)
		assert.NotEmpty(t, said(f).Why, f.Code)
		if f.Code == "label-too-small" {
			small++
		}
	}
	require.Positive(t, small)
	only := a.Only([]string{"plain"})
	for _, f := range only.Findings {
		if strings.HasPrefix(f.Code, "label-") {
			assert.NotContains(t, strings.Join(f.Variants, " "), "gorse", f.Code)
		}
	}
}

// TestLabelCSV: a row for each label, the words of the label in it, nothing that
// a spreadsheet would run, and the proof in the last column.
func TestLabelCSV(t *testing.T) {
	c := labelCase{product: "heath-wash", variant: "gorse", size: rectangle("120", "45"), opt: LabelOptions{Batch: "=HYPERLINK(1)"}}
	labels := c.labels(t)
	labels[0].a.Product.Function.Text = "@body\twash"
	labels = Labels(labels[0].a, "gorse", c.opt)
	var b bytes.Buffer
	require.NoError(t, WriteLabelCSV(&b, labels))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+len(labels))
	col := map[string]int{}
	for i, name := range rows[0] {
		col[name] = i
	}
	for i, row := range rows[1:] {
		require.Equal(t, "'=HYPERLINK(1)", row[col["batch"]])
		require.Equal(t, "'@body wash", row[col["function"]])
		require.Equal(t, labels[i].results[0].List.Line(), row[col["ingredients"]])
		require.Equal(t, LabelProof, row[len(row)-1])
		require.Equal(t, "3", row[col["figures_mm"]])
		require.Equal(t, "6M", row[col["period_after_opening"]])
		for _, cell := range row {
			require.False(t, cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])), "%q", cell)
		}
	}
}

// TestLabelTextSaysProof: whatever shows a label says that it is a proof.
func TestLabelTextSaysProof(t *testing.T) {
	c := labelCases[0]
	a := labelWorkshop(t).Assess(c.changed(t), Options{Date: testDay, Law: law.Builtin()})
	d := LabelText(a, c.variant, c.opt)
	require.Empty(t, d.Check())
	var b strings.Builder
	require.NoError(t, WriteText(&b, d))
	require.Contains(t, strings.Join(strings.Fields(b.String()), " "), LabelProof)
}

// TestSigns: each keeps to its box, so that a height asked for is the height
// drawn.
func TestSigns(t *testing.T) {
	require.Len(t, signs, 4)
	for kind, s := range signs {
		x0, y0, x1, y1 := s.box()
		require.GreaterOrEqual(t, x0, -0.01, kind)
		require.GreaterOrEqual(t, y0, -0.01, kind)
		require.LessOrEqual(t, x1, s.width+0.01, kind)
		require.LessOrEqual(t, y1, 1.01, kind)
		require.GreaterOrEqual(t, y1-y0, 0.94, "%s: as high as asked", kind)
	}
	_, top, _, foot := signs[signEstimated].box()
	require.InDelta(t, 1, foot-top, 0.001, "the least height of the estimated sign is the law's")
}

// TestLetterHeights holds the measures of the face as noted from its outlines,
// so that another font does not slip in unseen. That figures come out as high as
// asked is measured on the printed page, see TestFiguresMeasuredOnTheRaster.
func TestLetterHeights(t *testing.T) {
	r := heights[styleRegular]()
	require.InDelta(t, 0.530, r.x, 0.001)
	require.InDelta(t, 0.723, r.digit, 0.001)
	require.GreaterOrEqual(t, r.up, 0.945)
	require.Less(t, r.up, 1.0)
	require.InDelta(t, 0.9, sizeForX(0.9)*pointMM*r.x, 0.002)
	require.GreaterOrEqual(t, sizeForDigits(3)*pointMM*heights[styleBold]().digit, 3.0)
}

// TestReadLabel: what the file says of a label, and what it may not say.
func TestReadLabel(t *testing.T) {
	read := func(label string) (*LabelSize, []string) {
		src := ingredients.NewSource("products/tide.yaml", []byte(strings.Replace(plainProduct, "LABEL", label, 1)))
		p, findings := ReadProduct(src, []law.Market{law.GB}, law.Builtin())
		var codes []string
		for _, f := range findings {
			codes = append(codes, f.Code)
		}
		return p.Label, codes
	}
	l, codes := read("{shape: wrap, width_mm: 180.5, height_mm: 40, min_type_mm: 1.1, margin_mm: 3, overlap_mm: 10, leaflet: true, e_mark: true, sold_as: free-sample, no_pao: a sealed tube, sheet: {across: 2, down: 3, left_mm: 5, top_mm: 6.5, step_across_mm: 90, step_down_mm: 50}}")
	require.Empty(t, codes)
	require.Equal(t, ShapeWrap, l.Shape)
	require.Equal(t, outline{ShapeWrap, 180.5, 40, 3, 10}, outlineOf(l))
	require.Equal(t, "1.1", l.MinTypeMM.Exact())
	require.True(t, l.Leaflet && l.EMark)
	require.Equal(t, calc.FreeSample, l.SoldAs)
	require.Equal(t, "a sealed tube", l.NoPAO.Text)
	require.Equal(t, 2, l.Sheet.Across)
	require.Equal(t, "6.5", l.Sheet.TopMM.Exact())
	l, codes = read("{shape: round, width_mm: 50}")
	require.Empty(t, codes)
	require.Equal(t, outline{ShapeRound, 50, 50, usualMargin, 0}, outlineOf(l))
	for label, code := range map[string]string{
		"{shape: round, width_mm: 4}":                                    ingredients.CodeBadNumber,
		"{shape: wrap, width_mm: 50}":                                    ingredients.CodeMissingKey,
		"{shape: oval, width_mm: 50}":                                    ingredients.CodeBadChoice,
		"{shape: round, width_mm: 50, min_type_mm: 0.1}":                 ingredients.CodeBadNumber,
		"{shape: round, width_mm: 50, sold_as: gift}":                    ingredients.CodeBadChoice,
		"{shape: round, width_mm: 50, sheet: {across: 2}}":               ingredients.CodeMissingKey,
		"{shape: rectangle, width_mm: 50, height_mm: 40, margin_mm: -1}": ingredients.CodeBadNumber,
	} {
		_, codes := read(label)
		require.Contains(t, codes, code, label)
	}
}

const plainProduct = `id: tide
name: Tide
revision: 1
product_type: body-lotion
intended_for: adults
label: LABEL
formula:
  basis: percent
  phases: [{id: A, lines: [{ingredient: water, amount: q.s.}]}]
`
