package calendar_test

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/calendar"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

const day = exact.Date(20261125)

// shop is a workshop in which something of every kind is due; change replaces text in all
// its files.
func shop(t *testing.T, change ...string) (*workshop.Workshop, []calendar.Entry) {
	t.Helper()
	r := strings.NewReplacer(change...)
	fsys := fstest.MapFS{}
	for name, text := range map[string]string{
		"workshop.yaml":          "maker: {name: Skerry (invented), address: [x]}\nmarkets: [GB, EU]\nevidence_years: 2\nbalance: {division_g: 0.1}\n",
		"ingredients/water.yaml": "id: water\nname: Water\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\nfunctions: [solvent]\npurchase: {by_lot: false}\n",
		"ingredients/moor.yaml": "id: moor\nname: Moor\nlabel_as: parfum\nsupplier: {name: Wrack (invented)}\ncomposition: {complete: true, constituents: [{inci: Linalool, cas: 78-70-6, pct: 100}]}\n" +
			"allergens: {list: 2003-15, declared: [{name: Linalool, pct: 100}]}\nfragrance_limits: {amendment: 49, dated: 2025-06-01, max_pct: {\"5A\": 2}}\n" +
			"documents: [{kind: sds, dated: 2023-01-10}, {kind: sds, dated: 2025-02-11}]\npurchase: {packs_g: [100], lead_days: 7}\n",
		"ingredients/kelp.yaml": "id: kelp\nname: Benzyl Salicylate\nfunctions: [fragrance]\ncomposition: {complete: true, constituents: [{inci: Benzyl Salicylate, pct: 100}]}\n",
		"products/tide.yaml": "id: tide\nname: Tide\nrevision: 1\nproduct_type: body-lotion\nintended_for: adults\nnet_content: {g: 100}\n" +
			"formula: {basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}, {ingredient: moor, amount: 0.5}, {ingredient: kelp, amount: 0.8}]}]}\n" +
			"stability: [{test: heat, temp_c: 40, weeks: 12, started: 2026-10-01, readings: [{week: 0, ph: 5}]}]\n" +
			"complaints: [{dated: 2026-11-20, text: a rash, serious: true}]\n" +
			"decisions: [{code: no-challenge-test, values: v1, decision: d, by: b, date: 2026-01-01, until: 2027-03-01}]\n",
		"batches/T-1.yaml": "code: T-1\nproduct: tide\nrevision: 1\ndate: 2026-02-01\nlines: [{ingredient: water, weighed_g: 995}, {ingredient: moor, weighed_g: 5, lot: M-1}]\nrelease: {decision: released, by: N, date: 2026-03-01}\nsent: [{to: a shop, date: 2026-04-02, units: 2}, {to: another, date: 2026-05-31, units: 1}]\n",
		"batches/T-2.yaml": "code: T-2\nproduct: tide\nrevision: 1\ndate: 2026-12-20\nlines: [{ingredient: water, planned_g: 99500}, {ingredient: moor, planned_g: 500}]\n",
		"lots/M-1.yaml":    "lot: M-1\ningredient: moor\nreceived: 2026-01-10\nreceived_g: 100\nbest_before: 2027-02-28\nretest: 2027-01-15\n",
		"lots/M-2.yaml":    "lot: M-2\ningredient: moor\nreceived: 2026-01-10\nreceived_g: 10\nbest_before: 2027-02-28\ndiscarded: [{date: 2026-02-01, g: 10}]\n",
	} {
		fsys[name] = &fstest.MapFile{Data: []byte(r.Replace(text))}
	}
	w, found := workshop.LoadFS("shop", fsys, table.Builtin())
	for _, f := range found {
		require.False(t, f.Unread, "%s %s", f.Code, f.Pos)
	}
	as := dossier.AssessAll(w, w.Products, assess.Options{Date: day, DateChosen: true, Law: table.Builtin()})
	return w, calendar.Of(w, as, day)
}

// Worked by hand: what is due, and on which day.
func TestOf(t *testing.T) {
	_, list := shop(t)
	days := map[string]string{}
	for _, e := range list {
		require.Empty(t, days[e.ID], "%s is there twice", e.ID)
		days[e.ID] = e.Day.String()
		assert.Equal(t, e.Day.Before(day), e.Past)
	}
	for id, want := range map[string]string{
		"paper-moor-sds":                  "2027-02-11", // the newer one, two years on
		"paper-moor-certificate":          "2027-06-01",
		"amendment-moor":                  "2026-11-25",
		"assessment-tide":                 "2026-11-25",
		"effect-tide-2026-11-20":          "2026-12-10", // 20 days: dossier-contents.csv, row X9
		"decision-tide-no-challenge-test": "2027-03-01",
		"lot-m-1-best-before":             "2027-02-28",
		"lot-m-1-retest":                  "2027-01-15",
		"order-moor":                      "2026-12-13", // seven days before the batch
		"file-tide":                       "2036-05-31", // ten years after the last packs were sent
		"tide-1-week-4":                   "2026-10-29",
	} {
		assert.Equal(t, want, days[id], id)
	}
	assert.Empty(t, days["lot-m-2-best-before"], "nothing is left of it")
	law := slices.IndexFunc(list, func(e calendar.Entry) bool { return e.Kind == "law" && strings.Contains(e.What, "Benzyl Salicylate") })
	require.GreaterOrEqual(t, law, 0)
	assert.Equal(t, exact.Date(20270101), list[law].Day, "Regulation (EU) 2026/909: limits.csv, row III-75-eu-06")
	assert.True(t, slices.IsSortedFunc(list, func(a, b calendar.Entry) int { return int(a.Day) - int(b.Day) }))
}

// An entry keeps its id when its day moves, so that a calendar moves it too.
func TestStableIDs(t *testing.T) {
	ids := regexp.MustCompile(`UID:[^\r]+`)
	printed := func(list []calendar.Entry) []string {
		var b bytes.Buffer
		require.NoError(t, calendar.WriteICS(&b, list, day))
		return ids.FindAllString(b.String(), -1)
	}
	_, before := shop(t)
	_, after := shop(t, "2025-02-11", "2025-03-11", "2027-02-28", "2027-03-28", "2026-05-31", "2026-06-30",
		"until: 2027-03-01", "until: 2027-04-01", "lead_days: 7", "lead_days: 9")
	a, b := printed(before), printed(after)
	slices.Sort(a)
	slices.Sort(b)
	assert.Equal(t, a, b)
	assert.Len(t, slices.Compact(slices.Clone(a)), len(a), "no id twice")
}

func TestDocument(t *testing.T) {
	w, list := shop(t)
	d := calendar.Document(w, list, day, day.AddYears(1))
	require.Empty(t, d.Check())
}
