package finding

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestCount(t *testing.T) {
	assert.Equal(t, Counts{}, Count(nil))
	fs := []Finding{{Severity: Ask}, {Severity: Stop}, {Severity: Ask}, {Severity: Note}, {Severity: Note},
		{Severity: Note}}
	assert.Equal(t, Counts{Stop: 1, Ask: 2, Note: 3}, Count(fs))
}
