package calc

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
)

// TestAnnexIICases puts substances of Annex II, read in acts that our table was
// not made of, through the engine by number or by name: each stops, is asked
// about, or is said to be of another use, as its act says. Source: annex_ii_cases.csv.
func TestAnnexIICases(t *testing.T) {
	rows := publishedRows(t, "annex_ii_cases.csv")
	require.GreaterOrEqual(t, len(rows), 150)
	for _, c := range rows {
		for m := range strings.SplitSeq(c["market"], "+") {
			t.Run(c["id"]+" "+m+" "+c["name"], func(t *testing.T) {
				name := c["name"]
				if c["cas"] != "" {
					name = "a material of the entry"
				}
				run := runInType(t, typeOfCase(t, c["product_type"]), name, c["cas"], c["function"], law.Market(m), 20271231)
				checks := run.checks(20271231)
				said := saidOfEntry(checks, c["entry"])
				if said == "nothing" && len(run.classFindings(checks, 20271231)) > 0 {
					said = "ask"
				}
				require.Equal(t, c["expect"], said, "%v", checks)
			})
		}
	}
}

// typeOfCase is a product type of the tables, or a hair dye, of which they have none.
func typeOfCase(t *testing.T, key string) *law.ProductType {
	if key != "hair-dye" {
		pt, ok := law.Builtin().ProductType(key)
		require.True(t, ok, key)
		return pt
	}
	return &law.ProductType{Name: "Hair dye", RinseOff: true, Areas: []string{"hair"}, Codes: []string{"hair-dye-oxidative", "hair-dye"}}
}

// saidOfEntry says in a word what the checks say of an entry of Annex II; of any
// where entry is empty.
func saidOfEntry(checks []LimitCheck, entry string) string {
	checks = slices.DeleteFunc(slices.Clone(checks), func(c LimitCheck) bool {
		return c.Row.Annex != "II" || entry != "" && c.Row.Entry != entry
	})
	for _, v := range []struct {
		verdict LimitVerdict
		word    string
	}{{LimitExceeded, "stop"}, {LimitUndecided, "ask"}, {LimitNotApplicable, "not this use"}} {
		if slices.ContainsFunc(checks, func(c LimitCheck) bool { return c.Verdict == v.verdict }) {
			return v.word
		}
	}
	return "nothing"
}
