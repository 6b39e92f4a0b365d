package pack_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/pack"
	"gallipot/dossier/ready"
	"gallipot/dossier/sections"
)

// TestReadinessInPack prints every item in one line of D.1 and in the workbook with its
// legal basis; what nobody has stated is never "not needed".
func TestReadinessInPack(t *testing.T) {
	a := dossiertest.Demo(t, "body-cream")
	d := pack.Build(a)
	require.Empty(t, d.Check())
	inBook := map[string]bool{}
	for _, id := range (&document.Document{Sections: d.Workbook}).Anchors() {
		inBook[id] = true
	}
	var page *document.Table
	for _, b := range d.Blocks() {
		if x, ok := b.(*document.Table); ok && x.ID == "readiness-items" {
			page = x
		}
	}
	require.NotNil(t, page)
	state := map[string]string{}
	for _, r := range page.Rows {
		if r.Kind == document.RowData {
			state[r.Cells[0].Text] = r.Cells[2].String()
		}
	}
	for _, x := range ready.Readiness(a) {
		assert.True(t, inBook["ready-"+x.ID], x.ID)
	}
	for _, id := range []string{"A4b", "A4d", "A10", "N6", "X1"} {
		assert.Equal(t, "□\u00a0not stated", state[id], id)
	}
	figures, err := sections.Figures(a, "", []string{"readiness"})
	require.NoError(t, err)
	require.Empty(t, figures.Check())
	var text bytes.Buffer
	require.NoError(t, plain.Write(&text, figures))
	assert.Contains(t, text.String(), "A3c")
	assert.NotContains(t, text.String(), "PH 5.3")
}

// TestSilentSheets: the question about impurities and the readiness of the file count the
// same sheets.
func TestSilentSheets(t *testing.T) {
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		text := strings.Join(strings.Fields(measure(t, pack.Build(dossiertest.Demo(t, id))).text.String()), " ")
		asked := regexp.MustCompile(`(\d+) of \d+ raw material sheets? state no impurity, water aside`).FindStringSubmatch(text)
		found := regexp.MustCompile(`(\d+) sheets? states? no impurity`).FindStringSubmatch(text)
		require.Len(t, asked, 2, id)
		require.Len(t, found, 2, id)
		assert.Equal(t, asked[1], found[1], id)
	}
}
