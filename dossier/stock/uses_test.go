package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOfBatch(t *testing.T) {
	const head = "lot: O-1\ningredient: oil\nreceived: 2026-01-10\nreceived_g: 1000\nbest_before: 2026-12-31\n"
	label := func(more string) string {
		return "lot: L-1\nlabel: {product: tide, market: GB, ingredients: \"Ingredients: Aqua,  Canola Oil.\"" + more + "}\nreceived: 2026-01-10\nreceived_units: 50\n"
	}
	lists := Printed{Revision: 1, Sure: true, Lists: map[string]string{"GB": "Aqua, Canola oil"}}
	for name, c := range map[string]struct {
		lots    map[string]string
		date    string
		line    string
		printed Printed
		want    []string
	}{
		"as it should be":              {map[string]string{"O-1": head}, "2026-02-01", "lot: O-1", lists, nil},
		"before the first lot came in": {map[string]string{"O-2": "lot: O-2\ningredient: oil\nreceived: 2026-03-01\nreceived_g: 5\n"}, "2026-02-01", "lot: O-1", lists, nil},
		"no lots at all":               {nil, "2026-02-01", "lot: O-1", lists, nil},
		"received later":               {map[string]string{"O-1": "lot: O-1\ningredient: oil\nreceived: 2026-03-01\nreceived_g: 500\n", "O-2": head[:4] + " O-2" + head[8:]}, "2026-02-01", "lot: O-1", lists, []string{"lot-not-received/later"}},
		"the file has an earlier date": {map[string]string{"O-1": head}, "2027-01-01", "lot: O-1", lists,
			[]string{"lot-expired"}},
		"two dates": {map[string]string{"O-1": head}, "2026-02-01",
			"lot: O-1, best_before: 2027-12-31", lists, []string{"lot-dates/file"}},
		"on hold since then":                  {map[string]string{"O-1": head + "holds: [{from: 2026-02-02, reason: smell}]\n"}, "2026-02-01", "lot: O-1", lists, []string{"lot-on-hold/later"}},
		"on hold before, and released":        {map[string]string{"O-1": head + "holds: [{from: 2026-01-11, until: 2026-02-01, reason: smell}]\n"}, "2026-02-01", "lot: O-1", lists, nil},
		"tested again":                        {map[string]string{"O-1": head + "retest: 2026-01-31\ncertificate: {dated: 2026-01-31}\n"}, "2026-02-01", "lot: O-1", lists, nil},
		"a base that is a batch of one's own": {map[string]string{"O-1": head}, "2026-02-01", "lot: T-1", lists, nil},
		"labels as they are":                  {map[string]string{"L-1": label("")}, "2026-02-01", "L-1", lists, nil},
		"labels in another order": {map[string]string{"L-1": label("")}, "2026-02-01", "L-1",
			Printed{1, map[string]string{"GB": "Canola Oil, Aqua"}, true}, []string{"label-old-list/order"}},
		"labels of an older list": {map[string]string{"L-1": label("")}, "2026-02-01", "L-1",
			Printed{1, map[string]string{"GB": "Aqua"}, false}, []string{"label-old-list"}},
		"labels of an older revision": {map[string]string{"L-1": label(", revision: 1")}, "2026-02-01",
			"L-1 of 2", Printed{2, lists.Lists, true}, []string{"label-old-list/revision"}},
		"labels of no stated revision": {map[string]string{"L-1": label("")}, "2026-02-01", "L-1",
			Printed{2, lists.Lists, true}, []string{"label-old-list/unknown"}},
		"labels of another product": {map[string]string{"L-1": "lot: L-1\nlabel: {product: sea, market: GB, ingredients: Aqua}\nreceived: 2026-01-10\nreceived_units: 50\n"}, "2026-02-01", "L-1", lists, []string{"label-old-list/other"}},
		"a material as packaging": {map[string]string{"O-1": head}, "2026-02-01", "O-1", lists,
			[]string{"lot-other-material/packaging"}},
		"packaging that nobody received": {map[string]string{"O-1": head}, "2026-02-01", "P-9", lists,
			[]string{"lot-not-received"}},
	} {
		t.Run(name, func(t *testing.T) {
			files := map[string]string{}
			for code, text := range c.lots {
				files["lots/"+code+".yaml"] = text
			}
			line := "{ingredient: oil, weighed_g: 30, " + c.line + "}"
			text := record("T-1", c.date, line)
			if len(c.line) > 0 && c.line[0] != 'l' { // packaging
				text = record("T-1", c.date,
					"{ingredient: water, weighed_g: 30}") + "packaging: [{lot: " + c.line[:3] + ", units: 5}]\n"
			}
			if c.line == "L-1 of 2" {
				text = "code: T-1\nproduct: tide\nrevision: 2\ndate: 2026-02-01\nlines: [{ingredient: water, weighed_g: 30}]\npackaging: [{lot: L-1, units: 5}]\n"
			}
			files["batches/T-1.yaml"] = text
			w := shop(t, files)
			require.NotNil(t, w.Batch("T-1"))
			var got []string
			for _, f := range Of(w, day.AddDays(100)).OfBatch(w.Batch("T-1"), c.printed) {
				if f.Form != "" {
					got = append(got, f.Code+"/"+f.Form)
				} else {
					got = append(got, f.Code)
				}
			}
			assert.Equal(t, c.want, got)
		})
	}
}
