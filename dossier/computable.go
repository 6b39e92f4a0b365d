package dossier

import (
	"path"
	"slices"

	"gallipot/ingredients"
)

// Computable returns those of the products whose own file and sheets could all
// be read. No figure may rest on a file with a finding that says Unread: what
// could not be read from it would count as nothing.
func (w *Workshop) Computable(products []*Product) []*Product {
	unread := map[string]bool{} // files, and ids of sheets
	for _, f := range w.loaded {
		if f.Unread {
			unread[f.Pos.File] = true
			if path.Dir(f.Pos.File) == "ingredients" {
				unread["sheet "+idOfFile(f.Pos.File)] = true
			}
		}
	}
	for id, file := range w.sheetFile {
		if unread[file] {
			unread["sheet "+id] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(products), func(p *Product) bool {
		blocked := unread[p.Source.Name]
		eachReference(p.Product, func(id string, _ ingredients.Pos) { blocked = blocked || unread["sheet "+id] })
		return blocked
	})
}
