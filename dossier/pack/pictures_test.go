package pack_test

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/pack"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// bottle draws an invented pack: a bottle with a band round it.
func bottle(w, h int, band color.Color) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			switch {
			case x > w/4 && x < 3*w/4 && y > h/3 && y < 2*h/3:
				img.Set(x, y, band)
			case x > w/4 && x < 3*w/4 && y > h/8 && y < 7*h/8:
				img.Set(x, y, color.RGBA{120, 150, 140, 255})
			default:
				img.Set(x, y, color.RGBA{240, 240, 235, 255})
			}
		}
	}
	return img
}

// withPictures assesses the wash with photographs in its file: two on hand, one broken
// off and one that is missing.
func withPictures(t *testing.T) *assess.Assessment {
	t.Helper()
	plain := dossiertest.Demo(t, "heath-wash")
	dir := filepath.Join(t.TempDir(), "demo")
	require.NoError(t, os.CopyFS(dir, os.DirFS(plain.Workshop.Dir)))
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "pictures"), 0o755))
	write := func(name string, data []byte) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o644))
	}
	var front, back bytes.Buffer
	require.NoError(t, jpeg.Encode(&front, bottle(900, 1500, color.RGBA{200, 60, 60, 255}), nil))
	require.NoError(t, png.Encode(&back, bottle(600, 400, color.RGBA{60, 60, 200, 255})))
	write("pictures/front.jpg", front.Bytes())
	write("pictures/torn.jpg", front.Bytes()[:front.Len()/2])
	write("evidence/back.png", back.Bytes())
	file := filepath.Join(dir, "products", "heath-wash.yaml")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	text, _, _ = bytes.Cut(text, []byte("\npictures:")) // those of the demo
	write("products/heath-wash.yaml", append(text, `
pictures:
  - {file: pictures/front.jpg, caption: front of the pack with its label (invented)}
  - {file: evidence/back.png, caption: back of the pack (invented)}
  - {file: pictures/torn.jpg, caption: cap}
  - {file: pictures/gone.jpg, caption: carton}
`...))
	w, _ := workshop.Load(dir, table.Builtin())
	require.NotNil(t, w)
	a := dossier.Assess(w, w.Product("heath-wash"), plain.Options)
	require.Equal(t, plain.Fingerprint, a.Fingerprint, "a picture is beside the figures")
	return a
}

// TestLabelFace: the label stands in the pack in the size that the product file states, and
// a label that does not hold its text is said not to be drawn.
func TestLabelFace(t *testing.T) {
	drawn := func(a *assess.Assessment) (found *document.Drawing) {
		d := pack.Build(a)
		for _, b := range document.Flat(d.Sections[0].Subsections[0].Blocks) { // S.1
			if d, ok := b.(*document.Drawing); ok {
				found = d
			}
		}
		return found
	}
	a := dossiertest.Demo(t, "heath-wash") // label: 120 by 45 mm
	d := drawn(a)
	require.NotNil(t, d)
	assert.Equal(t, []float64{120, 45}, []float64{d.Width, d.Height})
	text := ""
	for _, x := range d.Texts {
		text += x.Text + " "
	}
	for _, want := range []string{"120 g", "Ingredients", "Aqua", "Batch"} {
		assert.Contains(t, text, want)
	}
	assert.Contains(t, text, "Linalyl Acetate", "named for the EU alone: one label for both markets")
	t.Run("a label of each market where one for all has no room", func(t *testing.T) {
		for high := int64(35); high > 15; high-- {
			b, label, height := dossiertest.Demo(t, "heath-wash"), *a.Product.Label, exact.Int(high)
			label.HeightMM = &height
			b.Product.Label = &label
			titles := map[string]bool{}
			for _, x := range document.Flat(pack.Build(b).Sections[0].Subsections[0].Blocks) {
				if d, ok := x.(*document.Drawing); ok {
					titles[d.Title] = true
				}
			}
			if titles["Label face, Heath Wash, Heather and Gorse, GB, EU"] {
				continue
			}
			t.Log(high, titles)
			assert.True(t, titles["Label face, Heath Wash, Heather and Gorse, GB"], "%d mm: %v", high, titles)
			return
		}
		assert.Fail(t, "a label of every height holds both")
	})
	small, label := exact.Int(20), *a.Product.Label
	label.WidthMM, label.HeightMM = &small, &small
	a.Product.Label = &label
	assert.Nil(t, drawn(a))
	assert.Contains(t, strings.ReplaceAll(measure(t, pack.Build(a)).text.String(), "\n", " "), "does not hold its text")
	a.Product.Label = nil
	assert.Nil(t, drawn(a))
}

// TestPhotographs reads the pack back: its photographs stand in it, numbered, upright and
// in proportion, within the pages that the wash may take.
func TestPhotographs(t *testing.T) {
	a := withPictures(t)
	d := pack.Build(a)
	m := measure(t, d)
	assert.LessOrEqual(t, m.signed, 24, "pages to the signature")
	assert.LessOrEqual(t, m.pages, 30, "pages in all")
	for page, share := range m.empty {
		if !m.last[page] {
			assert.LessOrEqual(t, share, 1.0/3, "page %d is more than a third empty", page)
		}
	}
	for _, want := range []string{"Label face", "front of the pack", "back of the pack", "cannot be shown",
		"is not on hand"} {
		assert.Contains(t, strings.ReplaceAll(m.text.String(), "\n", " "), want)
	}
	data, warnings, err := pdf.Render(d, nil)
	require.NoError(t, err)
	assert.Empty(t, warnings)
	again, _, err := pdf.Render(pack.Build(a), nil)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(data, again), "the same bytes")
	pdfimages := documenttest.Tool(t, "pdfimages")
	file := filepath.Join(t.TempDir(), "pack.pdf")
	require.NoError(t, os.WriteFile(file, data, 0o644))
	out, _ := documenttest.Run(t, pdfimages, "-list", file)
	var sizes [][]string
	for _, line := range strings.Split(strings.TrimSpace(out), "\n")[2:] {
		f := strings.Fields(line)
		require.Equal(t, f[12], f[13], "dots to the inch across and down: in proportion")
		sizes = append(sizes, []string{f[2], f[3], f[4], f[5], f[8]})
	}
	assert.Equal(t, [][]string{{"image", "720", "1200", "rgb", "jpeg"}, {"image", "600", "400", "rgb", "jpeg"}}, sizes)
}
