package filing

import (
	"slices"

	"gallipot/ingredients/finding"
)

// Apart names the findings that only one of two lists has, in the words that text gives.
func Apart(before, after []finding.Finding, text func(finding.Finding) string) (gone, come []string) {
	texts := func(fs []finding.Finding) (list []string) {
		for _, f := range fs {
			list = append(list, text(f))
		}
		return list
	}
	was, is := texts(before), texts(after)
	only := func(list, other []string) []string {
		return slices.DeleteFunc(slices.Clone(list), func(t string) bool { return slices.Contains(other, t) })
	}
	return only(was, is), only(is, was)
}
