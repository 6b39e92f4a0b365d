package recalc

import (
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/words"
)

// cellNames makes names for cells that spreadsheets accept, each once.
type cellNames struct{ taken map[string]bool }

func newCellNames() *cellNames { return &cellNames{taken: map[string]bool{}} }

// of returns a name of a kind of figure for a thing, such as PoD_Glycerin. A name
// that is taken gets a number.
func (n *cellNames) of(kind, thing string) string {
	base := kind + "_" + nameWords(thing)
	if len(base) > document.LongestName-5 {
		base = base[:document.LongestName-5]
	}
	name := base
	for i := 2; n.taken[strings.ToLower(name)]; i++ {
		name = base + "_" + words.Itoa(i)
	}
	n.taken[strings.ToLower(name)] = true
	return name
}

// nameWords turns words into what a name may hold: ASCII letters and digits, the
// rest as single underlines.
func nameWords(s string) string {
	var b strings.Builder
	gap := false
	for _, r := range s {
		switch {
		case r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9':
			if gap && b.Len() > 0 {
				b.WriteByte('_')
			}
			gap = false
			b.WriteRune(r)
		default:
			gap = true
		}
	}
	if b.Len() == 0 {
		return "x"
	}
	return b.String()
}
