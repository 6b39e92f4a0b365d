package table

import (
	"fmt"
	"gallipot/ingredients"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Ready works out what stands beside the tables of a folder.
//
// Errors: those of [Read], and a name that cannot stand in a line.
func Ready(tables *Tables) (string, error) {
	parts := map[string]map[string]string{}
	for head := range new(ready).parts() {
		parts[head] = map[string]string{}
	}
	for _, info := range tables.Version() {
		parts["meaning"][info.Name] = info.Meaning
	}
	for _, info := range tables.info {
		parts["of"][info.Name] = strconv.Itoa(len(info.text))
	}
	n := tables.Names()
	for i, p := range tables.prohibited {
		for j, name := range namesInLaw(p) {
			key, at := hashed(ingredients.Letters(name)), fmt.Sprintf("%d.%d", i, j)
			parts["prohibited"][key] = strings.TrimPrefix(parts["prohibited"][key]+"|"+at, "|")
		}
	}
	parts["folded"] = n.Dict.Names().Folded()
	parts["standards"] = n.standards
	var err error
	if parts["plants"], err = tables.readyPlants(); err != nil {
		return "", err
	}
	for _, name := range tables.entryNames() {
		parts["canonical"][name] = n.Dict.Canonical(name)
	}
	var out strings.Builder
	for _, head := range slices.Sorted(maps.Keys(parts)) {
		lines := parts[head]
		out.WriteString(readyHead + head + "\n")
		for _, key := range slices.Sorted(maps.Keys(lines)) {
			if strings.ContainsAny(key, "\t\n") || strings.ContainsAny(lines[key], "\t\n") {
				return "", fmt.Errorf("%q: %q cannot stand in a line", key, lines[key])
			}
			out.WriteString(key + "\t" + lines[key] + "\n")
		}
	}
	return out.String(), nil
}

// entryNames are the names of which every assessment asks what they are merged under.
func (t *Tables) entryNames() []string {
	var names []string
	for _, a := range t.Allergens {
		for _, m := range a.Members {
			names = append(names, m.Name)
		}
	}
	for _, m := range t.Materials {
		for _, c := range m.Constituents {
			names = append(names, c.INCI)
		}
	}
	return names
}
