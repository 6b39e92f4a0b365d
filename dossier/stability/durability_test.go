package stability

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/table"
	"gallipot/dossier/evidence"
)

func TestTablesHoldWhatDurabilityNeeds(t *testing.T) {
	f := &evidence.Filing{Law: table.Builtin()}
	assert.Equal(t, "40", WarmStore(f).Exact())
	assert.Equal(t, 20, f.ReportDays(), "dossier-contents.csv, row X9")
}
