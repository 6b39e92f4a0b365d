package flat_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/flat"
	"gallipot/dossier/recalc"
	"gallipot/dossier/show"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// figures are the cells of the sheet by column, with those that hold no figure.
func figures(t *testing.T, id string, live bool) map[string][]document.Cell {
	t.Helper()
	a := dossiertest.Demo(t, id)
	var sheets []*document.Section
	if live {
		sheets = recalc.Build(a)
	}
	s := flat.Section(show.Show(a, ""), sheets)
	table, ok := s.Blocks[0].(*document.Table)
	require.True(t, ok)
	require.NotEmpty(t, table.Rows)
	out := map[string][]document.Cell{}
	for _, r := range table.Rows {
		require.Len(t, r.Cells, len(table.Columns))
		for i, c := range r.Cells {
			out[table.Columns[i].Head] = append(out[table.Columns[i].Head], c)
		}
	}
	return out
}

func TestSection(t *testing.T) {
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		live, alone := figures(t, id, true), figures(t, id, false)
		t.Run(id+": every figure follows", func(t *testing.T) {
			n := 0
			for head, cells := range live {
				for i, c := range cells {
					assert.Empty(t, c.Name, "a name is the live cell's alone")
					if c.IsFigure() {
						assert.NotEmpty(t, c.Formula, "%s of %s", head, live["INCI"][i].Text)
						n++
					}
				}
			}
			assert.Greater(t, n, 100)
		})
		t.Run(id+": the live sheets alter no figure", func(t *testing.T) {
			for head, cells := range alone {
				for i, c := range cells {
					if c.IsFigure() {
						assert.Equal(t, c.String(), live[head][i].String(), "%s of %s", head, live["INCI"][i].Text)
					}
				}
			}
		})
		t.Run(id+": no dose is shown as 0.000", func(t *testing.T) {
			for _, head := range []string{"SED", "Internal PoD"} {
				for _, c := range live[head] {
					if c.Kind == document.CellFloat {
						assert.Greater(t, c.Digits, document.RatioDigits, head)
					}
				}
			}
		})
	}
}

// Sodium benzoate in what is rinsed off is limited to 2.5 % as acid, in what stays on to 0.5 %
// (Annex V entry 1 of Regulation (EC) 1223/2009): the figure that does not apply is not shown.
func TestLimitThatApplies(t *testing.T) {
	all := figures(t, "heath-wash", true)
	for i, c := range all["INCI"] {
		if c.Text == "Sodium Benzoate" {
			assert.Equal(t, []string{"V/1", "2.5", "kept"}, []string{all["Entries"][i].String(), all["Limit"][i].String(),
				all["Against the limits"][i].Text})
			return
		}
	}
	t.Fatal("no sodium benzoate")
}
