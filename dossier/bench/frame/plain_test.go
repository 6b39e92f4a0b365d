package frame

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What is to be done is said as it is done on a page: no folder, no key of a file.
func TestPlain(t *testing.T) {
	for said, want := range map[string]string{
		"Ask A for them (write the letter), put the files into evidence/ and enter them under documents.": "Ask A for them (write the letter) and file them on its page.",
		"Ask A for a statement on B, and enter it as a document of kind purity.":                          "Ask A for a statement on B, and file it: kind “purity statement”.",
		"Have it tested (ISO 11930) and enter it under microbiology.":                                     "Have it tested (ISO 11930) and enter it on the page Tests.",
		"write durability: {best_before_months: …} or {pao_months: …}":                                    "enter how long it keeps, or how long once opened",
		"Enter the reason under stability.covers, or have the variant tested.":                            "Enter the reason at the test, or have the variant tested.",
		"find the weighing error, or write the reason under yield (reason: …)":                            "find the weighing error, or enter the reason under “What came out”",
		"leave it out of filled_units and filled_g; if not":                                               "leave it out of the packs filled and of their mass; if not",
		"Reduce it to 0.5 % or less.":                                                                     "Reduce it to 0.5 % or less.",
	} {
		t.Run(said, func(t *testing.T) { require.Equal(t, want, plain(said)) })
	}
}
