package pdf

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
)

// TestPDFIntroStaysWithItsSubsection: a section that only introduces others is not
// left at the foot of a page, with what it introduces overleaf.
func TestPDFIntroStaysWithItsSubsection(t *testing.T) {
	for lines := 30; lines < 60; lines++ {
		d := &document.Document{Title: "T", NoContents: true}
		before := d.AddSection("before", "Before")
		for i := range lines {
			before.Add(document.Para(fmt.Sprintf("line%d", i)))
		}
		lists := d.AddSection("lists", "Lists")
		lists.Intro = "introduced"
		lists.AddSection("list", "Inner").Add(document.Para("content"))
		pages := pagesOf(t, d)
		require.NotZero(t, pages["content"])
		require.Equal(t, pages["content"], pages["introduced"], "after %d lines", lines)
		require.Equal(t, pages["content"], pages["Lists"], "after %d lines", lines)
	}
}
