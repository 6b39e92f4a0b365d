package safety_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/testdata/published"
)

// TestToxMasses recomputes the molar masses of the table from the formula of the
// substance, within what their rounding can hold. Formulas: tox_masses.csv.
func TestToxMasses(t *testing.T) {
	of := map[string]*safety.Tox{}
	for _, x := range table.Builtin().Tox {
		if x.Typed == nil {
			of[x.Substance] = x
		}
	}
	for _, c := range published.Rows(t, "tox_masses.csv") {
		x := of[c["name"]]
		require.NotNil(t, x, c["name"])
		require.InDelta(t, published.MolarMass(t, c["formula"]), x.MW.Value, 0.011, c["name"])
	}
}

// ownAbsorption are the substances whose dermal absorption rests on a study, on
// their nature or on an opinion of their own: 26 of the rows.
var ownAbsorption = map[string]bool{
	"2-Phenoxyethanol": true,
	"Salicylic acid":   true,
	"Alkyl polyglucosides (decyl, lauryl, coco)": true,
	"Cetrimonium / behentrimonium salts":         true,
	"Polysorbates 20/60/80":                      true,
	"Polyglyceryl polyricinoleate":               true,
	"Polydimethylsiloxane":                       true,
	"Mineral oil, high viscosity white":          true,
	"Microcrystalline wax":                       true,
	"Carnauba wax":                               true,
	"Candelilla wax":                             true,
	"Butylated hydroxytoluene":                   true,
	"Xanthan gum":                                true,
	"Gellan gum":                                 true,
	"Carrageenan":                                true,
	"Locust bean gum":                            true,
	"Diatomaceous earth":                         true,
	"Titanium dioxide":                           true,
	"Zinc oxide (as zinc)":                       true,
	"Aluminium (from lakes, alum, clays)":        true,
	"Lead":                                       true,
	"Nickel":                                     true,
	"Chromium (VI)":                              true,
	"Arsenic (inorganic)":                        true,
	"Cadmium":                                    true,
	"Phenol":                                     true,
}

// TestDefaultAbsorption: 50 % of what is applied is taken as absorbed where there is
// no study or an inadequate one. Source: SCCS/1647/22, 3-3.5.1.1.
func TestDefaultAbsorption(t *testing.T) {
	for _, x := range table.Builtin().Tox {
		if x.Typed == nil && x.DermalPct != nil && !ownAbsorption[x.Substance] {
			require.InDelta(t, 50, x.DermalPct.Value, 0, x.Substance)
		}
	}
}
