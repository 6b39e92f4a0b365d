package annex

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/rows/rowstest"
)

func TestOtherRules(t *testing.T) {
	row := rowstest.Cells{"key": "a", "area": "REACH", "subject": "Exemplum", "kind": "law", "about": "substance",
		"names": "Exemplum Novum", "condition": "all", "others_not_judged": "no", "limit": "0.1", "unit": "%",
		"compare": "below", "figure_seen": "yes", "applies_from": "2027-06-06", "market": "EU", "in_limits": "no",
		"source": "act", "seen": "seen"}
	read := func(row rowstest.Cells) *OtherRule {
		t.Helper()
		all, err := ReadOtherLaw("t.csv", rowstest.Table(OtherLawColumns, row))
		require.NoError(t, err)
		return all[0]
	}
	for _, c := range [][3]string{{"0.1", "%", "0.1"}, {"1000", "ppm", "0.1"}, {"20", "ppb", "0.000002"}} {
		assert.Equal(t, c[2], read(row.With("limit", c[0]).With("unit", c[1])).LimitPct.Exact(), "%s %s", c[0], c[1])
	}
	o := read(row)
	assert.True(t, o.Below && o.FigureSeen)
	assert.False(t, o.AdultsOnly || o.OthersNotJudged || o.InLimits)
	assert.Equal(t, []string{"exemplum novum"}, o.Keys)
	assert.Equal(t, "leave-on", read(row.With("condition", "leave-on")).Condition.Text)
	for day, in := range map[string]bool{"2027-06-05": false, "2027-06-06": true} {
		assert.Equal(t, []bool{in, in, false}, []bool{o.In(rows.EU, date(t, day)), o.In(rows.NI, date(t, day)),
			o.In(rows.GB, date(t, day))}, day)
	}
	assert.True(t, read(row.With("applies_from", "")).In(rows.EU, date(t, "2020-01-01")))
	assert.True(t, read(row.With("kind", "opinion")).In(rows.EU, date(t, "2020-01-01")), "an opinion has no day")
	other := read(row.With("compare", "at-most").With("figure_seen", "no").With("age_note", "adults").With("not_in", "spray"))
	assert.False(t, other.Below || other.FigureSeen)
	assert.True(t, other.AdultsOnly)
	assert.Nil(t, read(row.With("limit", "").With("compare", "").With("figure_seen", "").With("unit", "")).LimitPct)
	read(row.With("about", "wipes").With("names", "")) // no single substance
	const together = "limit, compare and figure_seen go together"
	rowstest.Refuses(t, ReadOtherLaw, OtherLawColumns, row, [][3]string{
		{"key", "", "key is empty\nthe row has no key"},
		{"area", "", "area is empty"},
		{"subject", "", "subject is empty"},
		{"kind", "rule", `kind: "rule" is none of law, opinion, proposal`},
		{"about", "", `about: "" is none of substance`},
		{"unit", "g", "unit: \"g\" is none of , %, ppm, ppb\nlimit has no unit\n" + together},
		{"unit", "", "limit has no unit\n" + together},
		{"limit", "", together},
		{"compare", "", together},
		{"compare", "under", `compare: "under" is none of , below, at-most`},
		{"figure_seen", "", together},
		{"cas", "7732-18-4", "cas: CAS number 7732-18-4 has check digit 4"},
		{"condition", "rinsed", `condition: unknown condition "rinsed"`},
		{"names", "", "names is empty"},
		{"about", "impurity", "impurity_of goes with about impurity"},
		{"impurity_of", "Alia", "impurity_of goes with about impurity"},
		{"not_in", "soap", `not_in: "soap" is none of , spray, inhalable`},
		{"age_note", "all", `age_note: "all" is none of , adults`},
	})
	rowstest.Refuses(t, ReadOtherLaw, OtherLawColumns, row.With("about", "mixture"), [][3]string{{"names", "", "names is empty"}})
	rowstest.Refuses(t, ReadOtherLaw, OtherLawColumns, row.With("about", "impurity").With("impurity_of", "Alia"),
		[][3]string{{"names", "", "names is empty"}})
}
