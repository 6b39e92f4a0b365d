package frame

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
)

// Every country of the registry of languages and regions can be chosen, and nothing else.
//
// Source: the IANA registry and ISO 3166-1 as golang.org/x/text/language has them. It calls some
// more codes countries: those that ISO 3166-1 keeps for the United Nations, the European Union or
// the post, or that have been withdrawn, and Kosovo, whose XK is a private code.
func TestCountries(t *testing.T) {
	other := []string{"AC", "AN", "BU", "CP", "CQ", "CS", "CT", "DD", "DG", "DY", "EA", "EU", "EZ", "FQ", "FX", "HV",
		"IC", "JT", "MI", "NH", "NQ", "NT", "PC", "PU", "PZ", "RH", "SU", "TA", "TP", "UN", "VD", "WK", "XK", "YD", "YU", "ZR"}
	have := Countries(table.Builtin(), "")
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			code := string(a) + string(b)
			region, err := language.ParseRegion(code)
			is := err == nil && region.IsCountry() && region.Canonicalize() == region && !slices.Contains(other, code)
			require.Equal(t, is, slices.ContainsFunc(have, func(c Choice) bool { return c.Value == code }), code)
		}
	}
	require.Len(t, have, 249)
	at := func(name string) int { return slices.IndexFunc(have, func(c Choice) bool { return c.Text == name }) }
	require.Equal(t, at("Albania")-1, at("Åland Islands"), "under its letter")
	require.Len(t, Countries(table.Builtin(), rows.EU), 30, "27 states and three more of the economic area")
}
