package finding_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/finding"
)

func TestSeverityAsText(t *testing.T) {
	assert.Equal(t, []string{"stop", "ask", "note"}, []string{finding.Stop.String(), finding.Ask.String(), finding.Note.String()})
	text, err := json.Marshal(finding.Ask)
	require.NoError(t, err)
	assert.Equal(t, `"ask"`, string(text))
}
