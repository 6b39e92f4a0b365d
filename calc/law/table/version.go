package table

import (
	"cmp"
	"regexp"
	"slices"
)

// TableInfo says which state of a table the program holds.
type TableInfo struct {
	Name   string
	Rows   int
	Seen   int // rows whose figures were read in their source
	Memory int // rows that rest on memory in part or whole
	// Newest is the latest day or year a source of the table bears, YYYY-MM-DD or
	// YYYY; empty where no source bears any.
	Newest       string
	NewestSource string // the source that bears it
	SHA256       string // of the table's bytes
}

var sourceDate = regexp.MustCompile(`\b(?:19\d\d|20[0-4]\d)(?:-\d\d-\d\d)?\b`)

func (i *TableInfo) count(r *Row) {
	i.Rows++
	if r.FromMemory() {
		i.Memory++
	} else {
		i.Seen++
	}
	for _, text := range sourceDate.FindAllString(r.Source, -1) {
		if i.Newest < text {
			i.Newest, i.NewestSource = text, r.Source
		}
	}
}

// Version returns what each table holds, sorted by name; the fingerprint and
// the last page of the pack rest on it.
func (t *Tables) Version() []TableInfo {
	out := slices.Clone(t.info)
	slices.SortFunc(out, func(a, b TableInfo) int { return cmp.Compare(a.Name, b.Name) })
	return out
}
