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
	typed = strings.TrimSpace(typed)
	var parts []Material
	for _, id := range w.SheetIDs() {
		name := w.Sheets[id].Name
		switch {
		case typed == "":
		case strings.EqualFold(name, typed) || id == typed:
			list = append(list, Material{id, cmp.Or(name, id), true})
		case strings.Contains(strings.ToLower(name), strings.ToLower(typed)):
			parts = append(parts, Material{id, name, false})
		}
	}
	if len(list) == 0 {
		return parts
	}
	return list
}
