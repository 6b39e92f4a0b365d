package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Digits in sentences: four that count, halves upward.
func TestDigitsInSentences(t *testing.T) {
	r := job(t, "body-lotion", "1.23456", sheet(t, "m", "Phenoxyethanol", "100"), nil)
	assert.Contains(t, r.Aggregates[0].Arithmetic, "SED = 269 × 1.235 % × 80 % = ")
	assert.Contains(t, marginOf(t, r, "Phenoxyethanol").SED.Text, "123.2 × 1.235 % × 80 %")
	fo := declared(t, scentSheet("fo"), ingredients.List2003, "Linalool", "0.043215-0.234564")
	r = assessed(t, formula(t, Percent, "base", "q.s.", "fo", "1"), &Variant{}, "body-butter", law.GB, 20261125, squalane(t), fo)
	assert.Contains(t, said(findingOf(t, r, "allergen-open")).Message, "0.0004322 to 0.002346 % of the product;")
	r = assessed(t, formula(t, Percent, "base", "q.s.", "fo", "1.23456"), &Variant{}, "body-butter", law.GB, 20261125, squalane(t), certified(t, fo, "5A", "1"))
	assert.Equal(t, "1.235 % of the product; its certificate allows 1 % in category 5A", said(findingOf(t, r, "fragrance-over")).Message)
	r = assessed(t, formula(t, Percent, "base", "q.s.", "fo", "1.23456"), &Variant{}, "body-lotion", law.GB, 20261125, squalane(t), fo)
	// 7.82 g / 15670 cm² = 0.499 mg/cm²; 1.23456 × 0.234564 % = 0.0028958
	assert.Contains(t, r.LocalDoses[0].Arithmetic, "0.499 mg/cm² × 0.002896 % × 1000 = 0.01445 µg/cm² a day")
}

// The row of the type stands before its stand-in; a row that holds an area and no
// amount gives no exposure.
func TestWhichExposureRow(t *testing.T) {
	in := exposureInput(t, "body-lotion", Adults, nil)
	in.Type = &law.ProductType{ExposureKey: "body-lotion", ProxyKey: "shower-gel"}
	e, _ := ExposureOf(in)
	assert.Equal(t, ExposureTable, e.Origin)
	assert.Equal(t, "body-lotion", e.Key)
	in.Type = &law.ProductType{ExposureKey: "deodorant-paste"}
	e, fs := ExposureOf(in)
	assert.Equal(t, ExposureNone, e.Origin)
	assert.False(t, e.Known())
	assert.Equal(t, []string{"ask no-exposure"}, codes(fs))
	for key, mean := range map[string]bool{"face-cream-us": true, "bar-soap": true, "face-cream": false} {
		in.Type = &law.ProductType{ExposureKey: key}
		e, _ = ExposureOf(in)
		assert.Equal(t, mean, e.Population, key)
	}
	// 1.5 g over 200 cm² is 7.5 mg/cm², below the published driver of 9 for the underarm
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "50")
	r := assessed(t, formula(t, Percent, "base", "q.s.", "fo", "1"), &Variant{}, "deodorant-stick", law.GB, 20261125, squalane(t), fo)
	assert.Equal(t, 9.0, r.LocalDoses[0].ProductMgCm2.Value)
	assert.Equal(t, "published driver for the underarm, above 7.5 mg/cm² from amount and area", r.LocalDoses[0].ProductMgCm2.Note)
}

// A material that is all of the product has no room, nor has one of which there is none.
func TestNoRoom(t *testing.T) {
	assert.Empty(t, Headrooms(assessed(t, formula(t, Percent, "base", "100"), &Variant{}, "body-butter", law.GB, 20261125, squalane(t))))
	mix := Mixture{Shares: []Share{{Ingredient: "a", Pct: num(t, "100")}, {Ingredient: "b"}}}
	assert.Empty(t, moversOf(mix))
	mix = Mixture{Shares: []Share{{Ingredient: "a", Pct: num(t, "60"), Rest: true}, {Ingredient: "b", Pct: num(t, "40"), Slot: "s"}, {Ingredient: "c", Slot: "s"}}}
	movers := moversOf(mix)
	require.Len(t, movers, 2)
	assert.Equal(t, []string{"b", "s"}, []string{movers[0].ingredient, movers[1].slot})
	assert.Equal(t, "100", movers[0].room.Exact())
	assert.Equal(t, "0.025", movers[0].rate["b"].Exact())
	assert.Equal(t, "-1/60", movers[0].rate["a"].Exact())
	criteria, _ := ChallengeCriteria(law.Builtin())
	for _, c := range criteria {
		assert.Equal(t, c.LeastLog == 0, c.OnlyNoRise)
	}
}

// What a row says where one substance breaks it and another row about it is open.
func TestOneWordOnASubstance(t *testing.T) {
	run := handRun(t, "a", "1")
	row := &law.Limit{Annex: "III", Entry: "1", Row: law.Row{Key: "k", File: "limits.csv", Source: "Annex III/1"}}
	check := func(v LimitVerdict, name string) LimitCheck {
		return LimitCheck{Row: row, Substances: []string{name}, Verdict: v, LimitPct: ptr(num(t, "1")), HighestPct: ptr(num(t, "1")), Content: rangeOf(t, "2"), Missing: []string{"what"}, shape: checkShape{open: true}}
	}
	assert.Equal(t, []string{"stop over-limit", "ask limit-undecided"}, codes(run.checkFindings([]LimitCheck{check(LimitUndecided, "A"), check(LimitExceeded, "A"), check(LimitUndecided, "B"), check(LimitKept, "C")}, 20261125)))

	c := check(LimitUndecided, "A")
	c.shape.doubt, c.Reason = "which entry", "it depends"
	f := run.ask(c, 20261125)
	assert.Equal(t, []string{"limit-entry", "the supplier", "ask the supplier for the plant part and preparation, and correct the name and number on the sheet"}, []string{f.Code, said(f).Ask, said(f).Fix})
	c.shape.doubt = "CAS 1 stands for B, not for A"
	assert.Equal(t, "ask the supplier for the plant part and preparation, and correct the name and number on the sheet", said(run.ask(c, 20261125)).Fix)
	c.shape = checkShape{kind: checkProhibited, traces: true}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"prohibited-trace", "the assessor"}, []string{f.Code, said(f).Ask})
	assert.Equal(t, "a trace of 2 % in the product; it is not permitted in any product", said(f).Message)
	assert.Contains(t, said(f).Why, "small traces that cannot be avoided in good manufacturing practice are allowed if the product is safe; Regulation (EC) 1223/2009 Article 17; Annex III/1")
	assert.Equal(t, "show the assessor that the trace cannot be avoided and that the product is safe with it, or choose a purer material", said(f).Fix)
	c.shape = checkShape{kind: checkProhibited}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"maybe-prohibited", "the supplier"}, []string{f.Code, said(f).Ask})
	assert.Equal(t, "there may be up to 2 % in the product, and it is not permitted in any product", said(f).Message)
	assert.Equal(t, "ask the supplier for the exact content; if there is any, choose another material", said(f).Fix)
	c.shape = checkShape{kind: checkResidue}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"limit-undecided", "the supplier"}, []string{f.Code, said(f).Ask})
	c.shape = checkShape{kind: checkFigure}
	f = run.ask(c, 20261125)
	assert.Equal(t, []string{"limit-undecided", "the maker"}, []string{f.Code, said(f).Ask})
	assert.Equal(t, ingredients.Ask, f.Severity)

	// the stops
	c = check(LimitExceeded, "A")
	c.shape = checkShape{kind: checkTogether, others: []string{"B"}, entries: []string{"III/2"}}
	c.Row.SumRule = "not both"
	assert.Equal(t, []string{"not-together", "it may not be used together with B (entry III/2): not both", "take one of them out"}, stopWords(run, c))
	c.shape = checkShape{kind: checkProhibited}
	assert.Equal(t, []string{"prohibited", "2 % of the product; it is not permitted in any product", "take it out, or the material that brings it in; a trace that the supplier cannot avoid belongs under impurities on the sheet"}, stopWords(run, c))
	c.Row = &law.Limit{Annex: "IV", Entry: "1"}
	assert.Equal(t, []string{"colourant-not-here", "it may not be used as a colourant in body lotion or cream: it is listed for use in any product", "choose another colourant for this type of product, or leave it out"}, stopWords(run, c))
	// where no material alone can mend it
	c = check(LimitExceeded, "A")
	c.shape.plain = rangeOf(t, "2")
	assert.Equal(t, []string{"over-limit", "2 % of the product; the limit is 1 % in any product", "reduce it to 1 % or less in all"}, stopWords(run, c))
	c.Content = rangeOf(t, "0.5-2")
	assert.Equal(t, "reduce it to 1 % or less in all, or ask the supplier for the exact content", stopWords(run, c)[2])
}

func stopWords(run *limitRun, c LimitCheck) []string {
	f := run.stop(c, 20261125)
	return []string{f.Code, said(f).Message, said(f).Fix}
}

// What a row rests on, in words.
func TestWhyOfARow(t *testing.T) {
	row := law.Limit{Annex: "III", Entry: "5", Markets: []law.Market{law.EU, law.GB}, Row: law.Row{Key: "k", File: "limits.csv", Source: "Regulation X", Seen: "seen"}}
	assert.Equal(t, "Regulation X, annex III, entry 5, EU and GB (limits.csv, row k)", rowText(lawSource(&row, 20261125)))
	row.From, row.Until, row.OffShelf = 20260101, 20280101, 20280701
	assert.Equal(t, "Regulation X, annex III, entry 5, EU and GB, from 2026-01-01 until 2028-01-01; stock already on the market may be sold until 2028-07-01 (limits.csv, row k)", rowText(lawSource(&row, 20261125)))
	assert.NotContains(t, rowText(lawSource(&row, 20250101)), "stock already")
	assert.NotContains(t, rowText(lawSource(&row, 20280702)), "stock already")
	assert.Contains(t, rowText(lawSource(&row, 20280701)), "stock already")
	assert.Contains(t, rowText(lawSource(&row, 20260101)), "stock already")
	row = law.Limit{Annex: "III", Entry: "unseen-1", EntryUnread: true, Instrument: law.InstrumentDraft, Row: law.Row{Key: "k", File: "limits.csv", Source: "Regulation X", Seen: "memory"}}
	assert.Contains(t, rowText(lawSource(&row, 20261125)), "Regulation X, annex III, entry number not read")
	assert.Contains(t, rowText(lawSource(&row, 20261125)), "(limits.csv, row k); not yet checked against its source; draft, not confirmed as made")
	row = law.Limit{Annex: "own", Entry: "x", Own: true, Row: law.Row{Key: "k", File: "limits/own.csv", Source: "house rule", Seen: "seen"}}
	assert.Contains(t, rowText(lawSource(&row, 20261125)), "your own rule k, house rule (limits/own.csv, row k)")
}

// A ban on a fragrance ingredient is for the assessor where plants bring it in, or where
// it may be absent.
func TestBansOfStandards(t *testing.T) {
	run := handRun(t, "a", "1")
	run.in.Materials = map[string]*Material{}
	for _, s := range []*ingredients.Sheet{sheet(t, "plant", "Exemplum Flower Oil", "100"), sheet(t, "plain", "Exemplum", "100")} {
		run.in.Materials[s.ID] = Prepare(s, ingredients.NewDictionary())
	}
	ban := func(basis, material, content string) StandardCheck {
		c := StandardCheck{Row: &law.FragranceStandard{Basis: basis}, Content: rangeOf(t, content)}
		run.standardBan(&c, []*limitUse{brought(t, "Exemplum", material, content)})
		assert.Equal(t, StandardProhibited, c.Verdict)
		return c
	}
	const says, soft = "not to be used as a fragrance ingredient", "; here it comes in with natural materials or may be absent, which is for the assessor"
	c := ban(says, "plain", "1")
	assert.Equal(t, says, c.Reason)
	assert.False(t, c.soft)
	c = ban("sensitiser", "plain", "1")
	assert.Equal(t, says+": sensitiser", c.Reason)
	c = ban("sensitiser", "plant", "1")
	assert.Equal(t, says+": sensitiser"+soft, c.Reason)
	assert.True(t, c.soft)
	c = ban(says, "plain", "0-1")
	assert.Equal(t, says+soft, c.Reason)
	assert.True(t, c.soft)

	u := brought(t, "Exemplum", "plain", "1")
	s := useSituation(run.in, law.Situation{}, u.s)
	assert.Equal(t, law.No, s.Natural)
	assert.Equal(t, law.No, s.Nano)
	u.roles = roles{main: []string{"a"}, all: []string{"a", "b"}, known: true}
	for f, want := range map[string][2]bool{"a": {true, true}, "b": {false, true}, "c": {false, false}} {
		sure, may := u.hasRole(f)
		assert.Equal(t, want, [2]bool{sure, may}, f)
	}
	u.roles.known = false
	_, may := u.hasRole("c")
	assert.True(t, may)
	u.roles = roles{main: []string{"a"}, known: true}
	_, may = u.hasRole("a")
	assert.True(t, may)
}

// A spray is breathed in beside what the skin takes up, at the typical content too: of 1
// to 3 %, 2 is two thirds of 3.
func TestTypicalDoseOfASpray(t *testing.T) {
	m := sheet(t, "m", "Cocamidopropyl Betaine", "10-30", "Glycerin", "70-90")
	r := job(t, "deodorant-aerosol", "10", m, nil)
	x := marginOf(t, r, "Cocamidopropyl Betaine")
	require.Positive(t, x.SED.Inhaled)
	assert.InEpsilon(t, x.SED.Max*2/3, x.SED.Typical, 1e-9)
	assert.InEpsilon(t, x.SED.Max, x.SED.Skin+x.SED.Inhaled, 1e-12)
	assert.Contains(t, x.SED.Text, " × 3 % inhaled")

	// a sheet's value replaces the table's of the same kind alone
	dermal := func(change func(*ingredients.Toxicology)) float64 {
		m := sheet(t, "m", "Phenoxyethanol", "100")
		v := tox(t, m, "", "", "", "")
		v.Replaces = true
		change(v)
		return marginOf(t, job(t, "body-lotion", "1", m, nil), "Phenoxyethanol").Absorption.Pct.Value
	}
	assert.Equal(t, 20.0, dermal(func(v *ingredients.Toxicology) { v.DermalAbsorptionPct = ptr(num(t, "20")) }))
	assert.Equal(t, 80.0, dermal(func(v *ingredients.Toxicology) { v.OralAbsorptionPct = ptr(num(t, "20")) }))
	assert.Equal(t, 80.0, dermal(func(v *ingredients.Toxicology) { v.PoDType, v.PoD = "NOAEL", ptr(num(t, "100")) }))
	assert.Equal(t, 50.0, dermal(func(v *ingredients.Toxicology) { v.DermalUgCm2 = ptr(num(t, "1")) }), "the default, beside the figure per area")

	// clay does not react, and stands beside the soap
	soap := soapProduct(t, "KOH", "olive", "50", "koh", "8", "clay", "2", "water", "40")
	r = assessed(t, soap, &Variant{}, "bar-soap", law.GB, 20261125, append(soapSheets(t, "olive", "Olea Europaea Fruit Oil"), sheet(t, "clay", "Kaolin", "100"))...)
	assert.Equal(t, []string{"lye reaction 98", "clay 2"}, sharesText(r.Whole().Mixture))
	assert.Equal(t, []string{"olive", "koh", "water"}, []string{r.Reactions[0].from[0].Ingredient, r.Reactions[0].from[1].Ingredient, r.Reactions[0].from[2].Ingredient})
}
