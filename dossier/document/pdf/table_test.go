package pdf

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
)

// pagesOf lays a document out and returns the page that each text is on, by its
// first word; words that stand twice keep their last page.
func pagesOf(t *testing.T, d *document.Document) map[string]int {
	t.Helper()
	d.NumberSections()
	_, all := watched(t, d)
	pages := map[string]int{}
	for _, p := range all {
		pages[p.s] = p.page
	}
	return pages
}

// TestPDFNotesStayWithTheirTable: fourteen lines of notes, some 50 mm, stand on the
// page of the last row wherever on the page the table ends.
func TestPDFNotesStayWithTheirTable(t *testing.T) {
	for rows := 25; rows < 75; rows++ {
		d := &document.Document{Title: "T", NoContents: true}
		table := &document.Table{ID: "t", Title: "Rows", Columns: []document.Column{{Head: "Row"}}}
		for i := range rows {
			table.Add(document.TextCell(fmt.Sprintf("row%d", i+1)))
		}
		for i := range 14 {
			table.Note(fmt.Sprintf("note%d", i+1))
		}
		d.AddSection("s", "Section").Add(table)
		pages := pagesOf(t, d)
		last := pages[fmt.Sprintf("row%d", rows)]
		require.NotZero(t, last)
		for i := range 14 {
			require.Equal(t, last, pages[fmt.Sprintf("note%d", i+1)], "note %d below %d rows", i+1, rows)
		}
	}
}
