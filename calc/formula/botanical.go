package formula

import (
	"strings"
	"sync/atomic"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
)

// IsBotanical says whether a name is that of a plant oil, extract, absolute or
// plant water.
func IsBotanical(tables *table.Tables, name string) bool {
	return tables.Words(rows.WordsBotanical).In(name) && !tables.Words(rows.WordsBotanicalUnless).In(name) &&
		strings.Contains(strings.TrimSpace(name), " ")
}

// naturalMemo keeps whether a material is a natural essence by the words of one
// set of tables.
type naturalMemo struct{ Found atomic.Pointer[NaturalFound] }

type NaturalFound struct {
	Tables  *table.Tables
	Natural bool
}

func (m *Material) MostlyBotanical(tables *table.Tables) bool {
	var sum exact.Num
	for _, p := range m.Parts {
		if IsBotanical(tables, p.INCI) {
			sum = sum.Add(p.Pct.Typ)
		}
	}
	return !sum.Less(exact.Int(50))
}
