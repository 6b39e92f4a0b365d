package frame

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What a printed document says of files is said as it is done on a page. Findings have words of
// their own for it, in templates/findings.
func TestPlain(t *testing.T) {
	for said, want := range map[string]string{
		"Ask A for a statement on B, and enter it as a document of kind purity.": "Ask A for a statement on B, and file it: kind “purity statement”.",
		"no batch is named: give --batch to print it":                            "no batch is named: type it on this page to print it",
		"write contact: {name: …} under the responsible person in workshop.yaml": "enter whom to reach on the page of the workshop",
		"say so in the product file":                                             "say so on the page What it is",
		"Reduce it to 0.5 % or less.":                                            "Reduce it to 0.5 % or less.",
	} {
		t.Run(said, func(t *testing.T) { require.Equal(t, want, plain(said)) })
	}
}
