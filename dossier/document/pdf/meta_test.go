package pdf

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document/documenttest"
)

func TestPDFRefusesAttachments(t *testing.T) {
	for want, list := range map[string][]Attachment{
		"no name":              {{}},
		"must not hold":        {{Name: "a/b"}},
		"there twice":          {{Name: "a"}, {Name: "a"}},
		"unknown relationship": {{Name: "a", Relationship: "Cousin"}},
	} {
		_, _, err := Render(documenttest.Small(), list)
		require.ErrorContains(t, err, want)
	}
}
