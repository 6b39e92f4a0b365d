package calc

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func daysText(days []exact.Date) []string {
	var out []string
	for _, d := range days {
		out = append(out, d.String())
	}
	return out
}

// The days on which a row starts or has ended, each once and in order. GB: the UV
// filters BDBP from 2023-08-09 (VI/33), benzophenone-3 at 6 % until 2026-01-20 (VI/4),
// 4-methylbenzylidene camphor until 2026-07-14 (VI/18); limits.csv.
func TestDaysOfChange(t *testing.T) {
	bdbp := formulatest.Pure(t, "UV filter", "Bis-(Diethylaminohydroxybenzoyl Benzoyl) Piperazine")
	mbc, bp3 := formulatest.Pure(t, "UV filter", "4-Methylbenzylidene Camphor"),
		formulatest.Pure(t, "UV filter", "Benzophenone-3")
	days := func(day int, market rows.Market, parts ...any) []string {
		r := limitCase{product: "sunscreen", day: day, market: market}.of(t, parts...)
		return daysText(limits.GroundOf(r.Input, r.Compositions).Run(r.Input).ChangeDays())
	}
	assert.Equal(t, []string{"2023-08-09", "2026-01-21", "2026-07-15"},
		days(20230101, rows.GB, mbc, "2", bp3, "3", bdbp, "3"))
	assert.Equal(t, []string{"2026-01-21", "2026-07-15"}, days(20230809, rows.GB, mbc, "2", bp3, "3", bdbp, "3"))
	assert.Equal(t, []string{"2026-07-15"}, days(20260714, rows.GB, mbc, "2", bp3, "3", bdbp, "3"))
	assert.Empty(t, days(20260715, rows.GB, mbc, "2", bp3, "3", bdbp, "3"))

	// a class entry by the element in a name: aluminium, EU from 2027-01-01 (III/379)
	al := formulatest.Pure(t, "absorbent", "Sodium Aluminum Chlorohydroxy Lactate")
	assert.Equal(t, []string{"2027-01-01"}, days(today, rows.EU, al, "3"))
	assert.Empty(t, days(today, rows.GB, al, "3"))

	// a rule of the maker's own ends, and no other row takes its place
	rows, faults := annex.ReadOwn("limits/house.csv", []byte(
		"key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"+
			"house-1,own,house,EU+GB,Squalane,,,all,5,,,,,,,2027-06-30,our own rule,seen,\n"))
	require.Empty(t, faults)
	r := limitCase{product: "sunscreen"}.of(t, formulatest.Pure(t, "emollient", "Squalane"), "6")
	in := *r.Input
	in.Session = formula.NewSession(in.Law.WithLimits(rows))
	assert.Equal(t, []string{"2027-07-01"}, daysText(limits.GroundOf(&in, r.Compositions).Run(&in).ChangeDays()))
	free := findingsOf(Assess(&in), "coming-limit")
	require.Len(t, free, 1)
	assert.Equal(t, "from 2027-07-01 no rule in the tables stops it any more", wordstest.Said(free[0]).Message)
	assert.Equal(t, finding.Note, free[0].Severity)
}

// comingMessages are the announcements of a result.
func comingMessages(r *Result) []string {
	var out []string
	for _, f := range findingsOf(r, "coming-limit") {
		out = append(out, wordstest.Said(f).Line())
	}
	return out
}

// Each change is said once, for its first day; what holds already is none. EU, on
// 2025-01-01: copper as nano is prohibited from 2025-02-01 (II/1726), silver as nano from
// 2026-05-01 (II/1727); phenoxyethanol is over its limit the whole time.
func TestEachChangeIsSaidOnce(t *testing.T) {
	nano := func(name string) *ingredients.Sheet {
		s := formulatest.Pure(t, "skin conditioning", name)
		s.Composition.Constituents[0].Nano = true
		return s
	}
	r := limitCase{product: "face-cream", day: 20250101}.of(t, nano("Copper"), "0.1", nano("Silver"), "0.1",
		formulatest.Pure(t, "preservative", "Phenoxyethanol"), "1.2")
	var copper, silver []string
	for _, m := range comingMessages(r) {
		assert.NotContains(t, m, "Phenoxyethanol")
		if strings.HasPrefix(m, "Copper (nano): ") {
			copper = append(copper, m[15:30])
		}
		if strings.HasPrefix(m, "Silver (nano): ") {
			silver = append(silver, m[15:30])
		}
	}
	assert.Equal(t, []string{"from 2025-02-01"}, copper)
	assert.Equal(t, []string{"from 2026-05-01"}, silver)

	// criteria of rows to come are asked when they come: nano hydroxyapatite, III/372
	r = limitCase{product: "toothpaste", day: 20250101}.of(t, nano("Hydroxyapatite"), "5")
	for _, m := range comingMessages(r) {
		assert.NotContains(t, m, "no document on file shows")
	}

	// GB, on 2023-01-01: BDBP is listed from 2023-08-09 on, which is said once, though
	// later days change other filters; what stays unlawful is not called free
	r = limitCase{product: "sunscreen", day: 20230101, market: rows.GB}.of(t,
		formulatest.Pure(t, "UV filter", "4-Methylbenzylidene Camphor"), "2",
		formulatest.Pure(t, "UV filter", "Bis-(Diethylaminohydroxybenzoyl Benzoyl) Piperazine"), "3",
		formulatest.Pure(t, "preservative", "Phenoxyethanol"), "1.2")
	var free []string
	for _, m := range comingMessages(r) {
		if strings.Contains(m, "no rule in the tables stops") {
			free = append(free, m)
		}
	}
	require.Len(t, free, 1)
	assert.Contains(t, free[0], ": from 2023-08-09 no rule in the tables stops it any more")
}

// Regulation (EU) 2023/1545, names due from 2026-08-01: what is to be added, what no
// paper states, and where it comes from. Linalyl acetate 3 % of 1 % is 0.03 %,
// threshold 0.001 % for what stays on.
func TestComingAllergensByHand(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalool", "2",
		"Linalyl Acetate", "3")
	c := limitCase{product: "body-lotion", day: 20260731}
	f := findingOf(t, c.of(t, fo, "1"), "coming-allergen")
	assert.Equal(t, "add the names when the label is next printed, at the latest for what is placed on the market on that day", wordstest.Said(f).Fix)
	assert.Equal(t, []string{"Linalyl Acetate: 0.03 % of the product; the threshold is 0.001 %"}, formulatest.Terms(f))
	assert.Contains(t, wordstest.Said(f).Why, "2023/1545")
	assert.Contains(t, wordstest.Said(f).Why, "; stock already on the market may be sold until 2028-07-31")
	assert.Equal(t, "test", f.Subject)

	old := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "2")
	f = findingOf(t, c.of(t, old, "1"), "coming-allergen")
	assert.Regexp(t, `^from 2026-08-01 its EU label must name further allergens; \d+ of them are not stated in the documents of fo$`, wordstest.Said(f).Message)
	assert.Equal(t, "ask for declarations against the list of Regulation (EU) 2023/1545", wordstest.Said(f).Fix)
	assert.Empty(t, f.Sum)

	other := formulatest.Declared(t, formulatest.ScentSheet("old"), ingredients.List2003, "Linalool", "2")
	f = findingOf(t, c.of(t, fo, "1", other, "1"), "coming-allergen")
	assert.Regexp(t, `^from 2026-08-01 its EU label must also name Linalyl Acetate; \d+ further names are not stated in the documents of old$`, wordstest.Said(f).Message)
	assert.Equal(t, "add the names when the label is next printed, at the latest for what is placed on the market on that day; ask for declarations against the list of Regulation (EU) 2023/1545", wordstest.Said(f).Fix)

	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1")
	r := assessed(t, p, &formula.Variant{ID: "rose"}, "body-lotion", rows.EU, 20260731, formulatest.Squalane(t), fo)
	assert.Equal(t, "test, rose", findingOf(t, r, "coming-allergen").Subject)
}

// Old stock without the newer names: Regulation (EU) 2023/1545, new products from
// 2026-07-31, stock to 2028-07-31.
func TestOldStockInWords(t *testing.T) {
	in := &formula.Input{Session: formulatest.Session(table.Builtin()), Product: &formula.Product{ID: "test"},
		Market: rows.EU, Date: 20261125}
	total := func(name, regime string, until exact.Date, v listing.Verdict) listing.AllergenTotal {
		return listing.AllergenTotal{LabelName: name, Verdict: v,
			Row: &annex.Allergen{Regime: regime, From: 20260731, Until: until}}
	}
	all := []listing.AllergenTotal{total("Menthol", "2023-list", 20280731, listing.Declare),
		total("Pinene", "2023-list", 20280731, listing.Open), total("Linalool", "2003-list", 20280731, listing.Declare),
		total("Camphor", "2023-list", 20280731, listing.Below), total("Vanillin", "2023-list", 0, listing.Declare),
		total("Anethole", "2023-list", 20261124, listing.Declare)}
	fs := oldStock(in, all)
	require.Equal(t, []string{"note old-stock"}, formulatest.Codes(fs))
	assert.Equal(t, "stock placed on the EU market before 2026-07-31 without all of its allergens on the label may be sold until 2028-07-31: Menthol, Pinene", wordstest.Said(fs[0]).Text())
	assert.Equal(t, "from 2028-08-01 relabel or withdraw what is left of it", wordstest.Said(fs[0]).Fix)
	in.Date = 20280731
	assert.Len(t, oldStock(in, all), 1, "the last day")
	in.Date = 20280801
	assert.Empty(t, oldStock(in, all))
}
