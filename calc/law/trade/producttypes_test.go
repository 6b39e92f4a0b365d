package trade_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
	"gallipot/calc/law/trade"
)

func TestProductTypes(t *testing.T) {
	row := rowstest.Cells{"key": "a", "name": "A", "rinse_off": "yes", "exposure_key": "shower-gel",
		"ifra_category": "9", "ifra_seen": "memory", "micro_class": trade.MicroOther, "water_contact_in_use": "no",
		"decorative": "no", "seen": "seen", "source": "book"}
	types, err := trade.ReadProductTypes("t.csv", rowstest.Table(trade.ProductTypeColumns, row, row.With("ifra_seen", "seen").
		With("exposure_key", "").With("proxy_exposure_key", "shower-gel").With("judged", "yes")))
	require.NoError(t, err)
	require.Len(t, types, 2)
	assert.True(t, types[0].RinseOff)
	assert.False(t, types[0].CategorySeen || types[0].Judged || types[0].WaterContact || types[0].Decorative)
	assert.Nil(t, types[0].PAOMonths)
	assert.True(t, types[1].CategorySeen && types[1].Judged)
	rowstest.Refuses(t, trade.ReadProductTypes, trade.ProductTypeColumns, row, [][3]string{
		{"name", "", "name is empty"},
		{"ifra_category", "", "ifra_category is empty"},
		{"ifra_seen", "", `ifra_seen: "" is none of seen, memory`},
		{"micro_class", "strict", `micro_class: "strict" is none of eye-mucous-under3, other`},
		{"proxy_exposure_key", "bath-oil", "exposure_key and proxy_exposure_key are both filled"},
	})
}

// Tables of names: what is empty or unknown in them is refused.
func TestTablesOfNames(t *testing.T) {
	polymer := rowstest.Cells{"inci": "Nylon-12", "kind": "powder", "seen": "seen", "source": "book"}
	rowstest.Refuses(t, trade.ReadPolymers, trade.PolymerColumns, polymer, [][3]string{
		{"inci", "", "inci is empty\nthe row has no key"},
		{"kind", "sand", `kind: "sand" is none of bead, powder, glitter, capsule, film`},
	})
	rowstest.Refuses(t, trade.ReadSubstrates, trade.SubstrateColumns, rowstest.Cells{"inci": "Alumina", "seen": "seen", "source": "book"},
		[][3]string{{"inci", "", "inci is empty\nthe row has no key"}})
	synonym := rowstest.Cells{"inci": "Alcohol", "synonym": "Ethanol", "seen": "seen", "source": "book"}
	rowstest.Refuses(t, trade.ReadSynonyms, trade.SynonymColumns, synonym, [][3]string{
		{"inci", "", "inci is empty"},
		{"synonym", "", "the row has no key\nsynonym is empty"},
	})
}
