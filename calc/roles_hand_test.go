package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Organisms are told by the first letter of the genus and the species.
func TestOrganismsByName(t *testing.T) {
	assert.True(t, sameOrganism("Staphylococcus aureus", "S. aureus"))
	assert.True(t, sameOrganism("E. coli", "Escherichia coli"))
	assert.False(t, sameOrganism("P. aeruginosa", "S. aeruginosa"), "another genus")
	assert.False(t, sameOrganism("Candida albicans", "Candida auris"))
	assert.False(t, sameOrganism("mould", "mould"))
}

// What a material is for, from its sheet: a scent is there for its smell, a trace for
// nothing, and a wording that is not understood leaves it open.
func TestRolesByHand(t *testing.T) {
	of := func(s *ingredients.Sheet, route Route) roles {
		in := &Input{Sheets: map[string]*ingredients.Sheet{s.ID: s}}
		return rolesOf(in, &Substance{INCI: "Exemplum", Contributions: []Contribution{{Ingredient: s.ID, Route: route}}})
	}
	scent := scentSheet("fo")
	scent.Functions = []string{"preservative"}
	assert.Equal(t, roles{main: []string{fnFragrance}, all: []string{fnFragrance}, known: true}, of(scent, ByComposition))
	oil := material(t, "oil", "skin conditioning", "Exemplum", "100")
	assert.Equal(t, roles{main: []string{fnFragrance}, all: []string{fnFragrance}, known: true}, of(oil, ByDeclaration))
	assert.Equal(t, roles{known: true}, of(oil, ByImpurity))
	odd := of(material(t, "odd", "exemplary;preservative", "Exemplum", "100"), ByComposition)
	assert.False(t, odd.known)
	assert.Equal(t, []string{fnPreservative}, odd.all)
	assert.Empty(t, odd.main, "the first wording is not understood")
	assert.Equal(t, roles{known: true}, rolesOf(&Input{}, &Substance{INCI: "Exemplum", Contributions: []Contribution{{Ingredient: "gone"}}}))
}

// A denial speaks against a claim where it stands before it in the sentence, also at
// its very start.
func TestClaimAtTheStart(t *testing.T) {
	all := claimsOf([]Claim{{Text: "protects from the sun"}, {Text: "does not protect from the sun"}})
	first := claimsOf([]Claim{{Text: "protects from the sun"}})
	assert.Equal(t, first, all)
	assert.Empty(t, claimsOf([]Claim{{Text: "does not protect from the sun"}}))
}

// The highest butadiene of the materials that bring a gas in decides its bans (II/463
// and others: below 0.1 %); one paper that is silent leaves it open.
func TestButadieneOfMaterials(t *testing.T) {
	gas := func(id string, pairs ...string) *ingredients.Sheet {
		return traced(t, sheet(t, id, "Butane", "100"), pairs...)
	}
	of := func(sheets ...*ingredients.Sheet) *ingredients.Num {
		in, s := &Input{Sheets: map[string]*ingredients.Sheet{}}, &Substance{INCI: "Butane"}
		for _, x := range sheets {
			in.Sheets[x.ID] = x
			s.Contributions = append(s.Contributions, Contribution{Ingredient: x.ID})
		}
		return butadieneOf(in, s)
	}
	require.NotNil(t, of(gas("a", "1,3-Butadiene", "0.05")))
	assert.Equal(t, "0.05", of(gas("a", "1,3-Butadiene", "0.05")).Exact())
	assert.Equal(t, "0.08", of(gas("a", "1,3-Butadiene", "0.05"), gas("b", "Sulfur", "0.2", "1,3-Butadiene", "0.08")).Exact())
	assert.Nil(t, of(gas("a", "1,3-Butadiene", "0.05"), gas("b", "Sulfur", "0.2")))
	r := limitCase{product: "body-lotion"}.of(t, traced(t, pure(t, "propellant", "Butane"), "1,3-Butadiene", "0.2"), "5")
	assert.Contains(t, limitCodes(r), "stop prohibited")
	r = limitCase{product: "body-lotion"}.of(t, traced(t, pure(t, "propellant", "Butane"), "1,3-Butadiene", "0.05"), "5")
	assert.NotContains(t, limitCodes(r), "stop prohibited")
}

// Contents that cannot add up to 100: too much at the least, or too little at the most.
func TestImpossibleCompositionWords(t *testing.T) {
	words := func(parts ...string) string {
		m := Prepare(sheet(t, "m", parts...), ingredients.NewDictionary())
		for _, f := range m.Findings {
			if f.Code == "impossible-composition" {
				return f.Message
			}
		}
		return ""
	}
	assert.Equal(t, "the constituents cannot add up to 100 %: the lowest contents already make 60 + 50 = 110", words("Aqua", "60-70", "Glycerin", "50"))
	assert.Equal(t, "the constituents cannot add up to 100 %: the highest contents make only 70 + 20 = 90", words("Aqua", "60-70", "Glycerin", "20"))
	assert.Equal(t, "", words("Aqua", "60-70", "Glycerin", "30-40"))
	assert.Equal(t, "0 short of 100", besideHundred(ingredients.Num{}))
	assert.Equal(t, "2 above 100", besideHundred(num(t, "2")))
}

// Masses that a balance cannot weigh, with the digits of a weighing sheet: 2 g in steps
// of 0.1 g is 5 % uncertain, 3 g 3.3 %.
func TestLoadsInWords(t *testing.T) {
	p := formula(t, Percent, "water", "q.s.", "a", "0.3")
	b := Balance{DivisionG: num(t, "0.1")}
	plan, fs := planned(t, p, &Variant{}, "1000", b) // 3 g
	require.Len(t, plan.Lines, 2)
	require.Len(t, fs, 1)
	assert.Equal(t, "3 g of a is weighed with an uncertainty of 3.3 % in steps of 0.1 g", fs[0].Message)
	p = formula(t, Percent, "water", "q.s.", "a", "0.0012345")
	_, fs = planned(t, p, &Variant{}, "1000", b) // 0.012345 g
	assert.Equal(t, "0.0123 g of a cannot be weighed in steps of 0.1 g: it would be left out", fs[0].Message)

	// what is stirred in after 100 is weighed last
	p = formula(t, Percent, "water", "q.s.", "a", "10")
	plan, _ = planned(t, p, &Variant{ThenAdd: []Addition{{Ingredient: "scent", Parts: num(t, "2")}}}, "1000", b)
	assert.Equal(t, "scent", plan.Lines[len(plan.Lines)-1].Ingredient)
}

// A child between three years and twelve uses what is made for the youngest as the
// youngest do; covered skin takes up more, which is said.
func TestAudiencesAndNappies(t *testing.T) {
	e, _ := exposureOf(t, "baby-lotion", ChildrenThree, nil)
	assert.Equal(t, UnderThree, e.Audience)
	e, _ = exposureOf(t, "body-lotion", ChildrenThree, nil)
	assert.Equal(t, ChildrenThree, e.Audience)
	e, _ = exposureOf(t, "body-lotion", Adults, own(t, "g", "5"))
	require.NotNil(t, e.Retention)
	assert.Equal(t, "retention not given: all of it is taken to stay", e.Retention.Note)
	tables := law.Builtin()
	var nappy string
	for _, key := range []string{"nappy-cream", "baby-cream", "baby-lotion", "baby-powder", "baby-oil"} {
		if pt, ok := tables.ProductType(key); ok && nappy == "" {
			for _, a := range pt.Areas {
				if a == "nappy" {
					nappy = key
				}
			}
		}
	}
	require.NotEmpty(t, nappy)
	e, _ = exposureOf(t, nappy, UnderThree, nil)
	assert.Contains(t, e.Notes, "nappy area: covered, moist or broken skin takes up more; the assessor judges it case by case")
}

// Small things that other results rest on.
func TestSmallRules(t *testing.T) {
	for i, want := range []int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} { // 2026
		assert.Equal(t, want, lastDay(2026*12+i))
	}
	assert.Equal(t, 29, lastDay(2028*12+1))
	for kind, types := range map[podKind][]string{podEffect: {"NOAEL", "noel", "BMDL10", "No effect level"}, podLowest: {"LOAEL", "LOEL"},
		podIntake: {"ADI", "TDI", "UL", "ARfD", "RfD", "DNEL", "tolerable intake"}, podTumour: {"T25", "TD50"}, podUnknown: {"LD50", ""}} {
		for _, name := range types {
			assert.Equal(t, kind, kindOf(name), name)
		}
	}
	silver := &Substance{INCI: "Silver", Nano: true, key: substanceKey("Silver", true)}
	assert.Equal(t, ingredients.NameKey("Silver"), silver.nameKey(), "the nano form has the name of the substance")
	assert.NotEqual(t, silver.nameKey(), silver.Key())
	for function, want := range map[string]bool{"colorant": true, "colourant": true, "cosmetic colour": true, "COLOR": true, "opacifying": false} {
		assert.Equal(t, want, colours([]string{function}), function)
	}
	plain := Prepare(material(t, "m", "emollient", "Squalane", "100"), ingredients.NewDictionary())
	assert.False(t, isCritical(plain))
	plain.Sheet.Functions = []string{"emollient", "preservative"}
	assert.True(t, isCritical(plain))

	// what there is more of by the typical content comes first, whatever may be in it at most
	p := formula(t, Percent, "a", "10", "b", "90")
	_, c := order(p, &Variant{}, nil, sheet(t, "a", "Glycerin", "10-80", "Aqua", "20-90"), sheet(t, "b", "Squalane", "94", "Betaine", "6"))
	var names []string
	for _, s := range c.Substances {
		names = append(names, s.INCI)
	}
	assert.Equal(t, []string{"Squalane", "Aqua", "Betaine", "Glycerin"}, names) // 84.6; 5.5, 5.4, 4.5: glycerin up to 8
	assert.Equal(t, "8", c.Substances[3].Total.Max.Exact())
}

// A scent is one entry with its exact share, whatever its paper discloses of it, and
// allergens below 1 % stand as the maker wishes.
func TestScentsAndAllergensInTheList(t *testing.T) {
	fo := sheet(t, "fo", "Linalool", "40-60", "Limonene", "40-60")
	fo.LabelAs = ingredients.LabelParfum
	l, _ := order(formula(t, Percent, "oil", "q.s.", "fo", "10"), &Variant{}, nil, sheet(t, "oil", "Squalane", "100"), fo)
	assert.Equal(t, "Squalane, Parfum", l.Line())
	assert.Equal(t, [3]string{"10", "10", "10"}, exactRange(entryNamed(l, "Parfum").Pct))

	declaredFo := declared(t, scentSheet("fo"), ingredients.List2003, "Linalool", "30", "Limonene", "20")
	p := formula(t, Percent, "base", "q.s.", "fo", "1")
	line := func(tail ...string) string {
		p.TailOrder = tail
		return assessed(t, p, &Variant{}, "body-lotion", law.GB, today, squalane(t), declaredFo).List.Line()
	}
	assert.Equal(t, "Squalane, Parfum, Linalool, Limonene", line())
	assert.Equal(t, "Squalane, Parfum, Limonene, Linalool", line("Limonene"))
}

// One month is a durability and a period: the date alone is asked for, with the jar
// where both are stated (L30 to L34).
func TestDurabilityOfOneMonth(t *testing.T) {
	of := func(best, pao int, none string) *Label {
		return labelled(t, LabelFacts{BestBeforeMonths: best, PAOMonths: pao, NoPAO: LabelWords{Text: none}}, nil)
	}
	assert.Equal(t, []string{"note label-both-dates"}, codesOf(of(1, 1, ""), "both-dates"))
	assert.Equal(t, []string{"ask label-durability-basis"}, codesOf(of(0, 1, ""), "durability-basis"))
	assert.Empty(t, codesOf(of(1, 0, ""), "durability"))
	assert.Equal(t, LabelNotNeeded, itemOf(t, of(31, 0, "never opened"), ItemPAO).State)
}

// A wording that may be due is printed with that remark: salicylic acid as a
// preservative (V/3), by who might use it. A label for markets whose lists differ names them.
func TestLabelRemarks(t *testing.T) {
	r := limitCase{product: "face-cream"}.of(t, pure(t, "preservative", "Salicylic Acid"), "0.3")
	l := MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}}, r)
	items := l.All(ItemPrecaution)
	require.Len(t, items, 1)
	assert.Equal(t, "due only if the rule applies: printed as the cautious choice", items[0].Remark)
	glycerin := limitCase{product: "body-lotion", market: law.GB}.of(t, material(t, "glycerin", "", "Glycerin", "100"), "10")
	l = MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}}, limitCase{product: "body-lotion", market: law.EU}.of(t), glycerin)
	assert.Contains(t, itemOf(t, l, ItemIngredients).Remark, "the lists for EU and GB differ")
}

// A room that is none comes before one that is some, by whatever name; a change at the
// very start and one at the very end of what is possible are said. Gum of another line is
// 1 % already; of 99 % oil, the rest is 1 %.
func TestEdgesOfHeadroom(t *testing.T) {
	some, none := RuleRoom{Rule: "a", UsePct: ingredients.Int(1), AtMostPct: ptr(num(t, "4"))}, RuleRoom{Rule: "z", UsePct: ingredients.Int(1)}
	for _, rooms := range [][]RuleRoom{{some, none}, {none, some}} {
		assert.Equal(t, "z", sortRooms(rooms)[0].Rule)
	}
	what := "from it on Xanthan Gum is 1 % and stands in order"
	r := assessed(t, formula(t, Percent, "water", "q.s.", "gum-a", "1", "gum-b", "0.5"), &Variant{}, "shower-gel", law.GB, 20261125,
		sheet(t, "water", "Aqua", "100"), sheet(t, "gum-a", "Xanthan Gum", "100"), sheet(t, "gum-b", "Xanthan Gum", "100"))
	assert.Contains(t, changesOf(headroomOf(t, Headrooms(r), "gum-b")), "0: "+what)
	r = assessed(t, formula(t, Percent, "water", "q.s.", "oil", "99", "gum", "0.5"), &Variant{}, "shower-gel", law.GB, 20261125,
		sheet(t, "water", "Aqua", "100"), squalane(t), sheet(t, "oil", "Squalane", "100"), sheet(t, "gum", "Xanthan Gum", "100"))
	assert.Contains(t, changesOf(headroomOf(t, Headrooms(r), "gum")), "1: "+what)
}

// Findings of a batch as weighed hold those of its allergens; no exposure is one finding,
// whoever uses the product; what is screened is named among the defaults, what is not
// absorbed poorly is not.
func TestFindingsThatStandAlone(t *testing.T) {
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Linalol", "1")
	r := limitCase{product: "body-lotion"}.of(t, fo, "1")
	assert.Contains(t, codes(CheckMade(r.Input, r.Recipe).Findings), "ask unlisted-allergen")
	_, found := exposureOf(t, "nail-oil", ChildrenThree, nil)
	assert.Equal(t, []string{"ask no-exposure"}, found)
	r = job(t, "shower-gel", "1", sheet(t, "m", "Lactic Acid", "100"), nil)
	require.Len(t, gapsBy(r, "absorption-default"), 1)
	assert.Equal(t, "Lactic Acid", gapsBy(r, "absorption-default")[0].Subject)
	assert.Empty(t, gapsBy(r, "absorption-poor"))

	twice := declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "1", "Linalool", "2", "Linalool", "3")
	for i := range twice.Allergens.Declared {
		twice.Allergens.Declared[i].Pos.Line = 10 + i
	}
	for _, f := range declarationFindings(twice, ingredients.NewDictionary()) {
		assert.Contains(t, f.Message, "is declared on line 10 already")
	}
	scent := scentSheet("fo")
	scent.Pos.Line, scent.Composition.Pos.Line = 3, 9
	assert.Equal(t, 3, Prepare(scent, ingredients.NewDictionary()).Parts[0].Pos.Line)
}

// Fixes name the files to change, each once, and not the product's among the sheets.
func TestFilesInFixes(t *testing.T) {
	run := handRun(t)
	run.in.Product.Pos.File = "products/test.yaml"
	at := func(files ...string) LimitCheck {
		var c LimitCheck
		for _, f := range files {
			c.Contributions = append(c.Contributions, Contribution{SourcePos: ingredients.Pos{File: f}})
		}
		return c
	}
	assert.Equal(t, "see a.yaml and b.yaml of products/test.yaml", run.filesIn("see {sheet} of {product}", at("a.yaml", "", "products/test.yaml", "a.yaml", "b.yaml")))
	assert.Equal(t, "see the sheet", run.filesIn("see {sheet}", at("", "products/test.yaml")))
	run.in.Product.Pos.File = ""
	assert.Equal(t, "see the product file", run.filesIn("see {product}", at()))
}

// One substance that two rows leave open for different facts is asked about for each,
// for the same facts once, in the row that allows least.
func TestTightestOfEachQuestion(t *testing.T) {
	check := func(key, limit string, verdict LimitVerdict, missing ...string) LimitCheck {
		return LimitCheck{Row: &law.Limit{Row: law.Row{Key: key}}, Substances: []string{"A"}, LimitPct: ptr(num(t, limit)), HighestPct: ptr(num(t, limit)), Content: rangeOf(t, "5"), Verdict: verdict, Missing: missing}
	}
	keys := func(verdict LimitVerdict, checks ...LimitCheck) []string {
		var out []string
		for _, c := range tightest(checks, verdict) {
			out = append(out, c.Row.Key)
		}
		return out
	}
	undecided := []LimitCheck{check("1", "2", LimitUndecided, "age"), check("2", "3", LimitUndecided, "function"), check("3", "1", LimitUndecided, "age"), check("4", "1", LimitKept)}
	assert.Equal(t, []string{"3", "2"}, keys(LimitUndecided, undecided...))
	assert.Equal(t, []string{"6"}, keys(LimitExceeded, check("5", "2", LimitExceeded), check("6", "1", LimitExceeded)))
}

// Doses per area are those of what is in the product; a low-risk case for a wet product
// rests on no dryness; a sheet that may lack the limit's figure says so.
func TestMoreSmallRules(t *testing.T) {
	r := job(t, "face-cream", "0.01", sheet(t, "m", "Coumarin", "100"), nil)
	require.Len(t, r.LocalDoses, 1)
	assert.Equal(t, "Coumarin", r.LocalDoses[0].LabelName)

	glycerin := sheet(t, "m", "Glycerin", "100")
	low := func(pct string) string {
		r := keptWith(t, "shower-gel", glycerin, pct, Evidence{LowRisk: &LowRisk{Reason: "no water"}})
		return findingOf(t, r, "low-risk").Message
	}
	assert.NotContains(t, low("50"), "water gets in when it is used")
	assert.Contains(t, low("100"), "water gets in when it is used")
	lotion := keptWith(t, "body-lotion", glycerin, "50", Evidence{LowRisk: &LowRisk{Reason: "much glycerin"}})
	assert.NotContains(t, findingOf(t, lotion, "low-risk").Message, "water gets in when it is used")

	// two sets of tables, two answers about one material
	m := Prepare(coded(sheet(t, "m", "Glycerin", "100"), "111-46-6"), ingredients.NewDictionary())
	tables := law.Builtin()
	more := tables.WithLimits([]*law.Limit{{Annex: "own", Entry: "x", Names: []string{"Exemplum"}}})
	require.NotSame(t, tables, more)
	require.NotEmpty(t, m.identityFindings(tables))
	first := m.identity.found.Load()
	m.identityFindings(tables)
	assert.Same(t, first, m.identity.found.Load(), "kept")
	m.identityFindings(more)
	assert.NotSame(t, first, m.identity.found.Load(), "other tables are asked anew")
}

// Rows of a sum leave a substance that is there with 0 % out of everything.
func TestNothingOfASubstanceIsNotChecked(t *testing.T) {
	r := limitCase{product: "face-cream"}.of(t, material(t, "m", "preservative", "Glycerin", "100", "Phenoxyethanol", "0"), "5")
	for _, c := range r.Limits {
		assert.NotContains(t, c.Substances, "Phenoxyethanol")
	}
}
