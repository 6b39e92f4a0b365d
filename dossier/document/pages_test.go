package document_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/dossier/pack"
)

// A table has one number in the PDF and in the spreadsheet; those of the
// spreadsheet alone come after all others.
func TestTablesHaveOneNumber(t *testing.T) {
	doc := pack.Build(demoAssessment(t, "heath-wash"))
	whole, pages := doc.TableNumbers(), doc.ForPages().TableNumbers()
	assert.Greater(t, len(whole), len(pages))
	for table, n := range pages {
		assert.Equal(t, n, whole[table], table.Title)
	}
	for table, n := range whole {
		assert.Equal(t, table.InWorkbook, n > len(pages), table.Title)
	}
}
