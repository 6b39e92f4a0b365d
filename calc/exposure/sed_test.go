package exposure

import (
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Poor absorption: molar mass above 500 g/mol and log Pow below −1 or above 4, EU technical
// guidance 2003 as in facts.csv; at the figures themselves no case is made.
func TestPoorAbsorptionCase(t *testing.T) {
	m := &Marginer{In: formulatest.OfType(t, "body-lotion", formula.Adults, nil)}
	row := func(mw, logP float64) *safety.Tox {
		r := &safety.Tox{}
		if mw > 0 {
			r.MW = &rows.Figure{Value: mw, Text: formula.FigureText(mw)}
		}
		if logP < 99 {
			r.LogP = &rows.Figure{Value: logP, Text: formula.FigureText(logP)}
		}
		return r
	}
	for _, c := range []struct {
		mw, logP float64
		want     string
	}{
		{600, 5, "molar mass 600 g/mol above 500 and log Pow 5 outside -1 to 4"},
		{600, -2, "molar mass 600 g/mol above 500 and log Pow -2 outside -1 to 4"},
		{600, 4, ""}, {600, -1, ""}, {600, 2, ""}, {500, 5, ""}, {400, 5, ""}, {0, 5, ""}, {600, 99, ""},
	} {
		r := row(c.mw, c.logP)
		assert.Equal(t, c.want, m.PoorCase(&knowledge{published: &published{Rows: []*safety.Tox{r}, Mw: r.MW}}),
			"%v %v", c.mw, c.logP)
	}
	rows := []*safety.Tox{row(400, 5), row(0, 5)}
	assert.NotEmpty(t, m.PoorCase(&knowledge{published: &published{Rows: rows, Mw: row(600, 5).MW}}),
		"the substance's own mass counts")
}

// TestMarksOfValues: the mark of a value is that of its reading, else that of its row.
func TestMarksOfValues(t *testing.T) {
	row := &safety.Tox{Row: rows.Row{Key: "r", File: "tox-values.csv", Source: "book", Seen: "seen"}}
	k := &knowledge{published: &published{Uses: map[*safety.Tox]safety.ToxUse{row: {AbsorptionSeen: "memory"}}}}
	assert.Equal(t, formula.Stated{Value: 5, Source: "book", Table: "tox-values.csv", Row: "r", Seen: "memory"},
		k.Absorption(row, &rows.Figure{Value: 5}))
	k.Uses[row] = safety.ToxUse{}
	assert.Equal(t, "seen", k.Absorption(row, &rows.Figure{Value: 5}).Seen)
}
