package pack

import (
	"gallipot/dossier/document"
	"gallipot/dossier/label"
	"gallipot/dossier/label/labelsize"
	"gallipot/dossier/photo"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// pictureMM is the height of a photograph on a page, at most, in mm.
const pictureMM = 75

// The widest label in mm that has the facts of the product beside it, and its share of the
// page's width.
const besideMM, besideShare = 122, 0.7

// faceAndFacts are the label as drawn and the product in short; in words where no face can
// be drawn.
func faceAndFacts(v *show.View) []document.Block {
	face := labelFace(v)
	var drawn *document.Drawing
	if len(face) > 0 {
		drawn, _ = face[0].(*document.Drawing)
	}
	facts := []document.Block{productInShort(v)}
	switch {
	case drawn == nil:
		return []document.Block{&document.Beside{Share: 0.56,
			Left: append([]document.Block{labelText(v)}, face...), Right: facts}}
	case drawn.Width > besideMM:
		return append(face, facts...)
	}
	return []document.Block{&document.Beside{Share: besideShare, Left: face, Right: facts}}
}

// labelFace draws the label of the fullest variant as described, one for all markets where
// its size holds that, else one for each; nothing where no size is stated.
func labelFace(v *show.View) []document.Block {
	size := v.A.Product.Label
	if size == nil || size.WidthMM == nil || size.Shape != labelsize.Round && size.HeightMM == nil {
		return nil
	}
	together := label.Labels(v.A, fullest(v).ID, label.LabelOptions{Together: true})
	if len(together) == 0 {
		return nil
	}
	out, drawn := faceOf(together[0], "label-drawn")
	if !drawn && len(v.A.Markets) > 1 {
		for _, l := range label.Labels(v.A, fullest(v).ID, label.LabelOptions{}) {
			one, _ := faceOf(l, "label-drawn-"+words.Itoa(len(out)))
			out = append(out, one...)
		}
	}
	return out
}

// faceOf draws a label, or says that its size does not hold the text.
func faceOf(l *label.ProductLabel, id string) (blocks []document.Block, drawn bool) {
	title := words.Joined(", ", "Label face", show.VariantName(l.Variant), words.JoinNames(l.MarketWords()))
	art, err := l.Artwork(false)
	if err != nil || art == nil {
		return []document.Block{document.Para(title +
			": the label of the stated size does not hold its text, so it is not drawn.")}, false
	}
	d := art.Drawing()
	d.ID, d.Title, d.MostMM = id, title, pictureMM
	note := label.LabelProof
	if len(art.Leaflet) > 0 {
		note += " What it has no room for is on a leaflet, which is not drawn."
	}
	return []document.Block{d, &document.Paragraph{Small: true, Spans: []document.Span{{Text: note}}}}, true
}

// photographs are those of the pack, two side by side.
func photographs(v *show.View) (out []document.Block) {
	var row *document.Beside
	for i, x := range v.A.Product.Pictures {
		b := &document.Picture{ID: "photograph-" + words.Itoa(i+1), Title: x.Caption, MostMM: pictureMM}
		data, there := v.A.Workshop.EvidenceFile(x.File)
		p, whole := photo.Print(data)
		switch {
		case !there:
			b.Missing = "The photograph is named in the file and is not on hand."
		case !whole:
			b.Missing = "The photograph is on hand and cannot be shown: it is no whole JPEG or PNG picture, or too large."
		default:
			b.JPEG, b.Width, b.Height = p.JPEG, p.Width, p.Height
		}
		if i%2 == 0 {
			row = &document.Beside{Left: []document.Block{b}}
			out = append(out, row)
		} else {
			row.Right = []document.Block{b}
		}
	}
	return out
}
