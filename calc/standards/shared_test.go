package standards

import (
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/law/table"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func codes(fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

// said puts a finding into the words of the table, for tests of what is said.
func said(f finding.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
}

var builtinSession = sync.OnceValue(func() *formula.Session { return formula.NewSession(table.Builtin()) })

// testSession is the session of the tests over the program's own tables, one for
// all of them; other tables get a session of their own.
func testSession(tables *table.Tables) *formula.Session {
	if tables == table.Builtin() {
		return builtinSession()
	}
	return formula.NewSession(tables)
}

func num(t testing.TB, text string) exact.Num {
	t.Helper()
	n, err := exact.ParseNum(text)
	require.NoError(t, err)
	return n
}

func rangeOf(t testing.TB, text string) exact.Range {
	t.Helper()
	a, err := exact.ParseAmount(text)
	require.NoError(t, err)
	return a.Range
}

func ptr(n exact.Num) *exact.Num { return &n }
