package dossier

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A table has one number in the PDF and in the spreadsheet; those of the
// spreadsheet alone come after all others.
func TestTablesHaveOneNumber(t *testing.T) {
	doc := Pack(demoAssessment(t, "heath-wash"))
	whole, pages := doc.tableNumbers(), doc.forPages().tableNumbers()
	assert.Greater(t, len(whole), len(pages))
	for table, n := range pages {
		assert.Equal(t, n, whole[table], table.Title)
	}
	for table, n := range whole {
		assert.Equal(t, table.InWorkbook, n > len(pages), table.Title)
	}
}
