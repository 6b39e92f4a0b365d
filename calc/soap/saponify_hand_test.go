package soap

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/trade"
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
