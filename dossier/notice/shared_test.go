package notice

import (
	"io/fs"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// demoOnce is the demo workshop, read once: nothing in it changes.
var demoOnce = sync.OnceValue(func() *workshop.Workshop {
	tree, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		panic(err)
	}
	w, _ := workshop.LoadFS("demo", tree, table.Builtin())
	return w
})

func labelWorkshop(t testing.TB) *workshop.Workshop {
	t.Helper()
	require.NotNil(t, demoOnce())
	return demoOnce()
}

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
	return dossier.Assess(w, w.Product("cream"), assess.Options{Date: testDay, Law: table.Builtin()})
}
