package label

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/labelling"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/label/labelsize"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/source"
	"gallipot/testdata"
)

// chanceMatter is label text put together by chance.
func chanceMatter(r *rand.Rand) matter {
	name := []string{"Sodium Cocoyl Isethionate", "Aqua", "Acrylates/C10-30 Alkyl Acrylate Crosspolymer",
		"Hydroxyisohexyl 3-Cyclohexene Carboxaldehyde", "Mel", "Élan Žito", "CI\u00a077891", "Butyrospermum Parkii Butter"}
	pick := func(n int) string {
		var parts []string
		for range n {
			parts = append(parts, name[r.IntN(len(name))])
		}
		return strings.Join(parts, ", ")
	}
	m := matter{Name: pick(1 + r.IntN(2)), function: "body wash", quantity: "120 g", figureMM: 3}
	if r.IntN(2) == 0 {
		m.eMM = 3
	}
	if r.IntN(2) == 0 {
		m.months = "12M"
	} else {
		m.date = roomForDate
	}
	m.Paras = []para{{kind: labelling.ItemPrecaution, Lead: "", Text: "Keep out of the eyes."},
		{kind: labelling.ItemDirections, Lead: "Directions", Text: pick(3)},
		{kind: labelling.ItemIngredients, Lead: "Ingredients", Text: pick(1 + r.IntN(60))},
		{kind: labelling.ItemPerson, Lead: "", Text: "Skerry, Shore Road 1, ZZ99 0ZZ"},
		{kind: labelling.ItemBatch, Lead: "Batch", Text: roomForCode}}
	return m
}

// TestLabelLayoutByChance sets texts put together by chance on labels of every
// shape, the same ones every time: what is set keeps inside the margin, nothing
// overlaps, signs included, and no word is lost.
func TestLabelLayoutByChance(t *testing.T) {
	set := map[labelsize.Shape]int{}
	for seed := range uint64(testdata.Cases(50, 150)) {
		r := rand.New(rand.NewPCG(seed, 3))
		m := chanceMatter(r)
		o := outline{Shape: labelsize.Rectangle, Width: 25 + 120*r.Float64(), Height: 20 + 80*r.Float64(),
			Margin: 1 + 2*r.Float64()}
		switch r.IntN(3) {
		case 0:
			o.Shape, o.Height = labelsize.Round, o.Width
		case 1:
			o.Shape, o.Overlap = labelsize.Wrap, 6
			o.Width += 60
		}
		k, x := o.fit(m, 0.9)
		if k == nil {
			require.False(t, o.holds(m, 0.9), "seed %d: it holds, and could not be set", seed)
			continue
		}
		set[o.Shape]++
		require.GreaterOrEqual(t, x, 0.9)
		for _, text := range k.texts {
			requireKept(t, o, text, string(o.Shape))
		}
		requireApart(t, k.texts, string(o.Shape))
		requireSigns(t, o, k)
		have := wordsOn(k.texts)
		for _, p := range m.Paras {
			require.Contains(t, unspaced(have), unspaced(words.Joined(": ", p.Lead, p.Text)), "seed %d", seed)
		}
	}
	for _, shape := range []labelsize.Shape{labelsize.Rectangle, labelsize.Round, labelsize.Wrap} {
		require.Greater(t, set[shape], testdata.Cases(5, 15), "%s: too few fitted for the test to mean anything", shape)
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
			if s.kind == signJar && strings.HasSuffix(x.S, "M") && x.X > s.x && x.X+x.Width < s.x+w {
				require.Greater(t, x.Base-heights[layout.StyleBold]().Digit*x.Size*layout.PointMM, s.y+0.5*s.height,
					"the months stand in the jar, not on its lid")
				require.Less(t, x.Base, s.y+s.height)
				continue
			}
			wide := min(x.X+x.Width, s.x+w) - max(x.X, s.x)
			high := min(x.Base, s.y+s.height) - max(x.Base-0.7*x.Size*layout.PointMM, s.y)
			require.False(t, wide > 0.05 && high > 0.05, "%s lies upon %q", s.kind, x.S)
		}
	}
}

// TestLabelGrowth: the size that is offered holds the text, and a label a little
// smaller does not.
func TestLabelGrowth(t *testing.T) {
	for seed := range uint64(12) {
		r := rand.New(rand.NewPCG(seed, 5))
		m := chanceMatter(r)
		for _, o := range []outline{{Shape: labelsize.Rectangle, Width: 30, Height: 20, Margin: 2},
			{Shape: labelsize.Round, Width: 30, Height: 30, Margin: 2}} {
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
	m := matter{Name: "Tide", quantity: "120 g", figureMM: 3, Paras: []para{
		{kind: labelling.ItemPrecaution, Lead: "", Text: "Keep out of the eyes."},
		{kind: labelling.ItemDirections, Lead: "Directions", Text: "Rub in."},
		{kind: labelling.ItemStorage, Lead: "", Text: "Keep cool."},
		{kind: labelling.ItemIngredients, Lead: "Ingredients", Text: "Aqua"},
		{kind: labelling.ItemPerson, Lead: "", Text: "Skerry"},
		{kind: labelling.ItemOrigin, Lead: "", Text: "Made in Ireland"},
		{kind: labelling.ItemBatch, Lead: "Batch", Text: "1"}}}
	drafts := m.drafts(true)
	require.Len(t, drafts, 4)
	for i, d := range drafts {
		for _, kind := range []labelling.LabelItemKind{labelling.ItemStorage, labelling.ItemPerson,
			labelling.ItemOrigin, labelling.ItemBatch} {
			require.True(t, d.has(kind), "%s may not leave the label", kind)
		}
		require.Equal(t, i >= 2, d.book)
		require.Equal(t, i < 2, d.has(labelling.ItemIngredients))
		require.Equal(t, i < 3, d.has(labelling.ItemPrecaution))
		require.Len(t, d.Paras, len(m.Paras)-len(d.moved)-len(d.dropped))
	}
	require.Len(t, m.drafts(false), 2, "no leaflet unless it is wanted")
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
	r := heights[layout.StyleRegular]()
	require.InDelta(t, 0.530, r.X, 0.001)
	require.InDelta(t, 0.723, r.Digit, 0.001)
	require.GreaterOrEqual(t, r.Up, 0.945)
	require.Less(t, r.Up, 1.0)
	require.InDelta(t, 0.9, sizeForX(0.9)*layout.PointMM*r.X, 0.002)
	require.GreaterOrEqual(t, sizeForDigits(3)*layout.PointMM*heights[layout.StyleBold]().Digit, 3.0)
}

// TestReadLabel: what the file says of a label, and what it may not say.
func TestReadLabel(t *testing.T) {
	read := func(label string) (*labelsize.Size, []string) {
		src := source.NewSource("products/tide.yaml", []byte(strings.Replace(plainProduct, "LABEL", label, 1)))
		p, findings := workshop.ReadProduct(src, []rows.Market{rows.GB}, table.Builtin())
		var codes []string
		for _, f := range findings {
			codes = append(codes, f.Code)
		}
		return p.Label, codes
	}
	l, codes := read("{shape: wrap, width_mm: 180.5, height_mm: 40, min_type_mm: 1.1, margin_mm: 3, overlap_mm: 10, leaflet: true, e_mark: true, sold_as: free-sample, no_pao: a sealed tube, sheet: {across: 2, down: 3, left_mm: 5, top_mm: 6.5, step_across_mm: 90, step_down_mm: 50}}")
	require.Empty(t, codes)
	require.Equal(t, labelsize.Wrap, l.Shape)
	require.Equal(t, outline{labelsize.Wrap, 180.5, 40, 3, 10}, outlineOf(l))
	require.Equal(t, "1.1", l.MinTypeMM.Exact())
	require.True(t, l.Leaflet && l.EMark)
	require.Equal(t, labelling.FreeSample, l.SoldAs)
	require.Equal(t, "a sealed tube", l.NoPAO.Text)
	require.Equal(t, 2, l.Sheet.Across)
	require.Equal(t, "6.5", l.Sheet.TopMM.Exact())
	l, codes = read("{shape: round, width_mm: 50}")
	require.Empty(t, codes)
	require.Equal(t, outline{labelsize.Round, 50, 50, usualMargin, 0}, outlineOf(l))
	for label, code := range map[string]string{
		"{shape: round, width_mm: 4}":                                    source.CodeBadNumber,
		"{shape: wrap, width_mm: 50}":                                    "missing-key",
		"{shape: oval, width_mm: 50}":                                    source.CodeBadChoice,
		"{shape: round, width_mm: 50, min_type_mm: 0.1}":                 source.CodeBadNumber,
		"{shape: round, width_mm: 50, sold_as: gift}":                    source.CodeBadChoice,
		"{shape: round, width_mm: 50, sheet: {across: 2}}":               "missing-key",
		"{shape: rectangle, width_mm: 50, height_mm: 40, margin_mm: -1}": source.CodeBadNumber,
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
