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
		"hazards of the material (dossier-contents.csv, row A2a)":                "hazards of the material",
		"ISO 22716 7.2 and 9 (stability-micro.csv, rows B3, B9 to B12).":         "ISO 22716 7.2 and 9.",
		"Transition of Regulation (EU) 2023/1545; allergens.csv.":                "Transition of Regulation (EU) 2023/1545.",
		"exposure.csv hand-wash-soap":                                            "exposure: hand-wash-soap",
		"limits/own.csv is not read":                                             "limits/own.csv is not read",
		"Reduce it to 0.5 % or less.":                                            "Reduce it to 0.5 % or less.",
	} {
		t.Run(said, func(t *testing.T) { require.Equal(t, want, plain(said)) })
	}
}
