package soap

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// TestSoapNamesOfPatterns: shares of soaps of one fat add up to 100. A pattern of
// acids whose names make 60 and 20 without a third is scaled to 75 and 25.
func TestSoapNamesOfPatterns(t *testing.T) {
	soaps := func(names string, shares ...string) (out []string) {
		fat := &trade.Fat{SoapSodium: names}
		for _, s := range shares {
			fat.SoapShares = append(fat.SoapShares, formulatest.Range(t, s))
		}
		f := &FatUse{Rows: []*trade.Fat{fat}}
		for _, s := range f.soapNames(false) {
			out = append(out, s.INCI+" "+formula.RangeText(s.Pct)+" around "+s.Pct.Typ.Exact())
		}
		return out
	}
	assert.Equal(t, []string{"A 0 to 100 around 75", "B 0 to 100 around 25"}, soaps("A; B", "60", "20"))
	// 50 and 47.5 in the middle, 100 together: +50/20 × 2.5 … room 10 and 7.5 of 17.5
	assert.Equal(t, []string{"A 45 to 60 around 360/7", "B 40 to 55 around 340/7"}, soaps("A; B", "40-60", "40-55"))
	assert.Equal(t, []string{"A 100 around 100"}, soaps("A"))
	assert.Empty(t, soaps(""))
}

// Two lyes whose contents are open, as KOH 4 to 6 and 3 to 5: of all lye the first is
// 4/(4+5) to 6/(6+3), the second 3/(3+6) to 5/(5+4); of 5 and 4 in the middle 5/9 and 4/9.
func TestSharesOfTwoLyes(t *testing.T) {
	r := &Reaction{GivenKOH: formulatest.Range(t, "7-11"), TakesKOH: formulatest.Range(t, "20"),
		Alkalis: []alkaliUse{{koh: formulatest.Range(t, "4-6")}, {koh: formulatest.Range(t, "3-5")}}}
	r.degrees()
	assert.Equal(t, [3]string{"4/9", "5/9", "2/3"}, formulatest.ExactRange(r.Alkalis[0].share))
	assert.Equal(t, [3]string{"1/3", "4/9", "5/9"}, formulatest.ExactRange(r.Alkalis[1].share))
}

// Where no lye is stated, its amount is told as KOH, which saponification values are of:
// of fat that takes 9 to 11, 9 leave none free, and 95 % of 10 leave 5 % of the fat.
func TestWantedLyeOfNoName(t *testing.T) {
	in := formulatest.OfType(t, "bar-soap", formula.Adults, nil)
	in.Product.Saponify = &formula.Saponification{ExcessFatPct: formulatest.Ptr(exact.Int(5))}
	r := &Reaction{TakesKOH: formulatest.Range(t, "9-11")}
	r.want(in)
	assert.Equal(t, []string{"9", "9.5"}, []string{r.SafePct.Exact(), r.NeededPct.Exact()})
	lye, ok := r.lye(in).Get("lye")
	assert.True(t, ok)
	_, named := lye.List.Get("alkali")
	assert.False(t, named)
}

// What dries off, and what is a reaction and no raw material, only where one is declared.
func TestOnlyOfASoap(t *testing.T) {
	p := &formula.Product{}
	in := &formula.Input{Product: p}
	assert.True(t, DriesPct(p).IsZero())
	assert.False(t, IsReaction(in, reactionID))
	p.Saponify = &formula.Saponification{WaterLossPct: exact.Int(20)}
	assert.Equal(t, "20", DriesPct(p).Exact())
	assert.True(t, IsReaction(in, reactionID))
	assert.True(t, IsReaction(in, reactionID+" of rose"))
	assert.False(t, IsReaction(in, "oil"))
}
