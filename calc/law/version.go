package law

import (
	"cmp"
	"regexp"
	"slices"

	"gallipot/ingredients"
)

// TableInfo says which state of a table the program holds.
type TableInfo struct {
	Name   string
	Rows   int
	Seen   int // rows whose figures were read in their source
	Memory int // rows that rest on memory in part or whole
	// Newest is the latest day a source of the table bears, a year alone as its
	// first day; zero where no source bears any.
	Newest       ingredients.Date
	NewestSource string // the source that bears it
	SHA256       string // of the table's bytes
}

var sourceDate = regexp.MustCompile(`\b(?:19|20)\d\d-\d\d-\d\d\b`)
var sourceYear = regexp.MustCompile(`\b(?:Reg \(EU\)|SI|Reg\. \(EU\)) ((?:19|20)\d\d)/`)

func (i *TableInfo) count(r *Row) {
	i.Rows++
	if r.FromMemory() {
		i.Memory++
	} else {
		i.Seen++
	}
	for _, text := range sourceDate.FindAllString(r.Source, -1) {
		if d, err := ingredients.ParseDate(text); err == nil {
			i.newer(d, r.Source)
		}
	}
	for _, m := range sourceYear.FindAllStringSubmatch(r.Source, -1) {
		if d, err := ingredients.ParseDate(m[1] + "-01-01"); err == nil {
			i.newer(d, r.Source)
		}
	}
}

func (i *TableInfo) newer(d ingredients.Date, source string) {
	if i.Newest.Before(d) {
		i.Newest, i.NewestSource = d, source
	}
}

// Version returns what each table holds, sorted by name; the fingerprint and
// the last page of the pack rest on it.
func (t *Tables) Version() []TableInfo {
	out := slices.Clone(t.info)
	slices.SortFunc(out, func(a, b TableInfo) int { return cmp.Compare(a.Name, b.Name) })
	return out
}
