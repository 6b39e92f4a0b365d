package law

import (
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
)

// State returns the day on which the tables were last brought up to date.
func State(t *table.Tables) exact.Date { return Fact(t, table.TablesState).Date }
