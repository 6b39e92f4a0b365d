package finding

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSeverityAsText(t *testing.T) {
	assert.Equal(t, []string{"stop", "ask", "note"}, []string{Stop.String(), Ask.String(), Note.String()})
	text, err := json.Marshal(Ask)
	require.NoError(t, err)
	assert.Equal(t, `"ask"`, string(text))
}
