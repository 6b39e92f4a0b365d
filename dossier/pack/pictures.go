package pack

import (
	"gallipot/dossier/document"
	"gallipot/dossier/photo"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// pictureMM is the height of a photograph on a page, at most, in mm.
const pictureMM = 75

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
