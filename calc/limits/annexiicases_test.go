package limits

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/testdata/published"
)

// TestAnnexIICases puts substances of Annex II, read in acts that our table was
// not made of, through the engine by number or by name: each stops, is asked
// about, or is said to be of another use, as its act says. Source: annex_ii_cases.csv.
func TestAnnexIICases(t *testing.T) {
	tableRows := published.Rows(t, "annex_ii_cases.csv")
	require.GreaterOrEqual(t, len(tableRows), 150)
	for _, c := range tableRows {
		for m := range strings.SplitSeq(c["market"], "+") {
			t.Run(c["id"]+" "+m+" "+c["name"], func(t *testing.T) {
				name := c["name"]
				if c["cas"] != "" {
					name = "a material of the entry"
				}
				run := runInType(t, typeOfCase(t, c["product_type"]), name, c["cas"], c["function"], rows.Market(m), 20271231)
				checks := run.Checks(20271231)
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
func typeOfCase(t *testing.T, key string) *trade.ProductType {
	if key != "hair-dye" {
		pt, ok := law.ProductType(table.Builtin(), key)
		require.True(t, ok, key)
		return pt
	}
	return &trade.ProductType{Name: "Hair dye", RinseOff: true, Areas: []string{"hair"},
		Codes: []string{"hair-dye-oxidative", "hair-dye"}}
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
