package workshop

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
)

// Water is what it is called; the workshop is invented.
func TestReach(t *testing.T) {
	const product = "name: P\nrevision: 1\nproduct_type: shower-gel\nintended_for: adults\n" +
		"formula: {basis: percent, phases: [{id: A, lines: [{ingredient: SHEET, amount: 100}]}]}\n"
	of := func(id, sheet string) string {
		return "id: " + id + "\n" + string([]byte(product[:len(product)-len("SHEET, amount: 100}]}]}\n")])) +
			sheet + ", amount: 100}]}]}\n"
	}
	reachable := func(extra map[string]string) *Workshop {
		fs := fstest.MapFS{
			"workshop.yaml": {Data: []byte("maker: {name: Invented, address: [Lane 1], country: GB}\n" +
				"responsible_person: {GB: {name: Invented, address: [Lane 1]}}\nmarkets: [GB]\n")},
			"ingredients/water.yaml": {Data: []byte("id: water\nname: Water\n" +
				"composition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n")},
			"products/whole.yaml": {Data: []byte(of("whole", "water"))},
		}
		for name, text := range extra {
			fs[name] = &fstest.MapFile{Data: []byte(text)}
		}
		w, _ := LoadFS("x", fs, table.Builtin())
		require.NotNil(t, w)
		return w
	}
	ids := func(w *Workshop) (out []string) {
		for _, p := range w.Products {
			out = append(out, p.ID)
		}
		return out
	}
	stub := "id: stub\nname: Stub\ncomposition: {complete: false, constituents: []}\n"

	t.Run("nothing is left out of a workshop that can be read", func(t *testing.T) {
		w := reachable(nil)
		rest, without, ok := w.Reach()
		require.True(t, ok)
		require.Same(t, w, rest)
		require.Empty(t, without)
	})
	t.Run("an open amount leaves out its own product", func(t *testing.T) {
		w := reachable(map[string]string{"products/draft.yaml": of("draft", "water") + "shelf: no\n"})
		rest, without, ok := w.Reach()
		require.True(t, ok)
		require.Equal(t, []string{"whole"}, ids(rest))
		require.Equal(t, Without{[]string{"draft"}, []string{"products/draft.yaml"}}, without)
		require.Len(t, w.Products, 2, "the workshop itself stays as it was read")
	})
	t.Run("an open sheet leaves out the products that use it", func(t *testing.T) {
		w := reachable(map[string]string{"ingredients/stub.yaml": stub, "products/draft.yaml": of("draft", "stub")})
		rest, without, ok := w.Reach()
		require.True(t, ok)
		require.Equal(t, []string{"whole"}, ids(rest))
		require.Equal(t, Without{[]string{"draft"}, []string{"ingredients/stub.yaml"}}, without)
	})
	t.Run("an open sheet that no product uses leaves out none, and is named", func(t *testing.T) {
		rest, without, ok := reachable(map[string]string{"ingredients/stub.yaml": stub}).Reach()
		require.True(t, ok)
		require.Equal(t, []string{"whole"}, ids(rest))
		require.Equal(t, Without{Files: []string{"ingredients/stub.yaml"}}, without)
	})
	t.Run("a product that is no YAML is named by its file", func(t *testing.T) {
		_, without, ok := reachable(map[string]string{"products/torn.yaml": "id: \"torn\nname: x\n"}).Reach()
		require.True(t, ok)
		require.Equal(t, []string{"torn"}, without.Products)
	})
	t.Run("a record of a batch that cannot be read stops all", func(t *testing.T) {
		_, _, ok := reachable(map[string]string{"batches/B-1.yaml": "code: \"B\n"}).Reach()
		require.False(t, ok)
	})
}
