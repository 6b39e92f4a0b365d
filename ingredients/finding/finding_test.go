package finding

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The keys and words of a finding in JSON, as the README documents them.
func TestFindingAsJSON(t *testing.T) {
	f := Findingf(Ask, "no-certificate", Pos{File: "ingredients/fo.yaml", Line: 3, Col: 5}, "%s has no certificate", "fo").On("fo").AskOf("A supplier").
		WithWhy("the most allowed is unknown; %s", "category 9").WithFix("ask for it")
	f.Items = []string{"Linalool", "Citral"}
	text, err := json.Marshal(f)
	require.NoError(t, err)
	assert.JSONEq(t, `{"severity": "ask", "code": "no-certificate", "subject": "fo", "message": "fo has no certificate", "fix": "ask for it",
		"why": "the most allowed is unknown; category 9", "items": ["Linalool", "Citral"], "ask_whom": "A supplier"}`, string(text))
	assert.Equal(t, []string{"stop", "ask", "note"}, []string{Stop.String(), Ask.String(), Note.String()})
}

// Things that are lists themselves are parted by semicolons.
func TestFindingText(t *testing.T) {
	f := Findingf(Note, "x", Pos{}, "these are open")
	assert.Equal(t, "these are open", f.Text())
	f.Items = []string{"a", "b"}
	assert.Equal(t, "these are open: a, b", f.Text())
	assert.False(t, f.ItemsHoldLists())
	f.Items = []string{"a: 1, 2", "b: 3"}
	assert.True(t, f.ItemsHoldLists())
	assert.Equal(t, "these are open: a: 1, 2; b: 3", f.Text())
}
