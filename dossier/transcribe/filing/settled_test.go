package filing

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/reading"
)

// what is asked of a safety data sheet, a certificate and a declaration; all is invented.
func sample() *reading.Reading {
	text := func(s string) *string { return &s }
	amendment := 51
	r := reading.New("x.csv", "00", "table")
	r.Document.Kind = "composition"
	r.Document.TradeName = &reading.Fact{Printed: "Fell Mint", Value: "Fell Mint"}
	r.Composition = []reading.Constituent{
		{Name: "Aqua", Printed: "60-65 %", Low: text("60"), High: text("65"), LowIn: true, HighIn: true},
		{Name: "Glycerin", Printed: "1,000", Place: reading.Place{Page: 1, Line: 3}, How: reading.How{Ask: "decimal-sign"}},
		{Name: "Citral", Printed: "traces", Low: text("0"), LowIn: true, Status: "trace"},
	}
	r.IFRA = &reading.Certificate{Amendment: &amendment,
		Rows: []reading.Limit{{Category: "4", Printed: "1.2", Status: "limit", Max: text("1.2")}}}
	r.Impurities = []reading.Property{{Substance: "Lead", Printed: "< 10", Op: "<", Value: "10", Unit: "ppm"}}
	r.Physical = []reading.Property{{Property: "pH", Name: "pH", Low: "5", High: "6"},
		{Property: "flash point", Name: "Flash point", Low: "61", High: "61", Unit: "°C"}}
	return r
}

func TestSettled(t *testing.T) {
	r := sample()
	items := Of(shop(t, nil), r.Clone(), "x.csv", nil, "").Items(shop(t, nil))
	at := func(key string) Item {
		for _, x := range items {
			if x.Key == key {
				return x
			}
		}
		require.Fail(t, "no item", key)
		return Item{}
	}
	t.Run("what is not decided is asked", func(t *testing.T) {
		require.Equal(t, "decimal-sign", at("composition/1").Ask)
		require.Equal(t, "trace", at("composition/2").Ask)
		require.Empty(t, at("composition/2").Value)
		require.Equal(t, "date-missing", at("paper/dated").Ask)
		require.Equal(t, "60-65", at("composition/0").Value)
		require.Empty(t, at("composition/0").Ask)
	})
	answers := map[string]Answer{"paper/name": {Value: "Fell Mint 2"}, "paper/dated": {Value: "2026-03-02"},
		"composition/0": {Value: "60-65"},
		"composition/1": {Value: "<1"}, "composition/2": {Refused: true}, "certificate/amendment": {Value: "49"},
		"certificate/0": {Value: "not permitted"},
		"impurities/0":  {Value: "1-2 mg/kg"}, "physical/0": {Value: "5.5"}, "physical/1": {Refused: true}}
	t.Run("refused is gone, corrected is decided, the reading itself is as it was", func(t *testing.T) {
		s, err := Settled(r, items, answers)
		require.NoError(t, err)
		require.Len(t, s.Composition, 2)
		require.Equal(t, "60-65 %", s.Composition[0].Printed)
		require.Equal(t, "<1", amountText(s.Composition[1].Low, s.Composition[1].High, s.Composition[1].LowIn,
			s.Composition[1].HighIn))
		require.Equal(t, "1,000 (corrected)", s.Composition[1].Printed)
		require.Equal(t, 49, *s.IFRA.Amendment)
		require.Equal(t, "not permitted", limitText(s.IFRA.Rows[0]))
		require.Equal(t, "1-2 mg/kg", impurityAmount(s.Impurities[0]))
		require.Len(t, s.Physical, 1)
		require.Equal(t, "fell-mint-2", Of(shop(t, nil), s, "x.csv", nil, "").Sheet)
		require.Equal(t, sample(), r)
	})
	t.Run("the new sheet holds what was confirmed", func(t *testing.T) {
		s, err := Settled(r, items, answers)
		require.NoError(t, err)
		files, err := Of(shop(t, nil), s, "x.csv", nil, "").Changes(nil, nil)
		require.NoError(t, err)
		sheet := string(files[0].Data)
		require.Contains(t, sheet, "name: Fell Mint 2\n")
		require.Contains(t, sheet, "    - {inci: Glycerin, pct: \"<1\"} # p. 1 line 3: 1,000 (corrected)\n")
		require.Contains(t, sheet, "\"4\": not permitted")
		require.NotContains(t, sheet, "Citral")
		require.NotContains(t, sheet, "flash_c")
	})
	for key, bad := range map[string]string{"composition/0": "some", "composition/1": "101",
		"certificate/0": "a lot", "certificate/amendment": "new",
		"impurities/0": "10", "physical/0": "acid", "paper/dated": "soon", "paper/name": "?"} {
		t.Run(key+" is not "+bad, func(t *testing.T) {
			_, err := Settled(r, items, map[string]Answer{key: {Value: bad}})
			require.Error(t, err)
		})
	}
}
