package terms

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Words as makers write them: common practice, no source.
func TestVersions(t *testing.T) {
	d := testTerms(t)
	for text, want := range map[string]string{
		"Lotion v2.1": "2.1", "Fassung 3": "3", "old": "old", "Trial 2": "trial", "Night cream": "",
	} {
		require.Equal(t, want, d.VersionOf(text), text)
	}
	version, rest := CutVersion("Night cream v3 (test)")
	require.Equal(t, "3", version)
	require.Equal(t, "Night cream (test)", rest)
	require.True(t, VersionLess("1.9", "1.10"))
	require.False(t, VersionLess("2", "1.10"))
}

func TestUnitInTitle(t *testing.T) {
	d := testTerms(t)
	for text, want := range map[string]string{
		"Balm, grams for one tray": "g", "500 grams": "", "Alle Angaben in Prozent": "%", "Teile, in Teilen": "parts",
		"Lotion (% w/w)": "%", "Lotion": "",
	} {
		require.Equal(t, want, d.UnitInTitle(text), text)
	}
}
