package watched

import (
	"maps"
	"slices"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// keep takes over from the shot before what was computed of products that the changed
// files do not touch.
func (s *Shot) keep(old *Shot, changed map[string]bool) {
	t, ok := touchedBy(old.Workshop, s.Workshop, changed)
	if !ok {
		return
	}
	old.mu.Lock()
	defer old.mu.Unlock()
	s.assessed, s.checked = map[string]*once{}, map[string]*checked{}
	for _, p := range s.Workshop.Products {
		if o := old.assessed[p.Source.Name]; o != nil && o.done.Load() && !t.touches(p, o.a) {
			s.assessed[p.Source.Name] = &once{a: s.moved(o.a)}
		}
		if c := old.checked[p.Source.Name]; c != nil && !t.touches(p, c.a) {
			s.checked[p.Source.Name] = &checked{s.moved(c.a), c.batches, c.keys}
		}
	}
}

// moved is an assessment of the shot before as one of this shot.
func (s *Shot) moved(a *assess.Assessment) *assess.Assessment {
	b := *a
	b.Workshop, b.Options.Session = s.Workshop, s.Options.Session
	return &b
}

// touched is what a change touches.
type touched struct {
	old, now  *workshop.Workshop
	suppliers map[string]bool // of sheets that changed, as they were and as they are
	// alike says that every sheet is as it was, and what was found on reading: products then are what
	// they are made of.
	alike bool
}

// touchedBy says what changed files touch; false where that may be every product.
func touchedBy(old, now *workshop.Workshop, changed map[string]bool) (*touched, bool) {
	t := &touched{old: old, now: now, suppliers: map[string]bool{}}
	for name := range changed {
		folder, _, inside := strings.Cut(name, "/")
		switch {
		case inside && folder == "products", !inside && slices.Contains(watched, folder):
		case inside && folder == "ingredients" && len(now.OwnLimits) == 0:
			for _, w := range []*workshop.Workshop{old, now} {
				for id, file := range w.SheetFile {
					if s := w.Sheets[id]; file == name && s != nil {
						t.suppliers[s.Supplier.Name] = true
					}
				}
			}
		default:
			return nil, false
		}
	}
	paper := func(f finding.Finding) bool {
		return f.Code == workshop.CodeEvidenceMissing || f.Code == workshop.CodeEvidenceOutside
	}
	if !sameFindings(old.Loaded, now.Loaded, paper) {
		return nil, false
	}
	t.alike = maps.Equal(old.Sheets, now.Sheets) && maps.Equal(old.SheetFile, now.SheetFile) &&
		sameFindings(old.Loaded, now.Loaded, func(finding.Finding) bool { return true })
	return t, true
}

// touches says whether a change touches a product, of which a was computed before.
func (t *touched) touches(p *workshop.Product, a *assess.Assessment) bool {
	if a.Entered != t.old.Product(p.ID) || a.Entered != p {
		return true
	}
	if t.alike {
		return false
	}
	files := map[string]bool{p.Source.Name: true}
	same := true
	workshop.EachReference(p.Product, func(id string, _ exact.Pos) {
		sheet, file := t.now.Sheets[id], t.now.SheetFile[id]
		files[file] = true
		same = same && (id == "" || sheet != nil && sheet == t.old.Sheets[id] && file == t.old.SheetFile[id] &&
			!t.supplies(sheet))
	})
	return !same || !sameFindings(t.old.Loaded, t.now.Loaded, func(f finding.Finding) bool { return files[f.Pos.File] })
}

// supplies says whether the supplier of a sheet is one of a sheet that changed.
func (t *touched) supplies(s *ingredients.Sheet) bool {
	for name := range t.suppliers {
		if ingredients.HasKey(name, ingredients.NameKey(s.Supplier.Name)) {
			return true
		}
	}
	return false
}

// sameFindings says whether those of two lists that are looked at say the same.
func sameFindings(a, b []finding.Finding, look func(finding.Finding) bool) bool {
	of := func(list []finding.Finding) (keys []string) {
		for _, f := range list {
			if look(f) {
				keys = append(keys, f.Key())
			}
		}
		return keys
	}
	return slices.Equal(of(a), of(b))
}
