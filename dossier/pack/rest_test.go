package pack_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/pack"
	"gallipot/dossier/sections"
)

// TestNoFigureIsLost: every figure of every section that can be asked for by name stands
// in the pack, on a page or in the workbook, in the row of the same thing.
func TestNoFigureIsLost(t *testing.T) {
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		a := dossiertest.Demo(t, id)
		d := pack.Build(a)
		all, err := sections.Figures(a, "", sections.SectionNames())
		require.NoError(t, err)
		there := map[string]bool{}
		keys := func(d *document.Document, take func(key string, c document.Cell)) {
			for _, b := range d.Blocks() {
				table, ok := b.(*document.Table)
				if !ok {
					continue
				}
				for _, r := range table.Rows {
					for i, c := range r.Cells {
						if i > 0 && c.IsFigure() {
							take(strings.Join([]string{r.Cells[0].String(), table.Columns[i].Head, c.String()}, " | "), c)
						}
					}
				}
			}
		}
		keys(d, func(key string, _ document.Cell) { there[key] = true })
		keys(&document.Document{Sections: d.Workbook}, func(key string, _ document.Cell) { there[key] = true })
		n := 0
		keys(all, func(key string, _ document.Cell) {
			// on pages a raw material has no id behind its name
			at := strings.Index(key, " (")
			short := key
			if at > 0 {
				short = key[:at] + key[strings.Index(key, ")")+1:]
			}
			assert.True(t, there[key] || there[short], fmt.Sprintf("%s lacks %s", id, key))
			n++
		})
		assert.Greater(t, n, 400, id)
	}
}
