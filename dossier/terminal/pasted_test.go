package terminal

import (
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPasted: the shell gives a program the very word, whatever it holds.
func TestPasted(t *testing.T) {
	for _, word := range []string{"demo", "my-workshop", "Müller", "Müller & Söhne", "a b", "it's", `a"b`,
		"$HOME", "`id`", "a!b", "a;b", "a*b", "~x", "#x", `a\b`, "(x)", "<x>", "中", "a\nb"} {
		if _, err := exec.LookPath("sh"); err != nil {
			break // what a shell reads is tried where there is one
		}
		out, err := exec.Command("sh", "-c", "printf %s "+pastedOn("linux", word)).Output()
		require.NoError(t, err, word)
		assert.Equal(t, word, string(out), word)
	}
	assert.Equal(t, "./-x", pastedOn("linux", "-x"))
	assert.Equal(t, "demo", pastedOn("linux", "demo"))
	assert.Equal(t, `"Müller & Söhne"`, pastedOn("linux", "Müller & Söhne"))
	assert.Equal(t, `"Müller & Söhne"`, pastedOn("windows", "Müller & Söhne"))
	assert.Equal(t, `C:\Shop\demo`, pastedOn("windows", `C:\Shop\demo`))
	for _, word := range []string{"a b", "a&b", "(x)"} {
		assert.True(t, strings.HasPrefix(pastedOn("windows", word), `"`), word)
	}
}
