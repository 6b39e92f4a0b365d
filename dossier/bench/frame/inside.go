package frame

import (
	"regexp"
)

var heading = regexp.MustCompile(`<(/?)h([1-5])\b`)

// Inside returns the body of a document of package dossier, which its printer has escaped,
// for a place inside a page: its headings go down by one rank, under that of the page.
func Inside(body string) HTML {
	return HTML(heading.ReplaceAllStringFunc(body, func(s string) string {
		b := []byte(s)
		b[len(b)-1]++
		return string(b)
	}))
}
