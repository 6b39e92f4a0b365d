package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients/exact"
)

func lotOf(code, more string) string {
	return "lot: " + code + "\ningredient: oil\nreceived: 2026-01-10\nreceived_g: 100\n" + more
}

func TestFirstExpiredFirst(t *testing.T) {
	w := shop(t, map[string]string{
		"lots/A.yaml": lotOf("A", "best_before: 2027-06-30\n"),
		"lots/B.yaml": lotOf("B", "best_before: 2027-01-31\n"),
		"lots/C.yaml": lotOf("C", ""),                                                                      // no date: last
		"lots/D.yaml": lotOf("D", "best_before: 2026-11-24\n"),                                             // expired
		"lots/E.yaml": lotOf("E", "best_before: 2026-12-31\nholds: [{from: 2026-11-01, reason: smell}]\n"), // on hold
		"lots/F.yaml": lotOf("F", "best_before: 2026-12-31\nretest: 2026-11-25\n"),                         // due for a test
		"lots/G.yaml": "lot: G\ningredient: oil\nreceived: 2026-11-26\nreceived_g: 100\n",                  // not there yet
		"lots/H.yaml": lotOf("H", "best_before: 2026-11-25\ndiscarded: [{date: 2026-02-01, g: 60}]\n"),     // its last day, 40 g
	})
	b := Of(w, day)
	said := func(picks []pick) (list []string) {
		for _, p := range picks {
			list = append(list, p.Entry.Lot.Code+" "+p.Amount.Exact())
		}
		return list
	}
	shelf := b.Shelf(day)
	picks, short := shelf.Take("oil", exact.Int(150))
	assert.Equal(t, []string{"H 40", "B 100", "A 10"}, said(picks))
	assert.True(t, short.IsZero())
	picks, short = shelf.Take("oil", exact.Int(250)) // a second line of the same batch
	assert.Equal(t, []string{"A 90", "C 100"}, said(picks))
	assert.Equal(t, "60", short.Exact())
	assert.Equal(t, "340", b.Usable("oil", day).Exact())
	assert.Equal(t, "300", b.Barred("oil", day).Exact())
	for code, want := range map[string]state{"A": usable, "C": noExpiry, "D": expired, "E": onHold, "F": retest,
		"H": usable} {
		assert.Equal(t, want, b.Number(code).StateOn(day), code)
	}
	assert.Equal(t, notYet, b.Number("G").StateOn(day))
	assert.True(t, b.HasLots("oil"))
	assert.False(t, b.HasLots("water"))
}
