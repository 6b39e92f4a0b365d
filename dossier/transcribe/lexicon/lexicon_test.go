package lexicon

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTablesLoad(t *testing.T) {
	l, err := Load()
	require.NoError(t, err)
	for _, row := range strings.Split(strings.TrimSpace(unpacked(packedWords)), "\n")[1:] {
		require.False(t, strings.HasSuffix(row, ","), "a row without its source: %s", row)
	}
	e, ok := l.Exact("property", "Verseifungszahl")
	require.True(t, ok)
	require.Equal(t, "saponification value", e.Key)
	a, ok := l.Allergen("β-Pinen")
	require.True(t, ok)
	require.Equal(t, Allergen{"pinene", "beta-pinene"}, a)
}

func TestFold(t *testing.T) {
	require.Equal(t, "point d eclair", Fold("Point d’éclair :"))
	require.Equal(t, "alpha isomethyl ionone", Fold("α-Isomethyl Ionone"))
	require.Equal(t, "grosse", Fold("Größe"))
}

func TestLanguages(t *testing.T) {
	l, err := Load()
	require.NoError(t, err)
	for want, text := range map[string]string{
		"en": "Date of issue: 14 March. The figures are the result of calculation.",
		"de": "Überarbeitet am: 15.01. Angaben nach GC; ohne Gewähr",
		"fr": "Point d'éclair selon la méthode; date de révision",
		"it": "Punto di infiammabilità; non applicabile; data di revisione",
		"es": "Punto de inflamación; fecha de revisión; no aplicable",
		"nl": "Vlampunt; niet van toepassing; datum van herziening",
	} {
		require.Equal(t, want, l.Language(text), text)
	}
}
