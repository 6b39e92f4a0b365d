package running

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A title stands in another form than the lines below it; water that is half of all does not.
func TestPrintedForm(t *testing.T) {
	for text, want := range map[string]string{
		"150 g olive oil": "amount first", "Marigold salve, 250 g": "name first,", "Water 500 g": "name first",
		"Salbe (250 g)": "name first(", "Water: 500 g": "name first:",
	} {
		assert.Equal(t, want, printedForm(text), text)
	}
}
