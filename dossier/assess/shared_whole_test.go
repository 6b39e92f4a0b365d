package assess_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

const testDay = exact.Date(20261125)

// assessFiles loads a workshop from memory and assesses its cream.
func assessFiles(t *testing.T, files map[string]string) *assess.Assessment {
	t.Helper()
	m := fstest.MapFS{}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	w, findings := workshop.LoadFS("w", m, table.Builtin())
	require.NotNil(t, w)
	for _, f := range findings {
		require.False(t, f.Unread, "%s %s", f.Pos, wordstest.Said(f).Message)
	}
	return assess.Run(w, w.Product("cream"), assess.Options{Date: testDay, Law: table.Builtin()})
}

const (
	notifiedOf  = "notifications: [{market: GB, number: \"1\", dated: 2026-04-01}, {market: EU, number: \"2\", dated: 2026-04-01}]\n"
	stabilityOf = "stability:\n  - {test: room, temp_c: 20, weeks: 26, pack: jar, verdict: pass, readings: [{week: 0, ph: 5.5}, {week: 26, ph: 5.5}]}\n"
	challengeOf = "  - {test: challenge, method: ISO 11930, verdict: A, dated: 2026-03-31, file: evidence/challenge.txt}\n"
)

// limitColumns is a table of own limits without a row.
const limitColumns = "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"
