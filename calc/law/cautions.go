package law

import (
	"gallipot/calc/law/duties"
	"gallipot/calc/law/table"
)

// Cautions returns the cautions of one place, in the order of the table.
func Cautions(t *table.Tables, where string) []*duties.Caution {
	var out []*duties.Caution
	for _, c := range t.Cautions {
		if c.Where == where {
			out = append(out, c)
		}
	}
	return out
}

// Caution returns one caution. It panics on an unknown key, as Fact does.
func Caution(t *table.Tables, key string) *duties.Caution {
	for _, c := range t.Cautions {
		if c.Key == key {
			return c
		}
	}
	panic("law: no caution " + key)
}
