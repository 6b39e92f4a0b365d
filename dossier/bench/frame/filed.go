package frame

import (
	"slices"

	"gallipot/dossier/workshop"
	"gallipot/ingredients"
)

// filed finds what stands in a file of a workshop.
type filed struct {
	products map[string]*workshop.Product
	ids      map[string]string // of sheets
	sheets   map[string]*ingredients.Sheet
	batches  map[string]string // codes
}

func filedOf(w *workshop.Workshop) *filed {
	at := &filed{make(map[string]*workshop.Product, len(w.Products)), make(map[string]string, len(w.Sheets)),
		w.Sheets, map[string]string{}}
	for _, p := range slices.Backward(w.Products) { // of two of one file the first counts
		at.products[p.Source.Name] = p
	}
	for id := range w.Sheets {
		if src := w.SheetSource(id); src != nil {
			at.ids[src.Name] = id
		}
	}
	for _, b := range slices.Backward(w.BatchRecords) {
		at.batches[b.Source.Name] = b.Code
	}
	return at
}
