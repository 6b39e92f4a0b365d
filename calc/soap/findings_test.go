package soap

import (
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/table"
	"gallipot/testdata/testrun"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// What is printed as the most must pass: never above the figure, and the last of the
// digits is used. By hand.
func TestDownText(t *testing.T) {
	for _, c := range []struct {
		n      string
		digits int
		want   string
	}{
		{"0.58997", 4, "0.5899"}, {"0.5899", 4, "0.5899"}, {"1234.56", 4, "1234"}, {"1234.4", 4, "1234"},
		{"0.0099996", 3, "0.00999"}, {"9.9996", 2, "9.9"},
		{"10", 3, "10"}, {"9.96", 2, "9.9"}, {"10.06", 3, "10"}, {"99.97", 3, "99.9"}, {"1", 1, "1"}, {"1.99", 1, "1"},
	} {
		assert.Equal(t, c.want, formulatest.Num(t, c.n).SigDown(c.digits), c.n)
	}
	for n, want := range map[string]string{"6.66548": "6.6654", "6.6654": "6.6654", "0.00009": "0"} {
		assert.Equal(t, want, downTo(formulatest.Num(t, n)))
	}
}

// TestSoapNamesOfTheInventory: soap names in no edition of the inventory are marked.
//
// Source: inventory of cosmetic ingredient names, editions 2006, 2020 and 2026.
func TestSoapNamesOfTheInventory(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	formed := map[string]bool{}
	for _, f := range tables.Fats {
		for _, potassium := range []bool{false, true} {
			for _, s := range f.Soaps(potassium) {
				formed[s.INCI] = !listedName(dict, s.INCI)
			}
		}
	}
	for _, n := range []string{"Potassium Sweet Almondate", "Potassium Avocadoate", "Potassium Lardate",
		"Sodium Jojobate", "Sodium Hempseedate"} {
		assert.True(t, formed[n], n)
	}
	for _, n := range []string{"Sodium Olivate", "Sodium Cocoate", "Potassium Olivate", "Potassium Hempseedate",
		"Sodium Rapeseedate"} {
		assert.False(t, formed[n], n)
	}
}
