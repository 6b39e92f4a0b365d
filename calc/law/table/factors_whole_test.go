package table_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/testdata/published"
)

// TestFactors recomputes every conversion factor from molar masses.
//
//	factor = units of the basis × molar mass of the basis / molar mass of the ingredient
//
// Tolerance: one unit of the fourth decimal, for the rounding of the table and
// of the abridged atomic weights. Source: law_factors.csv, a formula per row.
func TestFactors(t *testing.T) {
	type key struct{ entry, ingredient string }
	formulas := map[key]map[string]string{}
	for _, row := range published.Rows(t, "law_factors.csv") {
		formulas[key{row["entry"], row["ingredient"]}] = row
	}
	used := map[key]bool{}
	for _, l := range law.Limits(table.Builtin()) {
		for _, f := range l.Basis.Factors {
			name := f.Name
			if f.Form != "" {
				name += " (" + f.Form + ")"
			}
			k := key{l.Annex + "/" + l.Entry, name}
			row := formulas[k]
			if row == nil { // a row of another entry with the factors of V/9
				k.entry = "V/9"
				row = formulas[k]
			}
			require.NotNil(t, row, "no formula for %v", k)
			used[k] = true
			units, err := strconv.Atoi(row["basis_units"])
			require.NoError(t, err)
			want := float64(units) * published.MolarMass(t, row["basis_formula"]) / published.MolarMass(t, row["formula"])
			require.Less(t, math.Abs(want-f.Factor.Float()), 1e-4, "%s %s: table %s, recomputed %.5f", l.Key, name,
				f.Factor, want)
		}
	}
	require.Len(t, used, len(formulas), "formulas that no row uses")
	require.Len(t, formulas, 116)
}

func TestBasisOf(t *testing.T) {
	zinc := law.LimitsOf(table.Builtin(), "Zinc Sulfate", []string{"7733-02-0"}, nil)
	var b annex.Basis
	for _, m := range zinc {
		if m.Limit.Key == "III-24-eu-04" {
			b = m.Limit.Basis
		}
	}
	f, stated := b.Of("Zinc Sulfate")
	require.True(t, stated)
	require.Equal(t, "0.405", f.Exact(), "of several forms the highest counts: the anhydrous salt")
	f, _ = b.Of("Zinc Sulfate (heptahydrate)")
	require.Equal(t, "0.2274", f.Exact())
	f, stated = b.Of("Zinc Glutamate")
	require.False(t, stated)
	require.Equal(t, "1", f.Exact(), "without a factor the whole counts")
}

// TestOtherBasis pins the rows whose figure counts something that is not the
// content of the named substances.
func TestOtherBasis(t *testing.T) {
	var got []string
	for _, l := range law.Limits(table.Builtin()) {
		if l.Basis.Kind != annex.BasisSubstance && l.Basis.Kind != annex.BasisMixture {
			got = append(got, l.Key)
		}
	}
	require.Equal(t, []string{
		"III-52-eugb-01",                   // methanol as a share of the alcohols
		"III-60-eugb-01", "III-61-eugb-01", // secondary amine
		"III-66-eugb-01", "III-66-eugb-02", "III-66-eugb-03", // residual acrylamide
		"III-306-eugb-01",                                                // peanut protein
		"V-preamble_2-eu-01", "V-preamble_2-gb-01", "V-preamble_2-gb-02", // released formaldehyde
	}, got)
}
