package workshop

import (
	"cmp"
	"path"
	"slices"
	"strings"
)

// Without are the products that are left out of a workshop because their own file or
// a sheet that they use could not be read, and the files that say so.
type Without struct {
	Products []string // ids; the name of the file where it has no id that can be read
	Files    []string
}

// Reach returns the workshop without the products that rest on a file that could not
// be read, so that the others can be worked with. ok is false where something that
// every product rests on could not be read: the workshop's own file, a record of a
// batch, a paper or a table of the maker's.
func (w *Workshop) Reach() (rest *Workshop, without Without, ok bool) {
	broken := map[string]bool{}
	for _, f := range w.Loaded {
		if !f.Unread {
			continue
		}
		switch path.Dir(f.Pos.File) {
		case "products", "ingredients", "lots":
			broken[f.Pos.File] = true
		default:
			return w, Without{}, false
		}
	}
	if len(broken) == 0 {
		return w, Without{}, true
	}
	out := *w
	out.Products = w.Computable(w.Products)
	for _, p := range w.Products {
		if !slices.Contains(out.Products, p) {
			without.Products = append(without.Products, cmp.Or(p.ID, IDOfFile(p.Source.Name)))
		}
	}
	for f := range broken {
		without.Files = append(without.Files, f)
		id := IDOfFile(f)
		if strings.HasPrefix(f, "products/") && !slices.ContainsFunc(w.Products, func(p *Product) bool {
			return p.Source.Name == f
		}) && !slices.Contains(without.Products, id) {
			without.Products = append(without.Products, id) // it could not be parsed at all
		}
	}
	slices.Sort(without.Products)
	slices.Sort(without.Files)
	return &out, without, true
}
