package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// codes are the codes with the forms of what is said about the lots.
func codes(b *Book) (list []string) {
	for _, f := range b.Findings() {
		if f.Form != "" {
			list = append(list, f.Code+"/"+f.Form)
		} else {
			list = append(list, f.Code)
		}
	}
	return list
}

func TestFindings(t *testing.T) {
	const head = "lot: O-1\ningredient: oil\nreceived: 2026-01-10\nreceived_g: 1000\n"
	const oil = "id: oil\nname: Canola oil\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\nfunctions: [emollient]\nspecification: {Peroxide_value: \"<10\"}\nphysical: {ph: 5-6}\n"
	for name, c := range map[string]struct {
		lot, sheet string
		want       []string
	}{
		"nothing to say":              {head + "best_before: 2026-11-25\n", "", nil},
		"expired with something left": {head + "best_before: 2026-11-24\n", "", []string{"lot-past"}},
		"expired and used up":         {head + "best_before: 2026-11-24\ncounted: [{date: 2026-11-01, g: 0, reason: gone}]\n", "", []string{"lot-count-off/less"}},
		"due for a test":              {head + "retest: 2026-11-25\n", "", []string{"lot-past/retest"}},
		"to come": {"lot: O-1\ningredient: oil\nreceived: 2026-11-26\nreceived_g: 1\n",
			"", []string{"lot-days/ahead"}},
		"thrown away before it was there": {head + "discarded: [{date: 2026-01-09, g: 1}]\n", "",
			[]string{"lot-days/discarded"}},
		"counted more": {head + "counted: [{date: 2026-02-01, g: 1001}]\n", "",
			[]string{"lot-count-off/more"}},
		"a result of another writing": {head + "certificate: {results: [{what: peroxide value, found: 12}]}\n", oil,
			[]string{"lot-result-outside"}},
		"a result inside": {head + "certificate: {results: [{what: peroxide value, found: 9}]}\n",
			oil, nil},
		"outside what the certificate says": {head + "certificate: {results: [{what: colour, found: 3, wanted: max 2}]}\n", "", []string{"lot-result-outside"}},
		"pH of the sheet":                   {head + "certificate: {results: [{what: ph, found: 6.1}, {what: peroxide value, found: 1}]}\n", oil, []string{"lot-result-outside"}},
		"no result":                         {head, oil, []string{"lot-results-missing"}},
	} {
		t.Run(name, func(t *testing.T) {
			files := map[string]string{"lots/O-1.yaml": c.lot}
			if c.sheet != "" {
				files["ingredients/oil.yaml"] = c.sheet
			}
			assert.Equal(t, c.want, codes(Of(shop(t, files), day)))
		})
	}
}
