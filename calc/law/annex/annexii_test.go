package annex

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/rows/rowstest"
)

// prohibition is a row of prohibited.csv.
var prohibition = rowstest.Cells{"key": "II-1", "entry": "1", "market": "EU+GB", "state": "law", "inci_names": "Exemplum",
	"group": "no", "exception": "none", "except_pigments": "no", "shared_number": "no", "salts": "no", "dates_seen": "yes",
	"source": "act", "seen": "seen", "note": "a remark on the entry"}

func readProhibition(t *testing.T, row rowstest.Cells) *Prohibition {
	t.Helper()
	all, err := ReadProhibited("t.csv", rowstest.Table(ProhibitedColumns, row))
	require.NoError(t, err)
	require.Len(t, all, 1)
	return all[0]
}

// What an entry of Annex II is limited to becomes the condition of its rule, or where no
// condition can say it, the form that alone is meant.
func TestRulesOfProhibitions(t *testing.T) {
	for name, c := range map[string]struct {
		with       [][2]string
		when, form string
	}{
		"no limit":  {nil, "all", ""},
		"hair dye":  {[][2]string{{"use", "hair-dye"}}, "product=hair-dye", ""},
		"lash dye":  {[][2]string{{"use", "lash-dye"}}, "product=hair-dye|eyelash-tint", ""},
		"fragrance": {[][2]string{{"use", "fragrance"}}, "function=fragrance", ""},
		"nano":      {[][2]string{{"form", "nano"}, {"only_form", "words"}}, "nano", ""},
		"massive":   {[][2]string{{"form", "nano-or-massive"}, {"use", "fragrance"}}, "function=fragrance & nano|massive", ""},
		"fibre":     {[][2]string{{"form", "fibre"}, {"only_form", "fibres"}}, "all", "fibres"},
		"nanotubes": {[][2]string{{"form", "nanotube"}, {"only_form", "tubes"}}, "all", "tubes"},
		"natural":   {[][2]string{{"exception", "natural"}}, "except=natural-content", ""},
		"refining": {[][2]string{{"exception", "purity"}, {"banned_if", refiningUnknown}, {"only_form", "x"}},
			refiningUnknown, ""},
		"butadiene": {[][2]string{{"exception", "purity"}, {"banned_if", "butadiene>=0.1"}, {"only_form", "x"}},
			"butadiene>=0.1", ""},
		"above so much butadiene": {[][2]string{{"exception", "purity"}, {"banned_if", "butadiene>0.1"}, {"only_form", "x"}},
			"all", "x"},
		"an extract": {[][2]string{{"exception", "purity"}, {"banned_if", "dmso-extract>3"}, {"only_form", "x"}}, "all", "x"},
		"both": {[][2]string{{"exception", "purity"}, {"banned_if", refiningUnknown + "|butadiene>=0.1"}},
			refiningUnknown + " & butadiene>=0.1", ""},
	} {
		t.Run(name, func(t *testing.T) {
			row := prohibition
			for _, w := range c.with {
				row = row.With(w[0], w[1])
			}
			p, known := readProhibition(t, row), map[string]condition.Condition{}
			for range 2 { // the condition read before is the same
				l := p.LimitOf(known)
				assert.Equal(t, []string{c.when, c.form}, []string{l.Condition.Text, l.OnlyForm})
				assert.True(t, l.Prohibited())
				require.Len(t, known, 1)
			}
		})
	}
	t.Run("what it takes over", func(t *testing.T) {
		l := readProhibition(t, prohibition.With("chemical_names", "1-exemplene").With("ec", "231-791-2").
			With("ec_misprinted", "231-791-3")).LimitOf(map[string]condition.Condition{})
		assert.Equal(t, []string{"Exemplum", "1-exemplene"}, l.Names)
		assert.Equal(t, []string{"231-791-2", "231-791-3"}, l.EC)
		assert.Equal(t, "II/1", l.EntryName())
		assert.Empty(t, l.Note, "the remark is about the entry")
		assert.False(t, l.EntryUnread)
		assert.Equal(t, NoClass, l.Class)
		assert.Equal(t, instrumentMade, l.Instrument)
		l = readProhibition(t, prohibition.With("inci_names", "").With("chemical_names", "1-exemplene").
			With("ec_misprinted", "231-791-3").With("group", "yes").With("state", "draft").With("entry", "GB-unseen")).
			LimitOf(map[string]condition.Condition{})
		assert.Equal(t, []string{"1-exemplene"}, l.Names)
		assert.Equal(t, []string{"231-791-3"}, l.EC)
		assert.True(t, l.EntryUnread, "it stands in for a number that was not read")
		assert.Equal(t, ClassExamples, l.Class)
		assert.Equal(t, InstrumentDraft, l.Instrument)
	})
}

func TestFaultyProhibitions(t *testing.T) {
	rowstest.Refuses(t, ReadProhibited, ProhibitedColumns, prohibition, [][3]string{
		{"key", "", "key is empty\nthe row has no key"},
		{"entry", "", "entry is empty"},
		{"state", "moved", `state: "moved" is none of law, draft, empty, elsewhere`},
		{"use", "nails", `use: "nails" is none of , hair-dye, lash-dye, fragrance`},
		{"form", "dust", `form: "dust" is none of , nano, nano-or-massive, fibre, nanotube`},
		{"exception", "", `exception: "" is none of none, listed, natural, purity, trace`},
		{"cas", "7732-18-4", "cas: CAS number 7732-18-4 has check digit 4"},
		{"ec_misprinted", "231-791-2", "ec_misprinted: 231-791-2 has the right check digit: move it to ec"},
		{"except_entries", "III/14", `exception: "none" does not go with what the row lets out`},
		{"except_names", "Alia", `exception: "none" does not go with what the row lets out`},
		{"except_pigments", "yes", `exception: "none" does not go with what the row lets out`},
		{"except_impurity_of", "Alia", `exception: "none" does not go with what the row lets out`},
		{"banned_if", "butadiene>=0.1", `exception: "none" does not go with what the row lets out`},
		{"state", "empty", "state empty and a row without names go together"},
		{"inci_names", "", "state empty and a row without names go together"},
		{"names_unseen", "Alia", "names_unseen: Alia is not among inci_names"},
	})
	rowstest.Refuses(t, ReadProhibited, ProhibitedColumns, prohibition.With("applies_from", "2026-05-01").
		With("applies_until", "2026-05-01"), [][3]string{
		{"applies_until", "2026-04-30", "applies_until 2026-04-30 lies before applies_from 2026-05-01"},
	})
	const going = `exception: "purity" does not go with what the row lets out`
	rowstest.Refuses(t, ReadProhibited, ProhibitedColumns, prohibition.With("exception", "purity").
		With("banned_if", "butadiene>=0.1|benzene>0.1").With("names_unseen", "Exemplum"), [][3]string{
		{"except_names", "Alia", going},
		{"except_entries", "III/14", going},
		{"banned_if", "", going + "\nexception purity without banned_if"},
		{"banned_if", "butadiene", "banned_if: \"butadiene\" is no marker, write for example butadiene>=0.1\n" + going +
			"\nexception purity without banned_if"},
		{"banned_if", refiningUnknown + ">1", "banned_if: \"refining-history-unknown>1\" is no marker, write for example butadiene>=0.1\n" +
			going + "\nexception purity without banned_if"},
		{"banned_if", "lead>1|butadiene>=0.1", `banned_if: "lead>1" is no marker, write for example butadiene>=0.1`},
		{"banned_if", "butadiene>=x|benzene>0.1", `banned_if: "x" is not a number`},
	})
	for _, names := range []string{"linked_names", "chemical_names"} {
		readProhibition(t, prohibition.With("inci_names", "").With(names, "Exemplum")) // is a name too
	}
	readProhibition(t, prohibition.With("inci_names", "").With("cas", "7732-18-5")) // and so is a number
	readProhibition(t, prohibition.With("inci_names", "").With("state", "empty"))
	readProhibition(t, prohibition.With("exception", "listed").With("except_names", "Alia"))
	lets := readProhibition(t, prohibition.With("exception", "purity").With("banned_if", "dmso-extract>3|benzene>=0.1"))
	assert.Equal(t, []bool{false, true}, []bool{lets.BannedIf[0].AtLeast, lets.BannedIf[1].AtLeast})
	assert.Equal(t, "3", lets.BannedIf[0].Pct.Exact())
}

// From its first day to its last, both included.
func TestDaysOfProhibitions(t *testing.T) {
	p := readProhibition(t, prohibition.With("applies_from", "2026-05-01").With("applies_until", "2026-08-31").
		With("market", "EU").With("dates_seen", "no"))
	assert.True(t, p.DatesUnseen)
	for day, in := range map[string]bool{"2026-04-30": false, "2026-05-01": true, "2026-08-31": true, "2026-09-01": false} {
		assert.Equal(t, in, p.In(rows.EU, date(t, day)), day)
		assert.Equal(t, in, p.In(rows.NI, date(t, day)), "Northern Ireland follows the EU")
		assert.False(t, p.In(rows.GB, date(t, day)))
	}
	assert.True(t, readProhibition(t, prohibition).In(rows.GB, date(t, "2013-07-11")), "without days it is in force")
	assert.False(t, readProhibition(t, prohibition.With("state", "draft")).In(rows.GB, date(t, "2026-05-01")))
	assert.Equal(t, []bool{true, true, false, false}, []bool{Numbered("0"), Numbered("98a"), Numbered("GB-unseen"), Numbered("")})
	assert.Equal(t, []bool{true, false, false}, []bool{Numbered("9"), Numbered("/"), Numbered(":")})
}
