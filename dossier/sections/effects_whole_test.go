package sections_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/stability"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
)

// logged assesses a product with some records at its end, on the 25th of
// November 2026.
func logged(t testing.TB, records string) *assess.Assessment {
	t.Helper()
	w, fs := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"ingredients/water.yaml": "id: water\nname: N\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n",
		"products/x.yaml": "id: x\nname: X\nrevision: 1\nproduct_type: shower-gel\nintended_for: adults\n" +
			"formula: {basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}, {slot: scent, amount: 0.8}]}]}\n" +
			records}), table.Builtin())
	for _, f := range fs {
		require.False(t, f.Unread, "%s: %s", f.Pos, wordstest.Said(f).Message)
	}
	return assess.Run(w, w.Product("x"), assess.Options{Date: 20261125, Law: table.Builtin()})
}

func logCodes(a *assess.Assessment) (out []string) {
	for _, f := range stability.Findings(a) {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

func TestEffects(t *testing.T) {
	// Reg. (EC) 1223/2009 Art. 23: without delay; guidelines: 20 calendar days
	a := logged(t, "complaints: [{dated: 2026-11-01, text: hospital, serious: true}]\n")
	require.Equal(t, []string{"stop serious-effect-unreported"}, logCodes(a))
	assert.Contains(t, wordstest.Said(stability.Findings(a)[0]).Message, "overdue since 2026-11-21")
	assert.Equal(t, []string{"note serious-effect-late"},
		logCodes(logged(t, "complaints: [{dated: 2026-09-01, text: hospital, serious: true, reported: 2026-09-22}]\n")))
	assert.Empty(t, logCodes(logged(t,
		"complaints: [{dated: 2026-09-01, text: hospital, serious: true, reported: 2026-09-21}]\n")))
	assert.Empty(t, logCodes(logged(t, "complaints: [{dated: 2026-09-01, text: itch, serious: false}]\n")))

	a = logged(t, `complaints:
  - {dated: 2026-03-01, text: red skin, serious: false, causality: likely}
  - {dated: 2026-04-01, text: lid broken, serious: false, kind: quality}
  - {dated: 2026-05-01, text: hospital, serious: true, reported: 2026-05-02}
  - {dated: 2026-12-01, text: later, serious: false}
sold: [{units: 4000, until: 2026-10-31}, {units: 0, until: 2026-01-31}]
`)
	rates := ratesOf(t, a)
	require.Len(t, rates.Rows, 2)
	// 2 effects of 4000 units: 5 in 10 000; the quality complaint and the later one do not count
	assert.Equal(t, []string{"all variants", "4000", "2026-10-31", "2", "1", "5"}, cellTexts(rates.Rows[0]))
	assert.Equal(t, "nothing sold", rates.Rows[1].Cells[5].String())
	// neither a series that falls nor one of days to come has a rate
	for sold, want := range map[string]string{"{units: 90, until: 2026-03-31}, {units: 70, until: 2026-04-30}": "the series falls", "{units: 90, until: 2027-03-31}": "dated ahead"} {
		for _, row := range ratesOf(t,
			logged(t, "complaints: [{dated: 2026-03-01, text: itch, serious: false}]\nsold: ["+sold+"]\n")).Rows {
			assert.Equal(t, want, row.Cells[5].String())
		}
	}
	require.Empty(t, (&document.Document{Marks: show.Marks,
		Sections: []*document.Section{sections.EffectsSection(show.Show(a, ""))}}).Check())
	var text bytes.Buffer
	require.NoError(t, plain.Write(&text,
		&document.Document{Marks: show.Marks,
			Sections: []*document.Section{sections.EffectsSection(show.Show(logged(t, "complaints: []\n"), ""))}}))
	assert.Contains(t, text.String(), "Nil return")
	text.Reset()
	require.NoError(t, plain.Write(&text,
		&document.Document{Marks: show.Marks,
			Sections: []*document.Section{sections.EffectsSection(show.Show(logged(t, ""), ""))}}))
	assert.Contains(t, text.String(), "That is not a nil return")
	// how it ended and when the authority was told, as entered; what is not stated says so
	a = logged(t, `complaints:
  - {dated: 2026-05-01, text: hospital, serious: true, batch: C1, outcome: well after two days, reported: 2026-05-02}
  - {dated: 2026-05-03, text: hospital, serious: true}
`)
	for _, b := range sections.EffectsSection(show.Show(a, "")).Blocks {
		if log, ok := b.(*document.Table); ok && log.ID == "effects-log" {
			require.Len(t, log.Rows, 2)
			assert.Equal(t, []string{"well after two days", "2026-05-02"}, cellTexts(log.Rows[0])[6:])
			assert.Equal(t, []string{"not stated", "not reported"}, cellTexts(log.Rows[1])[6:])
		}
	}
}

func cellTexts(r document.Row) (out []string) {
	for _, c := range r.Cells {
		out = append(out, c.String())
	}
	return out
}

// ratesOf is the table of rates on the page of effects.
func ratesOf(t *testing.T, a *assess.Assessment) *document.Table {
	t.Helper()
	for _, b := range sections.EffectsSection(show.Show(a, "")).Blocks {
		if rates, ok := b.(*document.Table); ok && rates.ID == "effects-rates" {
			return rates
		}
	}
	require.Fail(t, "no rates")
	return nil
}
