package frame

import (
	"cmp"
	"strings"

	"gallipot/dossier/workshop"
)

// Material is a raw material that a text may mean.
type Material struct {
	ID, Name string
	Whole    bool // the text is its name or its id, not a part of it
}

// Materials are those that a text may mean: whose name or id it is; where there is none, all with
// the text in their name. Capitals make no difference.
func Materials(w *workshop.Workshop, typed string) (list []Material) {
	if typed = strings.TrimSpace(typed); typed == "" {
		return nil
	}
	low := strings.ToLower(typed)
	var parts []Material
	for _, id := range w.SheetIDs() {
		name := w.Sheets[id].Name
		switch {
		case strings.EqualFold(name, typed) || id == typed:
			list = append(list, Material{id, cmp.Or(name, id), true})
		case len(list) == 0 && strings.Contains(strings.ToLower(name), low):
			parts = append(parts, Material{id, name, false})
		}
	}
	if len(list) == 0 {
		return parts
	}
	return list
}
