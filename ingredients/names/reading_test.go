package names

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What is asked about a printed name, word for word: whom it is about, and which others.
func TestAsks(t *testing.T) {
	r := resolver(t)
	for _, c := range []struct {
		printed string
		names   []string
		within  []string
		asks    []Ask
	}{
		{"Aqua (MIT)", []string{"Aqua"}, []string{"Methylisothiazolinone"},
			[]Ask{{Code: AskBracket, Name: "Aqua", Others: []string{"Methylisothiazolinone"}}}},
		{"Glycerin (Glycamil 99)", []string{"Glycerin"}, nil,
			[]Ask{{Code: AskBracketUnknown, Name: "Glycerin", Others: []string{"Glycamil 99"}}}},
		{"Glycerin (Xyzol) (Aqua)", []string{"Glycerin"}, []string{"Aqua"},
			[]Ask{{Code: AskBracketUnknown, Name: "Glycerin", Others: []string{"Xyzol"}},
				{Code: AskBracket, Name: "Glycerin", Others: []string{"Aqua"}}}},
		{"Softol P (Isopropyl Palmitate)", []string{"Isopropyl Palmitate"}, nil,
			[]Ask{{Code: AskByBracket, Name: "Softol P", Others: []string{"Isopropyl Palmitate"}}}},
		{"(Isopropyl Palmitate)", []string{"Isopropyl Palmitate"}, nil, nil},
		{"Xyzol (Aqua) (Glycerin)", []string{"Aqua"}, []string{"Glycerin"},
			[]Ask{{Code: AskByBracket, Name: "Xyzol", Others: []string{"Aqua"}},
				{Code: AskBracket, Name: "Aqua", Others: []string{"Glycerin"}}}},
		{"Xyzol (yzol) (Glycerin)", []string{"Glycerin"}, nil,
			[]Ask{{Code: AskByBracket, Name: "Xyzol", Others: []string{"Glycerin"}},
				{Code: AskBracketUnknown, Name: "Glycerin", Others: []string{"yzol"}}}},
		{"Xyzol / Formaldehyde", []string{"Xyzol / Formaldehyde"}, []string{"Formaldehyde"},
			[]Ask{{Code: AskPart, Name: "Xyzol / Formaldehyde", Others: []string{"Formaldehyde"}}}},
		{"Aqua, , Glycerin", []string{"Aqua", "Glycerin"}, nil,
			[]Ask{{Code: AskSeveral, Name: "Aqua, , Glycerin", Others: []string{"Aqua", "Glycerin"}}}},
		{"Aqua,", []string{"Aqua"}, nil, nil}, {"Water / Aqua", []string{"Aqua"}, nil, nil},
		{"Aqua, Glycerin, Aqua", []string{"Aqua", "Glycerin"}, nil,
			[]Ask{{Code: AskSeveral, Name: "Aqua, Glycerin, Aqua", Others: []string{"Aqua", "Glycerin"}}}},
		{"Aqua, Glycerin (Xyzol)", []string{"Aqua", "Glycerin"}, nil,
			[]Ask{{Code: AskSeveral, Name: "Aqua, Glycerin (Xyzol)", Others: []string{"Aqua", "Glycerin"}},
				{Code: AskBracketUnknown, Name: "Glycerin", Others: []string{"Xyzol"}}}},
		{"parabens", []string{"parabens"}, []string{"Methylparaben", "Ethylparaben", "Propylparaben",
			"Butylparaben"},
			[]Ask{{Code: AskWhich, Name: "parabens", Others: []string{"Methylparaben", "Ethylparaben",
				"Propylparaben",
				"Butylparaben"}}}},
		{"Iron Oxides (CI 77491)", []string{"CI 77491"}, nil, nil},
		{"CMIT/MIT 3:1", []string{"Methylchloroisothiazolinone", "Methylisothiazolinone"}, nil,
			[]Ask{{Code: AskSeveral, Name: "CMIT/MIT 3:1",
				Others: []string{"Methylchloroisothiazolinone", "Methylisothiazolinone"}}}},
		{"Phenoxyethanol (CAS 50-00-0)", []string{"Phenoxyethanol"}, []string{"Formaldehyde"},
			[]Ask{{AskBracket, "Phenoxyethanol", []string{"Formaldehyde"}, "50-00-0"}}},
		{"Aqua (Glycerin, Urea)", []string{"Aqua"}, []string{"Glycerin", "Urea"},
			[]Ask{{Code: AskBracket, Name: "Aqua", Others: []string{"Glycerin", "Urea"}}}},
		{"Aqua(Water)", []string{"Aqua"}, nil, nil}, {"Aqua[Water]", []string{"Aqua"}, nil, nil},
		{"Aqua (Water, Eau)", []string{"Aqua"}, nil, nil},
		{"Xyzol(Water)", []string{"Xyzol(Water)"}, nil, []Ask{{Code: AskUnknown, Name: "Xyzol(Water)"}}},
		{"Eugenol / Eugenol (zz 5)", []string{"Eugenol"}, nil,
			[]Ask{{Code: AskBracketUnknown, Name: "Eugenol", Others: []string{"zz 5"}}}},
		{"Cocos Nucifera (Coconut) Oil", []string{"Cocos Nucifera Oil"}, nil, nil},
		{"Cocos Nucifera (No 5) Oil", []string{"Cocos Nucifera Oil"}, nil,
			[]Ask{{Code: AskBracketUnknown, Name: "Cocos Nucifera Oil", Others: []string{"No 5"}}}},
		{"Cocos Nucifera (Phenoxyethanol) Oil", []string{"Cocos Nucifera Oil"}, []string{"Phenoxyethanol"},
			[]Ask{{Code: AskBracket, Name: "Cocos Nucifera Oil", Others: []string{"Phenoxyethanol"}}}},
		{"Aqua, Xyzol (Glycerin)", []string{"Glycerin"}, nil,
			[]Ask{{Code: AskByBracket, Name: "Aqua, Xyzol", Others: []string{"Glycerin"}}}},
		{"Xyzol / Aqua (Water)", []string{"Aqua"}, nil,
			[]Ask{{Code: AskByBracket, Name: "Xyzol / Aqua", Others: []string{"Aqua"}}}},
		{"BHA (salicylic acid) (Xyzol)", []string{"Salicylic Acid"}, nil,
			[]Ask{{Code: AskBracketUnknown, Name: "Salicylic Acid", Others: []string{"Xyzol"}}}},
		{"Aqua and BHA (salicylic acid)", []string{"Aqua", "Salicylic Acid"}, nil,
			[]Ask{{Code: AskSeveral, Name: "Aqua and BHA (salicylic acid)", Others: []string{"Aqua", "Salicylic Acid"}}}},
		{"Aqua*, Glycerin®", []string{"Aqua", "Glycerin"}, nil,
			[]Ask{{Code: AskSeveral, Name: "Aqua*, Glycerin®", Others: []string{"Aqua", "Glycerin"}}}},
		{"nano-Zinc Oxide (Zincite X9)", []string{"Zinc Oxide"}, nil,
			[]Ask{{Code: AskBracketUnknown, Name: "Zinc Oxide", Others: []string{"Zincite X9"}}}},
		{"BHA (salicylic acid) / Salicylic Acid", []string{"Salicylic Acid"}, nil, nil},
		{"BHA (salicylic acid) / Salicylic Acid (Xyzol)", []string{"Salicylic Acid"}, nil,
			[]Ask{{Code: AskBracketUnknown, Name: "Salicylic Acid", Others: []string{"Xyzol"}}}},
		{"BHA (salicylic acid) / Salicylic Acid (Glycerin)", []string{"Salicylic Acid"}, []string{"Glycerin"},
			[]Ask{{Code: AskBracket, Name: "Salicylic Acid", Others: []string{"Glycerin"}}}},
		{"Salicylic Acid / BHA (salicylic acid)", []string{"Salicylic Acid"}, nil, nil},
		{"Salicylic Acid, BHA (salicylic acid)", []string{"Salicylic Acid"}, nil, nil},
		{"Salicylic Acid / BHA (salicylic acid) / zz", []string{"Salicylic Acid / BHA (salicylic acid) / zz"},
			[]string{"Salicylic Acid"}, []Ask{{Code: AskPart, Name: "Salicylic Acid / BHA (salicylic acid) / zz",
				Others: []string{"Salicylic Acid"}}}},
		{"CI 77491 (Iron oxides)", []string{"CI 77491"}, nil, nil},
		{"Aqua (Water, Glycerin)", []string{"Aqua"}, []string{"Aqua", "Glycerin"},
			[]Ask{{Code: AskBracket, Name: "Aqua", Others: []string{"Aqua", "Glycerin"}}}},
		{"BHA (salicylic acid) Xyzol", []string{"Salicylic Acid"}, nil,
			[]Ask{{Code: AskByBracket, Name: "BHA  Xyzol", Others: []string{"Salicylic Acid"}}}},
		{"Water, Aqua (Glycerin)", []string{"Aqua"}, []string{"Glycerin"},
			[]Ask{{Code: AskBracket, Name: "Aqua", Others: []string{"Glycerin"}}}},
		{"Glycerin 99 % (Glycamil 99)", []string{"Glycerin"}, nil,
			[]Ask{{Code: AskBracketUnknown, Name: "Glycerin", Others: []string{"Glycamil 99"}}}},
		{"Aqua(Water) zz", []string{"Aqua(Water) zz"}, nil, []Ask{{Code: AskUnknown, Name: "Aqua(Water) zz"}}},
		{"Aqua (and)", []string{"Aqua"}, nil, nil},
		{"BHA (salicylic acid)(Xyzol)", []string{"Salicylic Acid"}, nil,
			[]Ask{{Code: AskBracketUnknown, Name: "Salicylic Acid", Others: []string{"Xyzol"}}}},
		{"Cocos Nucifera (Olive) Oil", []string{"Cocos Nucifera Oil"}, nil,
			[]Ask{{Code: AskBracketUnknown, Name: "Cocos Nucifera Oil", Others: []string{"Olive"}}}},
		{"Cocos Nucifera (Mineral) Oil", []string{"Cocos Nucifera Oil"}, nil,
			[]Ask{{Code: AskBracketUnknown, Name: "Cocos Nucifera Oil", Others: []string{"Mineral"}}}},
		{"Glycerin, Xyzol", []string{"Glycerin, Xyzol"}, []string{"Glycerin"},
			[]Ask{{Code: AskPart, Name: "Glycerin, Xyzol", Others: []string{"Glycerin"}}}},
		{"Aqua (Water) and Urea and Xyzol", []string{"Aqua (Water) and Urea and Xyzol"}, []string{"Aqua", "Urea"},
			[]Ask{{Code: AskPart, Name: "Aqua (Water) and Urea and Xyzol", Others: []string{"Aqua", "Urea"}}}},
		{"Aqua (/)", []string{"Aqua"}, nil, []Ask{{Code: AskBracketUnknown, Name: "Aqua", Others: []string{"/"}}}},
		{"Aqua (and), Glycerin", []string{"Aqua", "Glycerin"}, nil,
			[]Ask{{Code: AskSeveral, Name: "Aqua (and), Glycerin", Others: []string{"Aqua", "Glycerin"}}}},
		{"Xyzol*, Glycerin®", []string{"Xyzol, Glycerin"}, []string{"Glycerin"},
			[]Ask{{Code: AskPart, Name: "Xyzol*, Glycerin®", Others: []string{"Glycerin"}}}},
		{"Aqua, Glycerin (Hydroquinone)", []string{"Aqua", "Glycerin"}, []string{"Hydroquinone"},
			[]Ask{{Code: AskSeveral, Name: "Aqua, Glycerin (Hydroquinone)", Others: []string{"Aqua", "Glycerin"}},
				{Code: AskBracket, Name: "Glycerin", Others: []string{"Hydroquinone"}}}},
		// a bracket that names one substance of a mixture takes none of the others away
		{"CMIT/MIT (Methylisothiazolinone)", []string{"Methylchloroisothiazolinone", "Methylisothiazolinone"}, nil,
			[]Ask{{Code: AskSeveral, Name: "CMIT/MIT (Methylisothiazolinone)",
				Others: []string{"Methylchloroisothiazolinone", "Methylisothiazolinone"}}}},
		{"CMIT/MIT (Glycerin)", []string{"Methylchloroisothiazolinone", "Methylisothiazolinone", "Glycerin"}, nil,
			[]Ask{{Code: AskBracket, Name: "CMIT/MIT", Others: []string{"Glycerin"}}, {Code: AskSeveral,
				Name: "CMIT/MIT (Glycerin)", Others: []string{"Methylchloroisothiazolinone", "Methylisothiazolinone",
					"Glycerin"}}}},
		{"Iron Oxides (CI 77491, CI 77499)", []string{"Iron Oxides (CI 77491, CI 77499)"},
			[]string{"CI 77491", "CI 77492", "CI 77499"},
			[]Ask{{Code: AskBracket, Name: "Iron Oxides", Others: []string{"CI 77491", "CI 77499"}}, {Code: AskWhich,
				Name: "Iron Oxides (CI 77491, CI 77499)", Others: []string{"CI 77491", "CI 77492", "CI 77499"}}}},
		{"(nano)", []string{"(nano)"}, nil, []Ask{{Code: AskUnknown, Name: "(nano)"}}},
		{"", []string{""}, nil, []Ask{{Code: AskUnknown}}},
		{"  zz   yy ", []string{"zz yy"}, nil, []Ask{{Code: AskUnknown, Name: "zz yy"}}},
	} {
		reading := r.Resolve(c.printed, "", "")
		require.Equal(t, c.names, namesOf(reading.Names), c.printed)
		require.Equal(t, c.within, namesOf(reading.Within), c.printed)
		require.Len(t, reading.Within, len(c.within), "%s: each once", c.printed)
		require.Equal(t, c.asks, reading.Asks, c.printed)
		require.Equal(t, len(c.names) > 1, reading.Several(), c.printed)
		for _, a := range c.asks {
			got, ok := reading.Asked(a.Code)
			require.True(t, ok)
			require.Equal(t, a.Code, got.Code)
		}
		_, ok := reading.Asked("none")
		require.False(t, ok)
		require.Equal(t, reading, r.Resolve(c.printed, "", ""), "remembered")
	}
}

// Further names of a substance: what was printed beside its name, and what the lists say.
func TestFurtherNames(t *testing.T) {
	r := reader(t, regulation)
	for printed, also := range map[string][]string{
		"Aqua (Water)": {"Water"}, "Water / Aqua (Eau)": {"Water", "Eau"}, "Glycerol": {"Glycerol"},
		"Softol P (Isopropyl Palmitate)": {"Softol P"}, "Cocos Nucifera (Coconut) Oil": {"Coconut"},
		"Tocopherol (Vitamin E)": {"Vitamin E"}, "Natriumbenzoat": {"Natriumbenzoat"},
		"Sodium Laureth Sulphate":     {"Sodium Laureth Sulphate"},
		"Salicylic acid sodium salt":  {"Salicylic acid sodium salt"},
		"Titanium Dioxide (CI 77891)": {"CI 77891"},
		"Glycerin, Glycerol":          {"Glycerol"}, "Glycerin, Glycerol, Aqua": {"Glycerol"},
		"Aqua (Eau 99 %)":           {"Eau", "Eau 99 %"},
		"Ammonium Laureth Sulphate": {"Ammonium Laureth Sulphate"}, "Calciumpantothenat": {"Calciumpantothenat"},
		"Benzoic acid, potassium salt": {"Benzoic acid, potassium salt"},
		"Aqua (Water 99 %)":            {"Water 99 %"}, "Titanium Dioxide (Pigment White 6)": {"CI 77891",
			"Pigment White 6"},
		"Titanium Dioxide, CI 77891, Aqua": {"CI 77891"}, "Titanium Dioxide / CI 77891": {"CI 77891"},
		"Magnesium sulphate": {"MAGNESIUM SULFATE"}, "Bismuth oxychloride": {"CI 77163"},
		"Glycerin": nil, "GLYCERIN": nil, "Xyzol (zz)": {"Xyzol"},
	} {
		n := r.Resolve(printed, "", "").First()
		require.Subset(t, append([]string{}, n.Also...), append([]string{}, also...), printed)
		if also == nil {
			require.Empty(t, n.Also, printed)
		}
		require.Equal(t, append([]string{n.Name}, n.Also...), n.Names())
		for i, a := range n.Also {
			require.NotContains(t, n.Also[i+1:], a, "each once")
			require.NotEqual(t, n.Name, a)
		}
	}
	require.Equal(t, inInventory, r.Resolve("Glycerin", "", "").First().Source)
	require.Equal(t, otherName, r.Resolve("Glycerol", "", "").First().Source)
	require.Equal(t, customary, r.Resolve("CMIT/MIT", "", "").First().Source)
	require.Equal(t, "Kaolin", r.Resolve("KAOLIN clay", "", "").First().Name)
	require.Equal(t, "CI 77004", r.Resolve("CI 77004", "", "").First().Name)
	require.Equal(t, "CI 77891", r.Resolve("Titanium Dioxide (CI 77891)", "", "").First().CI)
	require.Equal(t, "CI 77891", r.Resolve("Titanium Dioxide / CI 77891", "", "").First().CI)
	require.Equal(t, "CI 99999", r.Resolve("CI 99999 zz", "", "").First().CI)
	require.True(t, r.Resolve("Titanium Dioxide / Titanium Dioxide (nano)", "", "").First().Nano)
	require.True(t, r.Resolve("Titanium Dioxide (nano), Titanium Dioxide, Aqua", "", "").Names[0].Nano)
	require.True(t, r.Resolve("Titanium Dioxide, Titanium Dioxide (nano), Aqua", "", "").Names[0].Nano)
	require.False(t, r.Resolve("Titanium Dioxide, Aqua (nano)", "", "").Names[0].Nano)
	require.False(t, r.Resolve("Titanium Dioxide / Titanium White / TiO2 (zz)", "", "").Names[0].Nano)
	require.False(t, r.Resolve("Titanium Dioxide, Titanium Dioxide, Aqua", "", "").Names[0].Nano)
}

// What stands for one substance, and what does not. A number of a class is no ground.
func TestSame(t *testing.T) {
	r := reader(t, regulation)
	of := func(text string) Named { return r.Resolve(text, "", "").First() }
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"Glycerin", "GLYCERIN", true}, {"Glycerin", "Glycerol", true}, {"Glycerin", "Aqua", false},
		{"Titanium Dioxide", "CI 77891", true}, {"Poloxamer 101", "Poloxamer 407", false},
		{"Rosa Canina Fruit Oil", "Rosa Canina Fruit Oil", true}, {"Rosa Canina Fruit Oil",
			"Rosa Canina Seed Oil", false},
		{"Rosa Canina Fruit Oil", "Rosa Canina Fruit Extract", false}, {"Rosa Canina Fruit Oil",
			"Rosa Damascena Fruit Oil", false},
		{"Rosa Canina Fruit Oil", "Glycerin", false}, {"Xyzol", "Yzol", false}, {"Xyzol", "xy-zol", true},
	} {
		require.Equal(t, c.want, r.same(of(c.a), of(c.b)), "%s, %s", c.a, c.b)
		require.Equal(t, c.want, r.same(of(c.b), of(c.a)), "%s, %s", c.b, c.a)
	}
	require.True(t, resolver(t).same(of("Titanium Dioxide"), of("CI 77891")), "by the number of the inventory")
	bare := resolver(t)
	ofBare := func(text string) Named { return bare.Resolve(text, "", "").First() }
	// 1332-58-7 is the number of three names of the inventory, and 9064-14-6 that of three polymers
	require.True(t, bare.same(ofBare("Kaolin"), ofBare("CI 77004")))
	require.True(t, bare.same(ofBare("CI 77004"), ofBare("Kaolin")))
	require.False(t, bare.same(ofBare("PPG-4 Lauryl Ether"), ofBare("PPG-7 Lauryl Ether")))
	require.False(t, bare.same(ofBare("Kaolin"), ofBare("Halloysite")))
	require.True(t, bare.same(ofBare("Rosa Canina Fruit Oil"), ofBare("Rosa Canina (zz) Hip Oil")),
		"one part under two words")
	require.True(t, bare.same(ofBare("Copper Sulfate"), ofBare("Cupric Sulfate")), "7758-98-7 is theirs alone")
	require.True(t, r.same(Named{Name: "A", Also: []string{"B"}}, Named{Name: "b"}))
	require.True(t, r.same(Named{Name: "b"}, Named{Name: "A", Also: []string{"B"}}))
	require.False(t, r.same(Named{Name: "A"}, Named{Name: "b"}))
	one, other := &Plant{Of: "rosa", Parts: []string{"leaf"}, Preparation: []string{"oil"}},
		&Plant{Of: "rosa",
			Parts: []string{"leaf"}, Preparation: []string{"oil"}}
	require.True(t, r.samePlant(one, other))
	require.False(t, r.samePlant(one, nil) || r.samePlant(nil, one) || r.samePlant(nil, nil))
	for _, other := range []*Plant{{Of: "rosae", Parts: one.Parts, Preparation: one.Preparation},
		{Of: "rosa", Parts: []string{"seed"}, Preparation: one.Preparation}, {Of: "rosa", Parts: one.Parts}} {
		require.False(t, r.samePlant(one, other))
	}
}
