package ingredients

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCheckCAS(t *testing.T) {
	for _, c := range []struct{ cas, source string }{
		{"107-07-3", "worked example of CAS, Check Digit Verification of CAS Registry Numbers (from memory): 1×7 + 2×0 + 3×7 + 4×0 + 5×1 = 33, so 3"},
		{"7732-18-5", "water; EU cosmetic ingredient database (from memory)"},
		{"58-08-2", "caffeine; EU cosmetic ingredient database (from memory)"},
		{"50-00-0", "formaldehyde; Regulation (EC) 1223/2009, Annex V entry 5"},
		{"64-17-5", "ethanol; EU cosmetic ingredient database (from memory)"},
	} {
		assert.NoError(t, CheckCAS(c.cas), c.source)
	}
	// One digit wrong, and two neighbours swapped.
	for _, cas := range []string{"107-07-4", "7732-18-4", "7723-18-5", "58-80-2", "58-08-1"} {
		assert.ErrorContains(t, CheckCAS(cas), "check digit", cas)
	}
	for _, cas := range []string{"", "7732185", "7732-18", "7732-18-55", "7-18-5", "12345678-18-5", "7732-1-5", "7732-18-5 ", "7732-1a-5", "７７３２-18-5", "--"} {
		assert.ErrorContains(t, CheckCAS(cas), "is not a CAS number", cas)
	}
}

func TestCheckCASFindsEveryWrongCheckDigit(t *testing.T) {
	for d := byte('0'); d <= '9'; d++ {
		err := CheckCAS("7732-18-" + string(d))
		assert.Equal(t, d == '5', err == nil, "check digit %c", d)
	}
}

func TestCheckEC(t *testing.T) {
	for ec, name := range map[string]string{"231-791-2": "water", "200-362-1": "caffeine", "200-001-8": "formaldehyde", "200-578-6": "ethanol"} {
		assert.NoError(t, CheckEC(ec), name+": EC inventory (from memory)")
	}
	for _, ec := range []string{"231-791-3", "231-719-2", "200-362-2"} {
		assert.ErrorContains(t, CheckEC(ec), "check digit", ec)
	}
	for _, ec := range []string{"", "2317912", "231-791", "231-791-22", "23-791-2", "231-79a-2", "231-791-2-1"} {
		assert.ErrorContains(t, CheckEC(ec), "is not an EC number", ec)
	}
}

func TestDate(t *testing.T) {
	d, err := ParseDate("2024-02-29")
	require.NoError(t, err)
	assert.Equal(t, Date(20240229), d)
	assert.Equal(t, "2024-02-29", d.String())
	assert.Equal(t, "2024-03-01", d.AddDays(1).String())
	assert.Equal(t, "2025-03-01", d.AddYears(1).String(), "29 February moves on where there is none")
	assert.Equal(t, "2028-02-29", d.AddYears(4).String())
	assert.True(t, d.Before(d.AddDays(1)))
	assert.False(t, d.Before(d))
	assert.Equal(t, time.Date(2024, 2, 29, 0, 0, 0, 0, time.UTC), d.Time())
	assert.Equal(t, d, DateOf(time.Date(2024, 2, 29, 23, 59, 0, 0, time.FixedZone("", 3600))))
	assert.True(t, Date(0).IsZero())
	assert.Equal(t, "", Date(0).String())
	for _, text := range []string{"", "2023-02-29", "2024-13-01", "2024-00-10", "2024-1-1", "24-01-01", "31.12.2024", "2024-01-01T00:00", "2024/01/01", "today"} {
		_, err := ParseDate(text)
		assert.ErrorContains(t, err, "YYYY-MM-DD", text)
	}
}

func TestNearest(t *testing.T) {
	keys := []string{"ingredient", "amount", "slot", "supplier", "composition", "body_area"}
	for word, want := range map[string]string{
		"ammount": "amount", "amuont": "amount", "Amount": "amount", "amounts": "amount",
		"ingredeint": "ingredient", "ingrediant": "ingredient", "solt": "slot", "suplier": "supplier", "body-area": "body_area", "body area": "body_area",
		"compostion": "composition", "zzz": "", "": "", "x": "", "colour": "",
	} {
		assert.Equal(t, want, Nearest(word, keys), word)
	}
	assert.Equal(t, "", Nearest("amount", nil))
	assert.Equal(t, "cat", Nearest("cut", []string{"cat", "cot"}), "of equally near words the first")
}

func TestEditDistance(t *testing.T) {
	// By hand; a swap of neighbours counts one.
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"a", "", 1}, {"kitten", "sitting", 3}, {"abcd", "acbd", 1}, {"ca", "abc", 3}, {"flaw", "lawn", 2}} {
		assert.Equal(t, c.want, editDistance(c.a, c.b, 9), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, editDistance(c.b, c.a, 9), "%s %s", c.b, c.a)
	}
	assert.Equal(t, 2, editDistance("kitten", "sitting", 2), "never above the limit")
}

func TestDictionary(t *testing.T) {
	d := NewDictionary()
	d.Add("Aqua", []string{"7732-18-5"}, []string{"231-791-2"}, "Water", "Eau")
	d.Add("Sodium Chloride", []string{"7647-14-5"}, nil, "Salt")
	d.Add("Maris Sal", []string{"7647-14-5"}, nil, "Sea salt", "Salt")
	d.Add("aqua", []string{"7732-18-5", "7789-20-0"}, nil)

	assert.Equal(t, "Aqua", d.Canonical("WATER"))
	assert.Equal(t, "Aqua", d.Canonical(" water "))
	assert.Equal(t, []string{"7732-18-5", "7789-20-0"}, d.Lookup("eau").CAS)
	assert.Equal(t, "Sodium Chloride", d.Canonical("salt"), "a synonym stays with the first")
	assert.Equal(t, "Unheard of", d.Canonical(" Unheard of "))
	assert.Nil(t, d.Lookup("unheard of"))
	var names []string
	for _, s := range d.ByCAS("7647-14-5") {
		names = append(names, s.INCI)
	}
	assert.Equal(t, []string{"Sodium Chloride", "Maris Sal"}, names, "one number, two names")
	assert.Len(t, d.ByEC("231-791-2"), 1)
	assert.Empty(t, d.ByCAS("50-00-0"))
	assert.Equal(t, []string{"Aqua", "Maris Sal", "Sodium Chloride"}, d.All())
}

func TestNameKey(t *testing.T) {
	for _, pair := range [][2]string{
		{"PEG-7 Glyceryl Cocoate", "peg 7 glyceryl cocoate"}, {"St. John’s Wort", "St Johns Wort"}, {"Sodium  Chloride", "sodium\u00a0chloride"},
		{" Aqua ", "aqua"}, {"Alpha–Isomethyl Ionone", "Alpha-Isomethyl Ionone"},
	} {
		assert.Equal(t, NameKey(pair[0]), NameKey(pair[1]))
	}
	assert.NotEqual(t, NameKey("PEG-7"), NameKey("PEG-70"))
	assert.NotEqual(t, NameKey("Ceteareth-20"), NameKey("Ceteareth-2 0"))
}
