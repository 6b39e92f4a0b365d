package table

import (
	_ "embed"
	"fmt"
	"hash/fnv"
	"maps"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/law/annex"
	"gallipot/ingredients"
	"gallipot/ingredients/namelist"
)

// What follows from the tables inside the program stands beside them, worked out before:
// to find it out takes a small check longer than all it asks for. `go run ./testdata/ready`
// writes it; TestReady makes it again and compares.

//go:embed ready.txt
var readyText string

// ready is what was worked out of a set of tables. Each part is sorted by its keys.
type ready struct {
	of         namelist.Sorted // table → how many bytes it had
	meaning    namelist.Sorted // table → [TableInfo.Meaning]
	prohibited namelist.Sorted // hash of letters → names in prohibited.csv, as row.name
	canonical  namelist.Sorted // name in a table → the one it is merged under
	folded     namelist.Sorted // letters → name of the tables that they spell
	standards  namelist.Sorted // substance of a Standard → the one it is another spelling of
	plants     namelist.Sorted // place in [Tables.EveryLimit] → its names of plant materials, by bars
}

// parts are the parts of ready by their heads.
func (r *ready) parts() map[string]*namelist.Sorted {
	return map[string]*namelist.Sorted{"of": &r.of, "meaning": &r.meaning, "prohibited": &r.prohibited,
		"canonical": &r.canonical, "folded": &r.folded, "standards": &r.standards,
		"plants": &r.plants}
}

const readyHead = "== "

// openReady cuts the text into its parts.
func openReady(text string) *ready {
	r := &ready{}
	parts := r.parts()
	for part := range strings.SplitSeq(text, "\n"+readyHead) {
		head, lines, _ := strings.Cut(part, "\n")
		if into := parts[strings.TrimPrefix(head, readyHead)]; into != nil {
			*into = namelist.Sorted(lines)
		}
	}
	return r
}

// takeReady takes what was worked out before, if it was of these tables.
func (t *Tables) takeReady(text string) {
	r := openReady(text)
	for _, table := range t.info {
		if size, _ := r.of.Find(table.Name); size != strconv.Itoa(len(table.text)) {
			return
		}
	}
	for i := range t.info {
		t.info[i].Meaning, _ = r.meaning.Find(t.info[i].Name)
	}
	t.ready = r
}

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

// dictionary returns a new dictionary, with what is ready of it.
func (t *Tables) dictionary() *ingredients.Dictionary {
	d := ingredients.NewDictionary()
	if t.ready != nil {
		d.Ready(t.prohibitedOf, t.ready.canonical, t.ready.folded)
	}
	return d
}

// hashed is a short word for letters; whoever finds something by it compares the letters.
func hashed(letters string) string {
	h := fnv.New64a()
	_, _ = h.Write([]byte(letters))
	const room = 10 // hexadecimal digits: two names may share them
	return fmt.Sprintf("%016x", h.Sum64())[:room]
}

// prohibitedOf finds the names in the list of prohibited substances that have the letters.
func (t *Tables) prohibitedOf(letters string) []string {
	found, ok := t.ready.prohibited.Find(hashed(letters))
	if !ok {
		return nil
	}
	var names []string
	for at := range strings.SplitSeq(found, "|") {
		row, place, _ := strings.Cut(at, ".")
		i, _ := strconv.Atoi(row)
		j, _ := strconv.Atoi(place)
		name := namesInLaw(t.prohibited[i])[j]
		if ingredients.Letters(name) == letters && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// namesInLaw are the names of an entry that are known as they stand.
func namesInLaw(p *annex.Prohibition) []string { return slices.Concat(p.Names, p.ChemicalNames) }
