package finding_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients/finding"
)

func TestCount(t *testing.T) {
	assert.Equal(t, finding.Counts{}, finding.Count(nil))
	fs := []finding.Finding{{Severity: finding.Ask}, {Severity: finding.Stop}, {Severity: finding.Ask}, {Severity: finding.Note}, {Severity: finding.Note},
		{Severity: finding.Note}}
	assert.Equal(t, finding.Counts{Stop: 1, Ask: 2, Note: 3}, finding.Count(fs))
}
