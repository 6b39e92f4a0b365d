package assess

import (
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// materialsOf names the raw materials that things are about, each once.
func materialsOf(things finding.Values) []string {
	var names []string
	for _, x := range things {
		if m, ok := x.List.Get("material"); ok {
			x = m
		}
		names = words.AddOnce(names, x.Text)
	}
	return names
}
