package purpose

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
)

// Every function of the common raw materials is understood.
func TestFunctionsOfMaterialsAreUnderstood(t *testing.T) {
	for _, m := range law.Materials(table.Builtin()) {
		for _, f := range m.Functions {
			_, ok := FunctionOf(formulatest.Session(table.Builtin()), f)
			assert.True(t, ok, "%s: %q", m.Key, f)
		}
	}
}

func TestFunctionOf(t *testing.T) {
	for wording, want := range map[string]string{
		"preservative": Preservative, "Preserving": Preservative, "UV FILTER": UVFilter, "colour": Colorant,
		"PERFUMING":   Fragrance,
		"pH adjuster": "ph-adjuster", "buffering": "ph-adjuster", "denaturant": "denaturant",
		"antioxidant": other, "cleansing": other,
		"ANTIMICROBIAL": other, "essential oil": Fragrance, "carrier oil": other,
		"peroxide stabiliser": "peroxide-stabiliser",
	} {
		got, ok := FunctionOf(formulatest.Session(table.Builtin()), wording)
		assert.True(t, ok, wording)
		assert.Equal(t, want, got, wording)
	}
	_, ok := FunctionOf(formulatest.Session(table.Builtin()), "makes it nice")
	assert.False(t, ok)
}

// A claim counts where a sentence plainly makes it.
func TestClaims(t *testing.T) {
	of := func(text string) []string { return claimsOf(table.Builtin(), []formula.Claim{{Text: text}}) }
	assert.Equal(t, []string{"sun-protection"}, of("with SPF 15"))
	assert.Equal(t, []string{"sun-protection"}, of("protects from the sun"))
	assert.Equal(t, []string{"bronzing"}, of("a gentle self-tanning milk"))
	assert.Equal(t, []string{"uv-exposure"}, of("for the sunbed"))
	assert.Empty(t, of("contains no SPF"))
	assert.Empty(t, of("this is not a sunscreen"))
	assert.Empty(t, of("smells of a sunny shore"))
}

// The product file adds to the product type and takes nothing away.
func TestSituationOfProduct(t *testing.T) {
	pt, ok := law.ProductType(table.Builtin(), "baby-lotion")
	require.True(t, ok)
	in := &formula.Input{Session: formulatest.Session(table.Builtin()),
		Product: &formula.Product{IntendedFor: formula.Adults, BodyAreas: []string{"face"}}, Type: pt}
	s := Base(in)
	assert.Contains(t, s.Areas, "face")
	assert.Contains(t, s.Areas, "body")
	assert.Equal(t, &law.Ages{From: 0, To: 1200}, s.Ages) // babies by type, adults by file
	assert.Equal(t, law.Unknown, s.Professional)
}

// What a material is for, from its sheet: a scent is there for its smell, a trace for
// nothing, and a wording that is not understood leaves it open.
func TestRolesByHand(t *testing.T) {
	of := func(s *ingredients.Sheet, route formula.Route) Roles {
		in := &formula.Input{Session: formulatest.Session(table.Builtin()), Sheets: map[string]*ingredients.Sheet{s.ID: s}}
		return Of(in, &formula.Substance{INCI: "Exemplum",
			Contributions: []formula.Contribution{{Ingredient: s.ID, Route: route}}})
	}
	scent := formulatest.ScentSheet("fo")
	scent.Functions = []string{"preservative"}
	assert.Equal(t, Roles{Main: []string{Fragrance}, All: []string{Fragrance}, Known: true},
		of(scent, formula.ByComposition))
	oil := formulatest.Material(t, "oil", "skin conditioning", "Exemplum", "100")
	assert.Equal(t, Roles{Main: []string{Fragrance}, All: []string{Fragrance}, Known: true},
		of(oil, formula.ByDeclaration))
	assert.Equal(t, Roles{Known: true}, of(oil, formula.ByImpurity))
	one := Roles{Main: []string{Preservative}, All: []string{Preservative}, Known: true}
	assert.Equal(t, one, of(formulatest.Material(t, "one", "preservative", "Exemplum", "100"), formula.ByComposition))
	odd := of(formulatest.Material(t, "odd", "exemplary;preservative", "Exemplum", "100"), formula.ByComposition)
	assert.False(t, odd.Known)
	assert.Equal(t, []string{Preservative}, odd.All)
	assert.Empty(t, odd.Main, "the first wording is not understood")
	assert.Equal(t, Roles{Known: true},
		Of(&formula.Input{Session: formulatest.Session(table.Builtin())},
			&formula.Substance{INCI: "Exemplum", Contributions: []formula.Contribution{{Ingredient: "gone"}}}))
}

// A denial speaks against a claim where it stands before it in the sentence, also at
// its very start.
func TestClaimAtTheStart(t *testing.T) {
	all := claimsOf(table.Builtin(),
		[]formula.Claim{{Text: "protects from the sun"}, {Text: "does not protect from the sun"}})
	first := claimsOf(table.Builtin(), []formula.Claim{{Text: "protects from the sun"}})
	assert.Equal(t, first, all)
	assert.Empty(t, claimsOf(table.Builtin(), []formula.Claim{{Text: "does not protect from the sun"}}))
}

// What the conditions of the law ask of materials.
func TestSituationOfMaterials(t *testing.T) {
	in := &formula.Input{Session: formulatest.Session(table.Builtin()), Sheets: map[string]*ingredients.Sheet{},
		Materials: map[string]*formula.Material{}}
	add := func(id string, change func(*ingredients.Sheet)) {
		s := formulatest.Sheet(t, id, "Exemplum", "100")
		if change != nil {
			change(s)
		}
		in.Sheets[id], in.Materials[id] = s, formula.Prepare(s, ingredients.NewDictionary())
	}
	from := func(ids ...string) *formula.Substance {
		s := &formula.Substance{INCI: "Exemplum"}
		for _, id := range ids {
			s.Contributions = append(s.Contributions, formula.Contribution{Ingredient: id})
		}
		return s
	}
	for _, form := range []string{"powder", "liquid", "paste", "gas", "solid", ""} {
		add("form-"+form, func(s *ingredients.Sheet) { s.Form = form })
		want := law.No
		if form == "solid" || form == "" {
			want = law.Unknown
		}
		assert.Equal(t, want, massiveOf(in, from("form-"+form)), form)
	}
	assert.Equal(t, law.Unknown, massiveOf(in, from("form-powder", "form-solid")))
	assert.Equal(t, law.Unknown, massiveOf(in, from("missing")))

	add("paper", func(s *ingredients.Sheet) {
		s.Documents = []ingredients.Document{{Kind: "sds", File: "x"}, {Kind: "purity", File: "evidence/p.txt"}}
	})
	add("mentioned", func(s *ingredients.Sheet) { s.Documents = []ingredients.Document{{Kind: "purity"}} })
	add("plain", nil)
	assert.Equal(t, "evidence/p.txt", paperOf(in.Sheets["paper"], 20261128))
	assert.Equal(t, "purity statement", paperOf(in.Sheets["mentioned"], 20261128))
	assert.Equal(t, "", paperOf(in.Sheets["plain"], 20261128))
	assert.Equal(t, law.Yes, refiningOf(in, from("paper", "mentioned")))
	assert.Equal(t, law.Unknown, refiningOf(in, from("paper", "plain")))
	assert.Equal(t, law.Unknown, refiningOf(in, from("missing")))

	trace := func(name, cas, amount string) func(*ingredients.Sheet) {
		return func(s *ingredients.Sheet) {
			formulatest.Impure(t, s, "Lead", "5")
			formulatest.Impure(t, s, name, amount)
			s.Impurities[1].CAS = cas
		}
	}
	add("by-name", trace("1,3-Butadiene", "", "0.02"))
	add("by-number", trace("divinyl", "106-99-0", "0.01-0.05"))
	add("other", trace("Isobutane", "75-28-5", "0.4"))
	assert.Equal(t, "0.02", butadieneOf(in, from("by-name")).Exact())
	assert.Equal(t, "0.05", butadieneOf(in, from("by-name", "by-number")).Exact(), "the highest")
	assert.Equal(t, "0.05", butadieneOf(in, from("by-number", "by-name")).Exact())
	assert.Nil(t, butadieneOf(in, from("by-name", "other")), "one does not state it")
	assert.Nil(t, butadieneOf(in, from("missing")))

	// natural: what plants bring in; added as such it is not, and of a perfume nobody knows
	in.Sheets["plant"] = formulatest.Sheet(t, "plant", "Exemplum Flower Oil", "50", "Aqua", "50")
	in.Sheets["thin"] = formulatest.Sheet(t, "thin", "Exemplum Flower Oil", "49", "Aqua", "51")
	in.Sheets["scent"] = formulatest.ScentSheet("scent")
	for _, id := range []string{"plant", "thin", "scent"} {
		in.Materials[id] = formula.Prepare(in.Sheets[id], ingredients.NewDictionary())
	}
	assert.Equal(t, law.Yes, NaturalOf(in, from("plant")), "half of it is enough")
	assert.Equal(t, law.No, NaturalOf(in, from("thin")))
	assert.Equal(t, law.Unknown, NaturalOf(in, from("plant", "scent")))
	assert.Equal(t, law.No, NaturalOf(in, from("scent", "plain")))
	byTrace := from("plain", "plant")
	byTrace.Contributions[0].Route = formula.ByImpurity
	assert.Equal(t, law.Yes, NaturalOf(in, byTrace))

	a, b := &law.Ages{From: 3, To: 12}, &law.Ages{From: 1, To: 10}
	assert.Equal(t, &law.Ages{From: 1, To: 12}, widest(a, b))
	assert.Equal(t, a, widest(a, nil))
	assert.Equal(t, b, widest(nil, b))
	assert.Nil(t, widest(nil, nil))

	pt, _ := law.ProductType(table.Builtin(), "body-lotion")
	yes := true
	s := Base(&formula.Input{Session: formulatest.Session(table.Builtin()),
		Product: &formula.Product{IntendedFor: formula.Adults, Professional: &yes,
			Claims: []formula.Claim{{Text: "with SPF 15"}, {Text: "a sunscreen"}}}, Type: pt})
	assert.Equal(t, law.Yes, s.Professional)
	n := 0
	for _, c := range s.Claims {
		if c == "sun-protection" {
			n++
		}
	}
	assert.Equal(t, 1, n)
	for name, want := range map[string]bool{"Oil": false, " Oil ": false, "Hydrogenated Rapeseed Oil": false,
		"Sea Water": false, "PEG-40 Castor Oil": false, "Exemplum Absolute": true, "Exemplum Oils": false} {
		assert.Equal(t, want, formula.IsBotanical(table.Builtin(), name), name)
	}
}

// Functions of several materials are joined, each once: the first of a sheet is certain, the
// further ones are possible, and a sheet that names none leaves more open.
func TestRolesOfSeveralMaterials(t *testing.T) {
	session := formulatest.Session(table.Builtin())
	in := &formula.Input{Session: session, Sheets: map[string]*ingredients.Sheet{}}
	add := func(id, functions string) { in.Sheets[id] = formulatest.Material(t, id, functions, "Exemplum", "100") }
	add("a", "preservative;UV filter")
	add("b", "UV filter;preservative;pH adjuster")
	add("none", "")
	of := func(inci string, ids ...string) Roles {
		s := &formula.Substance{INCI: inci}
		for _, id := range ids {
			s.Contributions = append(s.Contributions, formula.Contribution{Ingredient: id, Route: formula.ByComposition})
		}
		return Of(in, s)
	}
	assert.Equal(t, Roles{[]string{Preservative}, []string{Preservative, UVFilter}, true}, of("Exemplum", "a"))
	assert.Equal(t, Roles{[]string{Preservative, UVFilter}, []string{Preservative, UVFilter, "ph-adjuster"}, true},
		of("Exemplum", "a", "b"))
	assert.Equal(t, Roles{[]string{UVFilter, Preservative}, []string{UVFilter, Preservative, "ph-adjuster"}, true},
		of("Exemplum", "b", "a"))
	assert.Equal(t, Roles{[]string{Preservative}, []string{Preservative, UVFilter}, false}, of("Exemplum", "a", "none"))
	assert.Equal(t, Roles{}, of("Exemplum", "none"), "no function is stated: it may have any")
	add("single", "preservative")
	assert.Equal(t, Roles{[]string{Preservative}, []string{Preservative}, true}, of("Exemplum", "single"))
	assert.Equal(t, Roles{[]string{Preservative, Colorant}, []string{Preservative, UVFilter, Colorant}, true},
		of("CI 77891", "a"), "a colour index number says what it is for")
	assert.Equal(t, Roles{[]string{Colorant}, []string{Colorant}, false}, of("CI 77891", "none"))
	// what is read once for a product is what is read each time
	alone := of("Exemplum", "a", "b")
	in.Shared = &formula.Shared{}
	for range 2 {
		assert.Equal(t, alone, of("Exemplum", "a", "b"))
		assert.Equal(t, Roles{[]string{Preservative}, []string{Preservative, UVFilter}, true}, of("Exemplum", "a"))
	}
	preserving := &formula.Substance{INCI: "Exemplum",
		Contributions: []formula.Contribution{{Ingredient: "b", Route: formula.ByComposition}}}
	assert.True(t, MayPreserve(in, preserving))
	preserving.Contributions[0].Ingredient = "none"
	assert.False(t, MayPreserve(in, preserving))
}

// What is particular to a substance is added to what holds for every use.
func TestSituationOfASubstance(t *testing.T) {
	tables := table.Builtin()
	oil, pure := formulatest.Sheet(t, "oil", "Lavandula Angustifolia Oil", "100"), formulatest.Sheet(t, "pure",
		"Linalool", "100")
	pure.Form = "powder"
	pure.Documents = []ingredients.Document{{Kind: "purity", File: "purity.pdf"}}
	pure.Impurities = []ingredients.Impurity{{Name: "1,3-Butadiene", CAS: "106-99-0"}}
	pure.Impurities[0].Amount.Range = formulatest.Range(t, "0.05")
	sheets := map[string]*ingredients.Sheet{"oil": oil, "pure": pure}
	in := &formula.Input{Session: formulatest.Session(tables), Sheets: sheets, Date: 20261125,
		Materials: formula.PrepareAll(sheets, tables.Dictionary())}
	of := func(nano bool, ids ...string) law.Situation {
		s := &formula.Substance{INCI: "Linalool", Nano: nano}
		for _, id := range ids {
			s.Contributions = append(s.Contributions, formula.Contribution{Ingredient: id, Route: formula.ByComposition})
		}
		return Situation(in, law.Situation{RinseOff: true}, s)
	}
	for range 2 { // the second time from what is remembered
		s := of(false, "oil")
		assert.Equal(t, []law.Truth{law.Yes, law.No, law.Unknown, law.Unknown}, []law.Truth{s.Natural, s.Nano, s.Massive,
			s.RefiningKnown})
		assert.Nil(t, s.ButadienePct)
		assert.True(t, s.RinseOff)
		s = of(true, "pure")
		assert.Equal(t, []law.Truth{law.No, law.Yes, law.No, law.Yes}, []law.Truth{s.Natural, s.Nano, s.Massive,
			s.RefiningKnown})
		require.NotNil(t, s.ButadienePct)
		assert.Equal(t, "0.05", s.ButadienePct.Exact())
		assert.Equal(t, law.No, of(false, "oil", "pure").Natural)
		assert.Equal(t, law.No, of(false, "missing").Natural, "of an unknown material nothing is natural")
	}
	m := in.Materials["oil"]
	first := m.Natural.Found.Load()
	require.NotNil(t, first)
	assert.True(t, isNaturalEssence(tables, m))
	assert.Same(t, first, m.Natural.Found.Load(), "kept")
	more := tables.WithLimits([]*annex.Limit{{Annex: "own", Entry: "x", Names: []string{"Exemplum"}}})
	assert.True(t, isNaturalEssence(more, m))
	assert.NotSame(t, first, m.Natural.Found.Load(), "other tables are asked anew")
}
