package rows

import (
	"strings"
)

// Bars returns the items of a cell joined by bars: chemical names hold commas
// and semicolons.
func (r *Record) Bars(col string) []string {
	var out []string
	for item := range strings.SplitSeq(r.Text(col), "|") {
		if item = strings.TrimSpace(item); item != "" {
			out = append(out, item)
		}
	}
	return out
}
