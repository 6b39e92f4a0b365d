// Package assesstest assesses the demo for the tests of other rooms.
package assesstest

import (
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// day is the one the demo is made for.
const day = exact.Date(20261125)

// demo reads the demo where it stands in the sources, once in a run of the tests.
var demo = sync.OnceValues(func() (*workshop.Workshop, error) {
	dir, err := os.Getwd() // tests run in the folder of their package
	for err == nil {
		if _, err = os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if up := filepath.Dir(dir); up != dir {
			dir, err = up, nil
		}
	}
	if err != nil {
		return nil, err
	}
	w, _ := workshop.Load(filepath.Join(dir, "testdata", "demo"), table.Builtin())
	return w, nil
})

// Run assesses one product: [assess.Run], or what asks more of it.
type Run func(w *workshop.Workshop, p *workshop.Product, opt assess.Options) *assess.Assessment

// Demo assesses products of the demo on its day. The folder is that of the sources: copy
// it before writing into it. Tests share the workshop, which does not change after
// loading, and the results; the assessment and its product are copies.
func Demo(run Run) func(t testing.TB, id string) *assess.Assessment {
	var assessed sync.Map // id → func() *assess.Assessment
	return func(t testing.TB, id string) *assess.Assessment {
		t.Helper()
		w, err := demo()
		require.NoError(t, err)
		require.NotNil(t, w)
		once, _ := assessed.LoadOrStore(id, sync.OnceValue(func() *assess.Assessment {
			return run(w, w.Product(id), assess.Options{Date: day, Law: table.Builtin()})
		}))
		a := *once.(func() *assess.Assessment)()
		product := *a.Product
		a.Product = &product
		return &a
	}
}
