package workshop

import (
	"path"
	"slices"

	"gallipot/ingredients/exact"
)

// Computable returns those of the products whose own file and sheets could all
// be read. No figure may rest on a file with a finding that says Unread: what
// could not be read from it would count as nothing.
func (w *Workshop) Computable(products []*Product) []*Product {
	unread := map[string]bool{} // files, and ids of sheets
	for _, f := range w.Loaded {
		if f.Unread {
			unread[f.Pos.File] = true
			if path.Dir(f.Pos.File) == "ingredients" {
				unread["sheet "+IDOfFile(f.Pos.File)] = true
			}
		}
	}
	for id, file := range w.SheetFile {
		if unread[file] {
			unread["sheet "+id] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(products), func(p *Product) bool {
		blocked := unread[p.Source.Name]
		EachReference(p.Product, func(id string, _ exact.Pos) { blocked = blocked || unread["sheet "+id] })
		return blocked
	})
}
