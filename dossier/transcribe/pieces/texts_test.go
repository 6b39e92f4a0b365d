package pieces

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTexts(t *testing.T) {
	require.Equal(t, "Hexyl-cinnamal of mint", OneLine("Hexyl-\ncinnamal\n of  mint"), "a hyphen goes on without a blank")
	require.Equal(t, "Hexyl- cinnamal", Printed("Hexyl-\ncinnamal"), "as it stands")
	require.Equal(t, "Citral", PlainName("Citral (neral) [E]"))
	require.Equal(t, "Linalool", CleanName(" - Linalool ( , ) ;"))
	require.Equal(t, []string{"See Cat. 4 first.", " Then mix."}, Sentences("See Cat. 4 first. Then mix."))
}

func TestWords(t *testing.T) {
	var folded []string
	for _, w := range Words("Gew.-% α-Pinène") {
		folded = append(folded, w.Folded)
	}
	require.Equal(t, []string{"gew", "alpha", "pinene"}, folded)
}
