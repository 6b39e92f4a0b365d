package condition

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "the condition is empty: write all"},
		{"rinsed-off", `unknown condition "rinsed-off": did you mean rinse-off?`},
		{"rinse-off & ", `unknown condition ""`},
		{"area=foot", `unknown condition "area=foot"`},
		{"area=", `unknown condition "area="`},
		{"areas=face", `unknown condition "areas": did you mean area?`},
		{"product=shampo", `unknown condition "product=shampo": did you mean shampoo?`},
		{"population=under-4", "unknown condition \"population=under-4\": did you mean under-3?"},
		{"function=preservatives", "did you mean preservative?"},
		{"claim=sun", `unknown condition "claim=sun"`},
		{"except=area=face", `unknown condition "area=face"`},
		{"except=body", `unknown condition "body"`},
		{"except=areas:face", `unknown condition "areas"`},
		{"area:face", `unknown condition "area:face"`},
		{"released-formaldehyde>", "has no figure in % behind released-formaldehyde>"},
		{"released-formaldehyde>-1", "has no figure in %"},
		{"released-formaldehyde>=0.1", "has no figure in %"},
		{"butadiene>0.1", `unknown condition "butadiene>0.1"`},
		{"ALL", `unknown condition "ALL": did you mean all?`},
	} {
		_, err := Parse(c.text)
		require.ErrorContains(t, err, c.want, "%q", c.text)
	}
}

// What a condition says of itself.
func TestConditionAsks(t *testing.T) {
	for text, always := range map[string]bool{"all": true, "all & rinse-off": false, "rinse-off": false,
		"rinse-off|nano": false, "except=natural-content": false, "area=face|eye": false, "all|nano": false} {
		c, err := Parse(text)
		require.NoError(t, err, text)
		assert.Equal(t, always, c.Always(), text)
		assert.Equal(t, text, c.String())
	}
	assert.False(t, Condition{}.Always())
	assert.False(t, Condition{Clauses: []Clause{{Except: true, Terms: []Term{{Kind: "all"}}}}}.Always())
	c, err := Parse("rinse-off & population=under-3|children & released-formaldehyde>0")
	require.NoError(t, err)
	assert.True(t, c.Mentions("population") && c.Mentions("rinse-off"))
	assert.False(t, c.Mentions("nano"))
	assert.Equal(t, []string{"rinse-off", "population=children", "released-formaldehyde>0"},
		[]string{c.Clauses[0].Terms[0].String(), c.Clauses[1].Terms[1].String(), c.Clauses[2].Terms[0].String()})
}

// Codes are named in order where none is near, and what follows from codes is told once.
func TestCodesInOrder(t *testing.T) {
	assert.True(t, slices.IsSorted(codeWords()))
	areas, codes := Expand(nil, []string{"mascara", "mascara", "eye-product"})
	assert.Equal(t, []string{"eye", "skin"}, areas)
	assert.Equal(t, []string{"eye-makeup", "eye-product", "makeup", "mascara"}, codes)
}
