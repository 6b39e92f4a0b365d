package stock

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

func TestNextLot(t *testing.T) {
	lot := func(code, day string) string {
		return "lot: " + code + "\ningredient: oil\nreceived: " + day + "\nreceived_g: 1\n"
	}
	assert.Equal(t, "RM-0001", NextLot(shop(t, nil)))
	assert.Equal(t, "RM-0010", NextLot(shop(t, map[string]string{"lots/RM-0009.yaml": lot("RM-0009", "2026-01-01")})))
	assert.Equal(t, "G100", NextLot(shop(t,
		map[string]string{"lots/RM-0009.yaml": lot("RM-0009", "2026-01-01"),
			"lots/G99.yaml": lot("G99", "2026-01-02")})), "the one received last is counted on")
	assert.Equal(t, "G102", NextLot(shop(t,
		map[string]string{"lots/G99.yaml": lot("G99", "2026-01-02"), "lots/g100.yaml": lot("g100", "2026-01-01"),
			"batches/T-1.yaml": record("T-1", "2026-02-01", "{ingredient: oil, weighed_g: 1, lot: G101}")})),
		"never one that is taken, in a record either")
}

// folder writes a workshop to disk, as far as these tests need one.
func folder(t *testing.T) (string, func() *workshop.Workshop) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "workshop.yaml"),
		[]byte("maker: {name: Skerry (invented), address: [x]}\nmarkets: [GB]\n"), 0o666))
	return dir, func() *workshop.Workshop {
		w, _ := workshop.Load(dir, table.Builtin())
		require.NotNil(t, w)
		return w
	}
}

// What is written reads back as it was.
func TestReceive(t *testing.T) {
	dir, load := folder(t)
	g, price, units := num(t, "500.25"), num(t, "12.5"), 40
	lots := []*workshop.Lot{
		{Code: "2001", Ingredient: "oil", Supplier: "Wrack: the other", SupplierLot: "007", Received: 20260105,
			G: &g, BestBefore: 20271231, Retest: 20270101, Price: &price,
			Certificate: workshop.Certificate{File: "evidence/a b.pdf", Dated: 20260101,
				Results: []workshop.LotResult{{What: "peroxide value", Found: "<2"}}}},
		{Code: "L-1", Item: "label", Label: &workshop.PrintedFor{Product: "tide", Variant: "moor", Market: "GB",
			Revision: 2, Ingredients: `Aqua, "Moor" Oil: x`}, Received: 20260105, Units: &units},
	}
	for _, l := range lots {
		name, err := Receive(load(), l)
		require.NoError(t, err)
		got := load().Lot(l.Code)
		require.NotNil(t, got, name)
		want := *l
		// where things stand is of the file alone
		got.Source, got.Pos, got.IngredientPos, got.ReceivedPos, got.BestBeforePos, got.Certificate.Pos = nil,
			exact.Pos{}, exact.Pos{}, exact.Pos{}, exact.Pos{}, exact.Pos{}
		for i := range got.Certificate.Results {
			got.Certificate.Results[i].Pos = exact.Pos{}
		}
		if got.Label != nil {
			got.Label.Pos = exact.Pos{}
		}
		assert.Equal(t, want, *got)
	}
	before, err := os.ReadFile(filepath.Join(dir, "lots", "L-1.yaml"))
	require.NoError(t, err)
	for code, why := range map[string]string{"l-1": "is there already", "../x": "cannot be the number",
		"CON": "cannot be the number", "": "cannot be the number"} {
		_, err := Receive(load(), &workshop.Lot{Code: code, Ingredient: "oil", Received: 20260105, G: &g})
		assert.ErrorContains(t, err, why, code)
	}
	after, err := os.ReadFile(filepath.Join(dir, "lots", "L-1.yaml"))
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after))
}

func TestMove(t *testing.T) {
	dir, load := folder(t)
	path := filepath.Join(dir, "lots", "O-1.yaml")
	require.NoError(t, os.Mkdir(filepath.Dir(path), 0o777))
	const text = "lot: O-1   # the drum\ningredient: oil\nreceived: 2026-01-05\n\nreceived_g: 500\n"
	require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	g := num(t, "12.5")
	w := load()
	require.NoError(t, Move(w, w.Lot("O-1"), "discarded",
		workshop.LotMove{Date: 20260201, G: &g, Reason: "spilt: on the floor"}))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, text+"discarded:\n  - {date: 2026-02-01, g: 12.5, reason: \"spilt: on the floor\"}\n", string(data))
	assert.ErrorContains(t, Move(w, w.Lot("O-1"), "counted", workshop.LotMove{Date: 20260201, G: &g}), "changed meanwhile")
}
