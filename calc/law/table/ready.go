package table

import (
	_ "embed"
	"fmt"
	"hash/fnv"
	"strings"

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

// hashed is a short word for letters; whoever finds something by it compares the letters.
func hashed(letters string) string {
	h := fnv.New64a()
	_, _ = h.Write([]byte(letters))
	const room = 10 // hexadecimal digits: two names may share them
	return fmt.Sprintf("%016x", h.Sum64())[:room]
}
