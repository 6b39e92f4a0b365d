package formula

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/names"
)

// Genus and species: two words of three letters or more, of a to z alone, once each.
func TestLatinNamesByHand(t *testing.T) {
	for _, c := range []struct {
		name, of string
		want     []string
	}{
		{"Fig leaf absolute (Ficus carica)", "fig", []string{"ficus carica"}},
		{"Ficus Carica Fruit Extract", "ficus carica", []string{"ficus carica"}},
		{"Ficus Carica (Ficus carica)", "Ficus Carica", []string{"ficus carica"}},
		{"x (Zea mays)", "aloe zebrina", []string{"aloe zebrina", "zea mays"}},
		{"x", "al oe zebrina", nil},
		{"x", "aloe ze", nil},
		{"x", "al zebrina", nil},
		{"x", "aloe zea", []string{"aloe zea"}},
		{"x", "zea-mays", []string{"zea mays"}},
		{"x", "zea{mays", []string{"zea mays"}},
		{"x", "zea`mays", []string{"zea mays"}},
		{"x", "", nil},
		{"x (Zea mays var. alba)", "", []string{"zea mays"}},
	} {
		assert.Equal(t, c.want, LatinNames(c.name, &names.Plant{Of: c.of}), c.name+" "+c.of)
	}
}

// Two substances in one value of 10 to 20 %, by hand: each may be nothing or all 20 %, and
// half of the typical 15 % is taken of each; the rest to 100 is shared in the same way.
func TestSharedValues(t *testing.T) {
	dict := ingredients.NewDictionary()
	for _, name := range []string{"Acid", "Base", "Leaf", "Salt", "Wax"} {
		dict.Add("Exemplum "+name, nil, nil)
	}
	m := Prepare(sheet(t, "m", "Exemplum Acid (and) Exemplum Base", "10-20", "Aqua", "q.s."), dict)
	require.Len(t, m.Parts, 3)
	assert.Equal(t, [3]string{"0", "7.5", "20"}, exactRange(m.Parts[0].Pct))
	assert.Equal(t, [3]string{"0", "7.5", "20"}, exactRange(m.Parts[1].Pct))
	assert.Equal(t, "85", m.Parts[2].Pct.Typ.Exact())
	c := Compose(mixture(t, "m", "100"), map[string]*Material{"m": m})
	assert.True(t, c.Find("Exemplum Acid").Contributions[0].Present, "some of each is there")
	assert.False(t, c.Find("Aqua").Contributions[0].Present)

	none := Prepare(sheet(t, "m", "Exemplum Acid (and) Exemplum Base", "0-20", "Aqua", "q.s."), dict)
	assert.False(t, none.brings[0].present, "there may be nothing of both")
	all := Prepare(sheet(t, "m", "Exemplum Acid (and) Exemplum Base", "q.s.", "Aqua", "40"), dict)
	assert.True(t, all.brings[0].present, "the rest is there")
	assert.Equal(t, []string{"30", "30", "40"},
		[]string{all.Parts[0].Pct.Typ.Exact(), all.Parts[1].Pct.Typ.Exact(), all.Parts[2].Pct.Typ.Exact()})
	assert.Equal(t, [3]string{"0", "30", "60"}, exactRange(all.Parts[0].Pct), "each may be all of the rest, or nothing")
	assert.Equal(t, [3]string{"0", "30", "60"}, exactRange(all.Parts[1].Pct), "the second name as the first")
	// two such values are shared each on its own: 60 % in two, 40 % in three
	s := sheet(t, "m", "Exemplum Acid (and) Exemplum Base", "60",
		"Exemplum Leaf (and) Exemplum Salt (and) Exemplum Wax", "q.s.")
	for i := range s.Composition.Constituents {
		s.Composition.Constituents[i].Pos = exact.Pos{File: "m.yaml", Line: i + 1}
	}
	two := Prepare(s, dict)
	require.Len(t, two.Parts, 5)
	var typical []string
	for _, p := range two.Parts {
		typical = append(typical, p.Pct.Typ.Exact())
	}
	assert.Equal(t, []string{"30", "30", "40/3", "40/3", "40/3"}, typical)
}

// A number beside several names belongs to the one that it is known for, and the names of
// one substance are kept once.
func TestNumbersBesideSeveralNames(t *testing.T) {
	dict := ingredients.NewDictionary()
	dict.Add("Exemplum Acid", []string{"50-00-0"}, []string{"200-001-8"})
	dict.Add("Exemplum Base", []string{"64-17-5"}, nil)
	got := ReadNames(dict, "Exemplum Acid (and) Exemplum Base", "50-00-0", "200-001-8")
	require.Len(t, got, 2)
	assert.Equal(t, []string{"50-00-0", "200-001-8", "", ""}, []string{got[0].cas, got[0].ec, got[1].cas, got[1].ec})
	one := ReadNames(dict, "Exemplum Acid", "64-17-5", "")
	assert.Equal(t, "64-17-5", one[0].cas, "one name keeps its number, whatever that is")

	o := OtherNames{Also: []string{"a"}, Maybe: []string{"m"}}
	o.add(OtherNames{Also: []string{"a", "b"}, Maybe: []string{"m", "n"}})
	assert.Equal(t, OtherNames{Also: []string{"a", "b"}, Maybe: []string{"m", "n"}}, o)

	p := Part{INCI: "Exemplum Acid", key: "kept"}
	assert.Equal(t, []string{"kept", ingredients.NameKey("Other")}, []string{p.NameKey("Exemplum Acid"),
		p.NameKey("Other")})
	p.Nano = true
	assert.Equal(t, ingredients.NameKey("Exemplum Acid"), p.NameKey("Exemplum Acid"), "the name has no form")
	p = Part{INCI: "Exemplum Acid"}
	assert.Equal(t, ingredients.NameKey("Exemplum Acid"), p.NameKey("Exemplum Acid"))
	s := Substance{INCI: "Exemplum Acid", MergeKey: "kept"}
	assert.Equal(t, []string{"kept", "kept"}, []string{s.Key(), s.NameKey()})
}

// What a bracket names besides is asked about with the substance that it stands beside.
func TestNamesWithin(t *testing.T) {
	dict := table.Builtin().Dictionary()
	reading := dict.Resolve("Glycerin (contains Phenoxyethanol)", "", "")
	require.NotEmpty(t, reading.Within)
	got := ReadNames(dict, "Glycerin (contains Phenoxyethanol)", "", "")
	require.Len(t, got, 1)
	assert.Contains(t, got[0].Maybe, "Phenoxyethanol")
	c := Compose(mixture(t, "m", "100"),
		map[string]*Material{"m": Prepare(sheet(t, "m", "Glycerin (contains Phenoxyethanol)", "100"), dict)})
	assert.Contains(t, c.Substances[0].Maybe, "Phenoxyethanol")
}

// Of what a number is given to, four are named and the others counted; of other questions
// all are named.
func TestHowManyNamesAreGiven(t *testing.T) {
	of := func(code names.Code, others ...string) (named int, more string) {
		f := nameFinding(&ingredients.Sheet{}, printedName{text: "x"},
			names.Ask{Code: code, Name: "inner", Number: "50-00-0", Others: others})
		list, _ := f.Values.Get("others")
		if v, ok := f.Values.Get("more"); ok {
			more = Itoa(v.Count())
		}
		return len(list.List), more
	}
	for _, c := range []struct {
		code  names.Code
		n     int
		named int
		more  string
	}{
		{names.AskNumberFits, 4, 4, ""}, {names.AskNumberFits, 5, 4, "1"}, {names.AskPlantNumber, 7, 4, "3"},
		{names.AskPlantNumber, 4, 4, ""}, {names.AskWhich, 7, 7, ""}, {names.AskNumberFits, 1, 1, ""},
	} {
		named, more := of(c.code, []string{"a", "b", "c", "d", "e", "f", "g"}[:c.n]...)
		assert.Equal(t, []any{c.named, c.more}, []any{named, more}, c)
	}
	has := func(code names.Code, name string) bool {
		_, ok := nameFinding(&ingredients.Sheet{}, printedName{text: "x"}, names.Ask{Code: code, Name: "inner",
			Number: "50-00-0"}).Values.Get(name)
		return ok
	}
	assert.True(t, has(names.AskBracket, "name"))
	assert.True(t, has(names.AskBracketUnknown, "name"))
	assert.False(t, has(names.AskByNumber, "name"))
	assert.True(t, has(names.AskByNumber, "number"))
	assert.False(t, has(names.AskWhich, "number"))
}

func TestIdentityMore(t *testing.T) {
	tables := table.Builtin()
	// an impurity in no list is no finding, one with another substance's number is
	s := sheet(t, "m", "Glycerin", "100")
	s.Impurities = []ingredients.Impurity{{Name: "Exemplum Borealis Quintessence"}, {Name: "Cera Alba",
		CAS: "8006-44-8"}}
	assert.Equal(t, []string{"ask cas-contradicts"}, codes(findIdentity(s, tables)))
	// a content above 100 is an assay, and said to be taken as one
	over := sheet(t, "m", "Glycerin", "98.0-102.5")
	fs := findIdentity(over, tables)
	require.Equal(t, []string{"note assay-above-100"}, codes(fs))
	least, _ := fs[0].Values.Get("least")
	assert.Equal(t, "98", least.Low.Exact())
	assert.Equal(t, finding.AsIs, least.Round)
	// a name near to many is answered with three
	fs = findIdentity(sheet(t, "m", "Sodium Lauret Sulfate", "100"), tables)
	require.Equal(t, []string{"ask unknown-inci"}, codes(fs))
	others, _ := fs[0].Values.Get("others")
	assert.Len(t, others.List, 3)
	assert.True(t, ColourNames{tables}.IsSubstrate("Alumina"))
	assert.False(t, ColourNames{tables}.IsSubstrate("Glycerin"))
	of := func(name, cas string) []string {
		return codes(findIdentity(coded(sheet(t, "m", name, "100"), cas), tables))
	}
	assert.Empty(t, of("Phenoxyethanol", "122-99-6"))
	assert.Empty(t, of("Rosa Canina Seed Oil", "84603-93-0"), "the number of a plant contradicts no name of one")
	assert.Equal(t, []string{"stop name-several"}, of("Glycerin (and) Phenoxyethanol", "8006-44-8"),
		"whose number it is remains open")
}

// Sums are told with all their decimals.
func TestSumsWithDecimals(t *testing.T) {
	_, fs := Resolve(withFormula(t, Percent, "water", "95.125", "oil", "10.0005"), &Variant{}, tolerance)
	assert.Equal(t, "the lines add up to 105.1255 %, 5.1255 % above 100", wordstest.Said(fs[0]).Message)
	_, fs = Resolve(withFormula(t, Percent, "water", "q.s.", "oil", "60.1255", ":scent", "65.5"), &Variant{}, tolerance)
	assert.Equal(t, "the other lines already add up to 125.6255 %, so nothing is left for q.s.",
		wordstest.Said(fs[0]).Message)
	assert.Contains(t, wordstest.Said(fs[0]).Fix, "25.6255 %")
	assert.Equal(t, []string{"60.1255 % oil", "65.5 % in the empty slot scent"},
		[]string{wordstest.Term(fs[0].Sum[0]), wordstest.Term(fs[0].Sum[1])})
	dict := ingredients.NewDictionary()
	m := Prepare(sheet(t, "m", "A", "60.1255-70", "B", "50.5"), dict)
	assert.Equal(t, "the constituents cannot add up to 100 %: the lowest contents already make 60.1255 + 50.5 = 110.6255 %",
		wordstest.Said(m.Findings[0]).Message)
	m = Prepare(sheet(t, "m", "A", "60-70.1255", "B", "10.5"), dict)
	assert.Equal(t, "the constituents cannot add up to 100 %: the highest contents make only 70.1255 + 10.5 = 80.6255 %",
		wordstest.Said(m.Findings[0]).Message)
	// lines of one material at other places stay apart in the whole
	var mix Mixture
	at := func(line int) exact.Pos { return exact.Pos{File: "p.yaml", Line: line} }
	mix.Add(Share{Ingredient: "a", Pct: num(t, "1"), Pos: at(1)})
	mix.Add(Share{Ingredient: "a", Pct: num(t, "2"), Pos: at(2)})
	mix.Add(Share{Ingredient: "b", Pct: num(t, "3"), Pos: at(1)})
	mix.Add(Share{Ingredient: "a", Pct: num(t, "4"), Pos: at(1)})
	mix.Add(Share{Ingredient: "a", Pct: num(t, "5"), Pos: at(1), Added: true})
	assert.Equal(t, []string{"a 5", "a 2", "b 3", "a 5"}, sharesText(mix))
}

// The most on a line in its own unit where the line says it, by hand; else of the mixture.
func TestTypedByHand(t *testing.T) {
	in := &Input{Product: withFormula(t, Grams, "water", "90", "oil", "8", ":scent", "2"), Variant: &Variant{}}
	mix := func(v *Variant) Mixture {
		r, _ := Resolve(in.Product, v, tolerance)
		return r.Whole
	}
	of := func(v *Variant, id, use, most string) string {
		in.Variant = v
		got, ok := in.typed(mix(v), id, num(t, use), num(t, most))
		if !ok {
			return "not said"
		}
		return got.most.Exact() + " " + got.unit + ", now " + got.now.Exact()
	}
	// without the scent 8 of 98 g; x ÷ (90 + x) = 4 % is x = 360 ÷ 96
	bare := &Variant{}
	r, _ := Resolve(in.Product, bare, tolerance)
	oil := SharesOf(r.Whole, "oil")[0].Pct
	got, ok := in.typed(r.Whole, "oil", oil, num(t, "4"))
	require.True(t, ok)
	assert.Equal(t, []string{"3.75", "8", "g"}, []string{got.most.Exact(), got.now.Exact(), got.unit})
	// with the scent 8 of 100 g: x ÷ (92 + x) = 4 % is x = 368 ÷ 96 = 23/6
	filled := &Variant{Fill: []Fill{fill("scent", "fo")}}
	assert.Equal(t, "23/6 g, now 8", of(filled, "oil", "8", "4"))
	// portions are scented on their own: the slot is part of the mass in each
	parts := &Variant{Portions: []Portion{{Name: "a", SharePct: Hundred, Fill: []Fill{fill("scent", "fo")}}}}
	assert.Equal(t, "23/6 g, now 8", of(parts, "oil", "8", "4"))
	assert.Equal(t, "not said", of(filled, "oil", "8", "100"), "no amount makes the base one material alone")
	assert.Equal(t, "0 g, now 8", of(filled, "oil", "8", "0"))
	assert.Equal(t, "not said", of(filled, "oil", "0", "4"), "nothing of it now")
	assert.Equal(t, "not said", of(filled, "wax", "1", "4"), "no line brings it")

	in.Product = withFormula(t, Percent, "water", "q.s.", "oil", "5", "wax", "2", "oil", "3", "none", "0")
	assert.Equal(t, "4 %, now 2", of(bare, "wax", "2", "4"))
	assert.Equal(t, "1 %, now 2", of(bare, "wax", "2", "1"))
	assert.Equal(t, "not said", of(bare, "oil", "8", "4"), "two lines bring it")
	assert.Equal(t, "not said", of(bare, "water", "90", "50"), "it is the rest")
	assert.Equal(t, "not said", of(bare, "none", "1", "1"), "a line of nothing")

	// additions: x ÷ (100 + 4 + x) = 2 % is x = 208 ÷ 98 = 104/49
	adds := &Variant{ThenAdd: []Addition{{Ingredient: "stone", Parts: num(t, "4"),
		Pos: exact.Pos{File: "p.yaml", Line: 90}},
		{Ingredient: "salt", Parts: num(t, "3"), Pos: exact.Pos{File: "p.yaml", Line: 91}}}}
	assert.Equal(t, "104/49 parts per 100, now 3", of(adds, "salt", "3", "2"))
	assert.Equal(t, "not said", of(adds, "salt", "3", "100"))
	in.Variant = adds
	v, settle := in.Least(mix(adds), "salt", num(t, "2.803738"), num(t, "2"))
	require.NotNil(t, settle)
	assert.Equal(t, []string{"amount", "2.122"}, []string{settle.Key, settle.Value.Round.Of(settle.Value.Low)})
	assert.Equal(t, "p.yaml", settle.File)
	now, _ := v.Get("now")
	assert.Equal(t, finding.FourDigits, now.Round)
	// of the mixture where the line does not say
	v, settle = in.Least(Mixture{Name: "rose", Shares: mix(bare).Shares}, "oil", num(t, "8.12345"), num(t, "4.12345"))
	assert.Nil(t, settle)
	most, _ := v.Get("most")
	now, _ = v.Get("now")
	portion, _ := v.Get("portion")
	_, ofMixture := v.Get("of-mixture")
	assert.Equal(t, []any{"4.123", "8.123", "rose", true}, []any{most.Round.Of(most.Low), now.Round.Of(now.Low),
		portion.Text, ofMixture})
}
