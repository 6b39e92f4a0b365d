package main

import (
	"io/fs"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/filing"
	"gallipot/dossier/transcribe/listed"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/workshop"
	"gallipot/testdata"
)

// TestDemoInbox reads the supplier documents in the inbox of the demo: each says
// exactly what the demo's sheet says, no row more and none less, and asks nothing but
// what the paper leaves open.
func TestDemoInbox(t *testing.T) {
	demo, err := fs.Sub(testdata.Demo, "demo")
	require.NoError(t, err)
	w, _ := workshop.LoadFS("demo", demo, table.Builtin())
	require.NotNil(t, w)
	reader, err := transcribe.New(table.Builtin(), listed.New(table.Builtin().Dictionary()))
	require.NoError(t, err)
	files := paper.NewReader()
	defer files.Close()
	// fields of the sheet that the paper is to say, counted by hand in the sheet
	for name, want := range map[string]struct {
		sheet string
		same  []string
		asks  []string
	}{
		"kelp-extract-composition.pdf": {"kelp-extract", []string{"supplier.name", "supplier.code", "composition.aqua",
			"composition.glycerin", "composition.laminaria-digitata-extract", "composition.phenoxyethanol",
			"impurities.diethylene-glycol", "physical.ph", "physical.density_g_ml"}, []string{"sum-below"}},
		"fo-heather-allergens.xlsx": {"fo-heather", []string{"supplier.name", "supplier.code", "allergens.dated",
			"allergens.linalool", "allergens.linalyl-acetate", "allergens.hexyl-cinnamal",
			"allergens.tetramethyl-acetyloctahydronaphthalenes", "allergens.alpha-isomethyl-ionone", "allergens.coumarin",
			"allergens.geraniol", "allergens.citronellol", "allergens.limonene", "allergens.hydroxycitronellal"}, nil},
		"fo-gorse-certificate.html": {"fo-gorse", append([]string{"supplier.name", "supplier.code", "fragrance_limits.dated"},
			prefixed("fragrance_limits.", "1 2 3 4 5A 5B 5C 5D 6 7A 7B 8 9 10A 10B 11A 11B 12")...), nil},
	} {
		t.Run(name, func(t *testing.T) {
			data, err := fs.ReadFile(demo, path.Join("inbox", name))
			require.NoError(t, err)
			f, err := files.Read(name, data)
			require.NoError(t, err)
			r := filing.Of(w, reader.Read(f), name, data, "")
			require.Equal(t, want.sheet, r.Sheet)
			var same []string
			for _, v := range r.Values {
				if v.State == filing.Same {
					same = append(same, v.Field)
					continue
				}
				require.Equal(t, filing.Fills, v.State, "%s: paper %s, sheet %s", v.Field, v.Paper, v.Sheet)
				require.True(t, strings.HasPrefix(v.Field, "documents."), "%s: paper %s", v.Field, v.Paper)
			}
			require.ElementsMatch(t, want.same, same)
			var asks []string
			for _, a := range r.Reading.Asks {
				asks = append(asks, a.Code)
			}
			require.Equal(t, want.asks, asks)
		})
	}
}

func prefixed(prefix, words string) []string {
	var out []string
	for _, w := range strings.Fields(words) {
		out = append(out, prefix+w)
	}
	return out
}
