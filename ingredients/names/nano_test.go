package names

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The mark of a nano form, which Article 19(1)(g) of Regulation (EC) No 1223/2009 puts in
// brackets behind the name, in the places where papers print it.
func TestDropNano(t *testing.T) {
	for _, c := range []struct {
		printed, rest string
		nano          bool
	}{
		{"Zinc Oxide (nano)", "Zinc Oxide", true}, {"Zinc Oxide [nano]", "Zinc Oxide", true},
		{"Zinc (nano) Oxide", "Zinc  Oxide", true}, {"(nano) Zinc Oxide", "Zinc Oxide", true},
		{"nano Zinc Oxide", "Zinc Oxide", true}, {"Zinc Oxide nano", "Zinc Oxide", true},
		{"Zinc Oxide, nano", "Zinc Oxide", true}, {"nano, Zinc Oxide", "Zinc Oxide", true},
		{"nano-Zinc Oxide", "Zinc Oxide", true}, {"Nanoparticles Zinc Oxide", "Zinc Oxide", true},
		{"Zinc Oxide nanoparticle", "Zinc Oxide", true}, {"Zinc Oxide Nanoform", "Zinc Oxide", true},
		{"Zinc Oxide nanomaterial", "Zinc Oxide", true}, {"Zinc Oxide nanopowder", "Zinc Oxide", true},
		{"nano-sized Zinc Oxide", "Zinc Oxide", true}, {"nanoscale Zinc Oxide", "Zinc Oxide", true},
		{"Zinc Oxide (nanos)", "Zinc Oxide (nanos)", false}, {"Zinc Oxide", "Zinc Oxide", false},
		{"Zinc nano Oxide", "Zinc nano Oxide", false}, // says nothing that a rule can rest on: unknown, and asked about
		{"nano-Zinc Oxide (zz)", "Zinc Oxide (zz)", true},
		{"nano", "nano", false}, {"nano-", "nano-", false}, {"Zinc-Oxide", "Zinc-Oxide", false}, {"", "",
			false},
	} {
		rest, nano := dropNano(Read(c.printed))
		require.Equal(t, c.rest, textOf(rest), c.printed)
		require.Equal(t, c.nano, nano, c.printed)
	}
}
