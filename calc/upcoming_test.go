package calc

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
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
	bdbp := pure(t, "UV filter", "Bis-(Diethylaminohydroxybenzoyl Benzoyl) Piperazine")
	mbc, bp3 := pure(t, "UV filter", "4-Methylbenzylidene Camphor"), pure(t, "UV filter", "Benzophenone-3")
	days := func(day int, market rows.Market, parts ...any) []string {
		r := limitCase{product: "sunscreen", day: day, market: market}.of(t, parts...)
		return daysText(limits.NewRun(r.Input, r.Compositions).ChangeDays())
	}
	assert.Equal(t, []string{"2023-08-09", "2026-01-21", "2026-07-15"}, days(20230101, rows.GB, mbc, "2", bp3, "3", bdbp, "3"))
	assert.Equal(t, []string{"2026-01-21", "2026-07-15"}, days(20230809, rows.GB, mbc, "2", bp3, "3", bdbp, "3"))
	assert.Equal(t, []string{"2026-07-15"}, days(20260714, rows.GB, mbc, "2", bp3, "3", bdbp, "3"))
	assert.Empty(t, days(20260715, rows.GB, mbc, "2", bp3, "3", bdbp, "3"))

	// a class entry by the element in a name: aluminium, EU from 2027-01-01 (III/379)
	al := pure(t, "absorbent", "Sodium Aluminum Chlorohydroxy Lactate")
	assert.Equal(t, []string{"2027-01-01"}, days(today, rows.EU, al, "3"))
	assert.Empty(t, days(today, rows.GB, al, "3"))

	// a rule of the maker's own ends, and no other row takes its place
	rows, faults := table.ReadLimits("limits/house.csv", []byte(
		"key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"+
			"house-1,own,house,EU+GB,Squalane,,,all,5,,,,,,,2027-06-30,our own rule,seen,\n"))
	require.Empty(t, faults)
	r := limitCase{product: "sunscreen"}.of(t, pure(t, "emollient", "Squalane"), "6")
	in := *r.Input
	in.Session = formula.NewSession(in.Law.WithLimits(rows))
	assert.Equal(t, []string{"2027-07-01"}, daysText(limits.NewRun(&in, r.Compositions).ChangeDays()))
	free := findingsOf(Assess(&in), "coming-limit")
	require.Len(t, free, 1)
	assert.Equal(t, "from 2027-07-01 no rule in the tables stops it any more", said(free[0]).Message)
	assert.Equal(t, finding.Note, free[0].Severity)
}

// comingMessages are the announcements of a result.
func comingMessages(r *Result) []string {
	var out []string
	for _, f := range findingsOf(r, "coming-limit") {
		out = append(out, said(f).Line())
	}
	return out
}

// Each change is said once, for its first day; what holds already is none. EU, on
// 2025-01-01: copper as nano is prohibited from 2025-02-01 (II/1726), silver as nano from
// 2026-05-01 (II/1727); phenoxyethanol is over its limit the whole time.
func TestEachChangeIsSaidOnce(t *testing.T) {
	nano := func(name string) *ingredients.Sheet {
		s := pure(t, "skin conditioning", name)
		s.Composition.Constituents[0].Nano = true
		return s
	}
	r := limitCase{product: "face-cream", day: 20250101}.of(t, nano("Copper"), "0.1", nano("Silver"), "0.1", pure(t, "preservative", "Phenoxyethanol"), "1.2")
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
	r = limitCase{product: "sunscreen", day: 20230101, market: rows.GB}.of(t, pure(t, "UV filter", "4-Methylbenzylidene Camphor"), "2",
		pure(t, "UV filter", "Bis-(Diethylaminohydroxybenzoyl Benzoyl) Piperazine"), "3", pure(t, "preservative", "Phenoxyethanol"), "1.2")
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
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "2", "Linalyl Acetate", "3")
	c := limitCase{product: "body-lotion", day: 20260731}
	f := findingOf(t, c.of(t, fo, "1"), "coming-allergen")
	assert.Equal(t, "add the names when the label is next printed, at the latest for what is placed on the market on that day", said(f).Fix)
	assert.Equal(t, []string{"Linalyl Acetate: 0.03 % of the product; the threshold is 0.001 %"}, terms(f))
	assert.Contains(t, said(f).Why, "2023/1545")
	assert.Contains(t, said(f).Why, "; stock already on the market may be sold until 2028-07-31")
	assert.Equal(t, "test", f.Subject)

	old := declared(t, scentSheet("fo"), ingredients.List2003, "Linalool", "2")
	f = findingOf(t, c.of(t, old, "1"), "coming-allergen")
	assert.Regexp(t, `^from 2026-08-01 its EU label must name further allergens; \d+ of them are not stated in the documents of fo$`, said(f).Message)
	assert.Equal(t, "ask for declarations against the list of Regulation (EU) 2023/1545", said(f).Fix)
	assert.Empty(t, f.Sum)

	other := declared(t, scentSheet("old"), ingredients.List2003, "Linalool", "2")
	f = findingOf(t, c.of(t, fo, "1", other, "1"), "coming-allergen")
	assert.Regexp(t, `^from 2026-08-01 its EU label must also name Linalyl Acetate; \d+ further names are not stated in the documents of old$`, said(f).Message)
	assert.Equal(t, "add the names when the label is next printed, at the latest for what is placed on the market on that day; ask for declarations against the list of Regulation (EU) 2023/1545", said(f).Fix)

	p := withFormula(t, formula.Percent, "base", "q.s.", "fo", "1")
	r := assessed(t, p, &formula.Variant{ID: "rose"}, "body-lotion", rows.EU, 20260731, squalane(t), fo)
	assert.Equal(t, "test, rose", findingOf(t, r, "coming-allergen").Subject)
}
