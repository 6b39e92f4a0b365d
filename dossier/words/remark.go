package words

import (
	"maps"
	"slices"
	"strings"

	"gallipot/ingredients/finding"
)

// Remark is one thing that is said on an item of the file: a code of templates/readiness,
// and its values.
type Remark struct {
	Code   string
	Values finding.Values
}

// InFull puts remarks into words.
func InFull(list []Remark) string { return (&speaker{reader: Files, table: wordings()}).remarks(list) }

// InLine puts remarks into the words for one line of a page.
func InLine(list []Remark) string {
	return (&speaker{reader: Files, table: wordings(), short: true}).remarks(list)
}

func (s *speaker) remarks(list []Remark) string {
	said := make([]string, len(list))
	for i, r := range list {
		said[i] = s.value(finding.Value{Kind: finding.KindTerm, Text: r.Code, List: r.Values})
	}
	return strings.Join(said, "; ")
}

// RemarkFaults lists what is wrong between a remark and its wording, as [Faults] does for
// a finding.
func RemarkFaults(r Remark) []string {
	c := &checking{speaker: &speaker{table: wordings()}}
	if c.table.remarks[r.Code] == nil {
		c.fault("%s: no words in templates/readiness", r.Code)
	}
	c.value(r.Code, finding.Value{Kind: finding.KindTerm, Text: r.Code, List: r.Values})
	return c.faults
}

// RemarkCodes lists the codes that templates/readiness has words for.
func RemarkCodes() []string { return slices.Sorted(maps.Keys(wordings().remarks)) }
