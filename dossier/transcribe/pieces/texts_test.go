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

func TestWithoutMark(t *testing.T) {
	for s, want := range map[string]string{"Silk¹": "Silk", "Blend², of which": "Blend, of which", "per m², dry": "per m², dry",
		"g/cm³": "g/cm³"} {
		got, marked := WithoutMark(s)
		require.Equal(t, want, got)
		require.Equal(t, s != got, marked)
	}
}

func TestWords(t *testing.T) {
	var folded []string
	for _, w := range Words("Gew.-% α-Pinène") {
		folded = append(folded, w.Folded)
	}
	require.Equal(t, []string{"gew", "alpha", "pinene"}, folded)
}
