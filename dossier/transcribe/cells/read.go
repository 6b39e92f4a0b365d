package cells

import (
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// Read gives the items of a paper.
func Read(f *paper.File, words *lexicon.Lexicon) []Item {
	r := &reader{words: words, roles: map[string]string{}, headings: map[string]string{}, single: map[string]bool{}}
	for _, p := range f.Pages {
		if f.Form == paper.PDF {
			r.page(p)
		} else {
			r.sheet(p, f.Form)
		}
	}
	return r.items
}
