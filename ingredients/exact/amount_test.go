package exact

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseAmount(t *testing.T) {
	// Wanted values by hand, from the rules in the doc comment.
	for _, c := range []struct{ text, min, typ, max string }{
		{"12", "12", "12", "12"},
		{"12.5", "12.5", "12.5", "12.5"},
		{"12.5 %", "12.5", "12.5", "12.5"},
		{"12%", "12", "12", "12"},
		{"0", "0", "0", "0"},
		{"100", "100", "100", "100"},
		{"10-15", "10", "12.5", "15"},
		{"10 - 15 %", "10", "12.5", "15"},
		{"10–15", "10", "12.5", "15"},
		{"0-1", "0", "0.5", "1"},
		{"<0.1", "0", "0.05", "0.1"},
		{"< 0.1 %", "0", "0.05", "0.1"},
		{"<=0.1", "0", "0.05", "0.1"},
		{"≤ 0.1", "0", "0.05", "0.1"},
		{">=60", "60", "80", "100"},
		{"≥60", "60", "80", "100"},
		{">60", "60", "80", "100"},
		{"120 ppm", "0.012", "0.012", "0.012"},
		{"120ppm", "0.012", "0.012", "0.012"},
		{"120 mg/kg", "0.012", "0.012", "0.012"},
		{"<10 ppm", "0", "0.0005", "0.001"},
		{"100-300 ppm", "0.01", "0.02", "0.03"},
		{" 5 ", "5", "5", "5"},
		// as suppliers print ranges
		{">= 60 - < 75 %", "60", "67.5", "75"},
		{"≥ 60 – < 75 %", "60", "67.5", "75"},
		{">60-<75", "60", "67.5", "75"},
		{">60<75", "60", "67.5", "75"},
		{">=60, <75", "60", "67.5", "75"},
		{"60 to 75", "60", "67.5", "75"},
		{"60 TO 75 %", "60", "67.5", "75"},
		{"60 %-75 %", "60", "67.5", "75"},
		{"60% - 75", "60", "67.5", "75"},
		{"60-75 % w/w", "60", "67.5", "75"},
		{"60-75 % (w/w)", "60", "67.5", "75"},
		{"60-75%w/w", "60", "67.5", "75"},
		{"max. 75", "0", "37.5", "75"},
		{"max 75 %", "0", "37.5", "75"},
		{"Max. 75", "0", "37.5", "75"},
		{"up to 75", "0", "37.5", "75"},
		{"min. 60", "60", "80", "100"},
		{"min 60 % w/w", "60", "80", "100"},
		{"500 ppm-0.1 %", "0.05", "0.075", "0.1"},
		{"max. 50 ppm", "0", "0.0025", "0.005"},
	} {
		a, err := ParseAmount(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, []string{c.min, c.typ, c.max}, []string{a.Min.Exact(), a.Typ.Exact(), a.Max.Exact()}, c.text)
		assert.False(t, a.Rest)
		assert.Equal(t, c.text, a.Text)
	}
	for _, text := range []string{`"60-75"`, "“60-75”", "‘60-75’", "„60-75“", "«60-75»", "'60-75'"} {
		a, err := ParseAmount(text)
		require.NoError(t, err, text)
		assert.Equal(t, "60-75", a.Text, "quotes are the file's, not the paper's")
		assert.Equal(t, []string{"60", "75"}, []string{a.Min.Exact(), a.Max.Exact()}, text)
	}
	for _, text := range []string{"q.s.", "qs", "QS", "q.s", " q.s. "} {
		a, err := ParseAmount(text)
		require.NoError(t, err, text)
		assert.True(t, a.Rest, text)
		assert.True(t, a.IsZero(), "no figure until it is computed")
	}
}

func TestParseAmountRefuses(t *testing.T) {
	for text, fix := range map[string]string{
		"":             "missing is not zero",
		"  ":           "missing is not zero",
		"-1":           "from 0 to 100",
		"-5--3":        "from 0 to 100",
		"<-1":          "from 0 to 100",
		"<0":           `such as "<0.1"`,
		"100.1":        `"100.1 ppm"`,
		"120":          `"120 ppm"`,
		"120 %":        "from 0 to 100",
		"2000000 ppm":  "from 0 to 100",
		">120":         `">120 ppm"`,
		"15-10":        `"10-15"`,
		"trace":        "detection limit",
		"n.d.":         "detection limit",
		"present":      "detection limit",
		"-":            "detection limit",
		"1,5":          "write 1.5",
		"1e1":          "plain decimal",
		"NaN":          "plain decimal",
		"Inf":          "plain decimal",
		"ca. 5":        `in the form "10-15"`,
		"~70":          `ask the supplier for the range`,
		"approx. 70 %": `in the form "10-15"`,
		"balance":      "write q.s.",
		"Rest":         "write q.s.",
		"remainder":    "write q.s.",
		"to 100":       "write q.s.",
		"to 100 %":     "write q.s.",
		"nil":          `"<0.001"; write 0 if the paper says exactly that`,
		"None":         "detection limit",
		"zero":         "detection limit",
		"not detected": "detection limit",
		"5,0-9,0":      `write "5.0-9.0"`,
		"5,0 - 9,5 %":  `write "5.0-9.5"`,
		">5,5-<9":      `write "5.5-9"`,
		"<0,1":         `write "<0.1"`,
		"0,5 ppm":      `write "0.5 ppm"`,
		"1,000":        "write 1.000 or 1000, whichever",
		"1,000 ppm":    "write 1.000 or 1000, whichever",
		"0,125":        "write 0.125",
		"5 ppm - 10":   `"5-10 ppm"`,
		"60-75 % v/v":  "plain decimal",
		"60 w/w":       "plain decimal",
		"<60->75":      "plain decimal",
		"max. 0":       `such as "<0.1"`,
		"“”":           "missing is not zero",
		"5-":           "plain decimal",
		"1-2-3":        "plain decimal",
		"%":            "plain decimal",
		"ppm":          "plain decimal",
		"<":            "plain decimal",
		"<>5":          "plain decimal",
		"5 mol":        "plain decimal",
		"q.s. 10":      "plain decimal",
		"12 ppm mg/kg": "keep the unit",
	} {
		_, err := ParseAmount(text)
		var v *ValueError
		if assert.ErrorAs(t, err, &v, text) {
			assert.Contains(t, v.Fix, fix, text)
		}
	}
}

func TestRange(t *testing.T) {
	a := Range{Int(1), Int(2), Int(4)}
	b := Range{Int(10), Int(20), Int(30)}
	same := func(want, got Range) {
		t.Helper()
		assert.True(t, want.Min.Equal(got.Min) && want.Typ.Equal(got.Typ) && want.Max.Equal(got.Max), "%v", got)
	}
	same(Range{Int(11), Int(22), Int(34)}, a.Add(b))
	same(Range{Int(3), Int(6), Int(12)}, a.Scale(Int(3)))
	same(Range{Frac(1, 4), Frac(1, 2), Int(1)}, a.Pct(Int(25)))
	same(Range{Int(1), Int(20), Int(30)}, a.Cover(b))
	assert.True(t, Exactly(Int(3)).IsExact())
	assert.False(t, a.IsExact())
	assert.True(t, Range{}.IsZero())
	out, err := json.Marshal(a)
	require.NoError(t, err)
	assert.JSONEq(t, `{"min":1,"typical":2,"max":4}`, string(out))
}

// FuzzParseAmount: what parses is a content, and its bounds print back to the
// same amount.
func FuzzParseAmount(f *testing.F) {
	for _, s := range []string{"12", "10-15", "<0.1", ">=60", "120 ppm", "120 mg/kg", "q.s.", "12 %", "15-10",
		"-1", "trace", "1,5", "", "–", "<", "0-0", "≤1",
		">= 60 - < 75 %", ">60<75", "60 to 75", "60 %-75 % (w/w)", "max. 75", "min 60", "up to 5 ppm",
		"“60-75”", "~70", "5,0-9,0", "1,000 ppm", "5 ppm-0.1 %", "nil", "to 100"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		a, err := ParseAmount(s)
		if err != nil {
			var v *ValueError
			require.ErrorAs(t, err, &v)
			return
		}
		if a.Rest {
			return
		}
		require.False(t, a.Min.Sign() < 0 || a.Typ.Less(a.Min) || a.Max.Less(a.Typ) || Int(100).Less(a.Max), s)
		printed := a.Min.Exact() + "-" + a.Max.Exact()
		b, err := ParseAmount(printed)
		if err != nil { // ppm of a long number has more digits than a maker may type
			require.Contains(t, err.Error(), "digits", printed)
			return
		}
		require.True(t, b.Min.Equal(a.Min) && b.Max.Equal(a.Max), "%s printed as %s", s, printed)
	})
}

// An assay is counted to 100; more than an assay can be is an error still.
func TestAssay(t *testing.T) {
	for text, want := range map[string][2]string{"99-100.5": {"99", "99.5"}, "99.0 - 101.0 %": {"99", "99.5"},
		"98 to 102": {"98", "99"}, "95-105": {"95", "97.5"}} {
		a, err := ParseAmount(text)
		require.NoError(t, err, text)
		assert.True(t, a.Assay, text)
		assert.Equal(t, [3]string{want[0], want[1], "100"}, [3]string{a.Min.Exact(), a.Typ.Exact(), a.Max.Exact()}, text)
	}
	for _, text := range []string{"99-105.1", "50-101", "101-102", "100.5"} {
		_, err := ParseAmount(text)
		assert.Error(t, err, text)
	}
	a, err := ParseAmount("99-100")
	require.NoError(t, err)
	assert.False(t, a.Assay)
}

// Amounts of two parts in the wordings that go wrong.
func TestAmountsOfTwoParts(t *testing.T) {
	for text, want := range map[string]string{
		"100 ppm - 200":        `100 has the unit ppm and 200 has none: write the unit behind both: "100-200 ppm"`,
		">=1,5 - <2,5":         `">=1,5 - <2,5" has a decimal comma: write "1.5-2.5"`,
		"0,1 ppm - 0,2 %":      `"0,1 ppm - 0,2 %" has a decimal comma: write "0.1 ppm-0.2 %"`,
		">=1,000 - <2":         `">=1,000 - <2" has a comma that parts decimals or thousands: write 1.000 or 1000, whichever the paper means`,
		"1.2345678901234567":   `"1.2345678901234567" has more than 15 digits: round it to what the paper says`,
		"1-1.2345678901234567": `"1.2345678901234567" has more than 15 digits: round it to what the paper says`,
		"1.2345678901234567-2": `"1.2345678901234567" has more than 15 digits: round it to what the paper says`,
	} {
		_, err := ParseAmount(text)
		assert.EqualError(t, err, want, text)
	}
}

func TestTwoWays(t *testing.T) {
	for typed, want := range map[string]bool{"1,250": true, " 12,500 ": true, "0,125": false, "1,25": false,
		"1.250": false, "": false, "a,123": true} {
		assert.Equal(t, want, TwoWays(typed), typed)
	}
}
