package calc

import (
	"gallipot/calc/formula/formulatest"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The aluminium hydroxide of a lake does not colour and is listed under its own
// name; sold as a colourant it is CI 77002. The glossary lists both names.
func TestSubstrateOfALakeIsNoColourant(t *testing.T) {
	names := func(parts ...string) (out []string) {
		for _, e := range job(t, "lip-balm", "5", formulatest.Material(t, "m", "colorant", parts...), nil).List.Entries {
			out = append(out, e.Name)
		}
		return out
	}
	assert.Contains(t, names("CI 15850", "60", "Aluminum Hydroxide", "40"), "Aluminum Hydroxide")
	assert.Contains(t, names("Titanium Dioxide", "95", "Aluminum Hydroxide", "5"), "Aluminum Hydroxide")
	assert.Contains(t, names("Aluminum Hydroxide", "100"), "CI 77002")
}
