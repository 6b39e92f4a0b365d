package table

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"gallipot/ingredients"
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
	parts["marks"] = tables.readyMarks()
	parts["folded"] = n.Dict.Names().Folded()
	parts["standards"] = n.standards
	var err error
	if parts["plants"], err = tables.readyPlants(); err != nil {
		return "", err
	}
	for _, name := range tables.entryNames() {
		if parts["canonical"][name] = n.Dict.Canonical(name); parts["canonical"][name] == name {
			parts["canonical"][name] = ""
		}
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
	lines, err := tables.entryWords()
	out.WriteString(readyHead + entriesHead + "\n" + lines)
	return out.String(), err
}

// entryWords are the lines of [entryWords].
func (t *Tables) entryWords() (string, error) {
	var lines []string
	for i, p := range t.entries.all() {
		for _, name := range slices.Concat(p.Names, p.ChemicalNames, p.Linked) {
			lines = append(lines, wordOf(bareName(name))+digits(uint64(i), placeLength),
				wordOf(bareName(ingredients.NameKey(name)))+digits(uint64(i), placeLength))
		}
		for _, number := range slices.Concat(p.CAS, p.EC, p.MisprintedEC) {
			lines = append(lines, wordOf(number)+digits(uint64(i), placeLength))
		}
	}
	if most := len(wordDigits) * len(wordDigits); t.entries.count > most {
		return "", fmt.Errorf("%d rows are more than %d", t.entries.count, most)
	}
	slices.Sort(lines)
	return strings.Join(slices.Compact(lines), "\n") + "\n", nil
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
