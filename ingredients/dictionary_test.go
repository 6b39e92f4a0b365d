package ingredients

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

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
		{"PEG-7 Glyceryl Cocoate", "peg 7 glyceryl cocoate"}, {"St. John’s Wort", "St Johns Wort"},
		{"Sodium  Chloride", "sodium\u00a0chloride"},
		{" Aqua ", "aqua"}, {"Alpha–Isomethyl Ionone", "Alpha-Isomethyl Ionone"},
	} {
		assert.Equal(t, NameKey(pair[0]), NameKey(pair[1]))
	}
	assert.NotEqual(t, NameKey("PEG-7"), NameKey("PEG-70"))
	assert.NotEqual(t, NameKey("Ceteareth-20"), NameKey("Ceteareth-2 0"))
}
