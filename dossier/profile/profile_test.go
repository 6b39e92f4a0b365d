package profile_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/calc/law/tox"
	"gallipot/dossier/assess"
	"gallipot/dossier/profile"
	"gallipot/dossier/show"
	"gallipot/dossier/workshop"
)

// shop is a lotion that stays on the skin; all of it is invented.
const shop = `-- workshop.yaml --
maker: {name: Skerry (invented), address: [Shore Road 1]}
markets: [GB]
-- ingredients/water.yaml --
id: water
name: Water
composition: {complete: true, constituents: [{inci: Aqua, cas: 7732-18-5, pct: 100}]}
-- ingredients/sles.yaml --
id: sles
name: Ether sulfate
composition: {complete: true, constituents: [{inci: Sodium Laureth Sulfate, cas: 68891-38-3, pct: 30},
	{inci: Aqua, pct: q.s.}]}
impurities:
  - {name: "1,4-Dioxane", cas: 123-91-1, amount: "<10 ppm"}
toxicology:
  - inci: Sodium Laureth Sulfate
    source: summary (invented)
    classification: {classes: [Eye Irrit. 2], h_phrases: [H319], source: data sheet of the lot (invented)}
    endpoints:
      - {endpoint: skin-irrit, result: not irritant at 5 %, study: OECD TG 439, source: report 7 (invented)}
      - {endpoint: acute-inhal, not_relevant: no spray, by: the maker}
      - {endpoint: geno-mut, result: negative, source: report 8 (invented),
	read_across: {from: Sodium Lauryl Sulfate, because: same chain (invented)}}
-- ingredients/keeper.yaml --
id: keeper
name: Keeper
composition: {complete: true, constituents: [{inci: Phenoxyethanol, cas: 122-99-6, pct: 100}]}
-- ingredients/trace.yaml --
id: trace
name: Trace
composition: {complete: true, constituents: [{inci: Benzyl Alcohol, cas: 100-51-6, pct: 0.5},
	{inci: Sucrose, cas: 57-50-1, pct: 0.5}, {inci: Glycerin, cas: 56-81-5, pct: 99}]}
-- products/tide.yaml --
id: tide
name: Tide
revision: 1
product_type: TYPE
intended_for: adults
formula:
  basis: percent
  phases:
    - id: A
      lines:
        - {ingredient: water, amount: q.s.}
        - {ingredient: sles, amount: 20}
        - {ingredient: keeper, amount: 1}
        - {ingredient: trace, amount: 1}
`

// view shows the lotion as a product of a type, with texts of its files changed: old, new, ….
func view(t *testing.T, productType string, change ...string) *show.View {
	t.Helper()
	dir, files := t.TempDir(), strings.ReplaceAll(shop, "TYPE", productType)
	for i := 0; i < len(change); i += 2 {
		require.Contains(t, files, change[i])
		files = strings.Replace(files, change[i], change[i+1], 1)
	}
	for part := range strings.SplitSeq(files, "-- ") {
		name, text, ok := strings.Cut(part, " --\n")
		if !ok {
			continue
		}
		file := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o700))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	}
	w, _ := workshop.Load(dir, table.Builtin())
	require.NotNil(t, w)
	require.Len(t, w.Products, 1)
	return show.Show(assess.Run(w, w.Products[0], assess.Options{Date: 20261125, Law: table.Builtin()}), "")
}

func find(t *testing.T, list []*profile.Profile, inci string) *profile.Profile {
	t.Helper()
	for _, p := range list {
		if p.INCI() == inci {
			return p
		}
	}
	require.Fail(t, "no profile of "+inci)
	return nil
}

func TestAll(t *testing.T) {
	list := profile.All(view(t, "body-lotion"), tox.Builtin())
	sles, keeper := find(t, list, "Sodium Laureth Sulfate"), find(t, list, "Phenoxyethanol")
	cases := []struct {
		name     string
		of       *profile.Profile
		endpoint string
		state    profile.State
		text     string
	}{
		{"a result of a document", sles, "skin-irrit", profile.Value, "not irritant at 5 %; OECD TG 439"},
		{"not relevant, and who says so", sles, "acute-inhal", profile.NotRelevant, "not relevant: no spray"},
		{"borrowed, with the reason", sles, "geno-mut", profile.Across,
			"negative; read across from Sodium Lauryl Sulfate: same chain (invented)"},
		{"what is borrowed for one endpoint is said as read-across", sles, "read-across", profile.Across,
			"Sodium Lauryl Sulfate: same chain (invented)"},
		{"nothing is borrowed", keeper, "read-across", profile.NotRelevant, "no figure is borrowed from another substance"},
		{"the supplier's class comes before that of the table", sles, "cls-clp", profile.Value,
			"Eye Irrit. 2; H319"},
		{"nobody has said anything", sles, "photo-tox", profile.NotSupplied, ""},
		{"no mark is no statement", sles, "nano", profile.NotSupplied, ""},
		// CLP Annex VI, index 603-098-00-9: Acute Tox. 4, STOT SE 3, Eye Dam. 1
		{"a class alone", keeper, "eye-irrit", profile.ClassOnly, "class: H318"},
		{"no class is no result", keeper, "skin-sens", profile.NotSupplied, "no H317 in the EU list"},
		{"an entry of the annexes", keeper, "reg-status", profile.Value, "Annex V entry 29"},
		{"no class of carcinogens is no statement", keeper, "cmr", profile.NotSupplied,
			"no H340, H341, H350, H351, H360, H361, H362 in the EU list"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			l := c.of.Line(c.endpoint)
			assert.Equal(t, c.state, l.State)
			assert.Equal(t, c.text, l.Text)
		})
	}
	t.Run("every endpoint of a substance has a line", func(t *testing.T) { assert.Len(t, keeper.Lines, 43) })
	t.Run("preservatives are listed", func(t *testing.T) { assert.True(t, keeper.Listed && !sles.Listed) })
}

// The threshold is 0.01 %, and 0.001 % for what is classified and stays on the skin: of
// benzyl alcohol (Skin Sens. 1B) and sugar there are 0.005 % each.
func TestThreshold(t *testing.T) {
	names := func(productType string) (list []string) {
		for _, p := range profile.All(view(t, productType), tox.Builtin()) {
			list = append(list, p.INCI())
		}
		return list
	}
	on, off := names("body-lotion"), names("shower-gel")
	assert.Contains(t, on, "Benzyl Alcohol")
	assert.NotContains(t, on, "Sucrose")
	assert.NotContains(t, off, "Benzyl Alcohol")
	assert.Contains(t, off, "Glycerin")
}

func TestSelected(t *testing.T) {
	tables := tox.Builtin()
	all := profile.All(view(t, "body-lotion"), tables)
	in, rest := profile.Selected(all, tables, []string{"Glycerin"}, []string{"Aqua"})
	var names []string
	for _, p := range in {
		names = append(names, p.INCI())
	}
	assert.ElementsMatch(t, []string{"Glycerin", "Phenoxyethanol", "Benzyl Alcohol", "Aqua"}, names,
		"lowest, preservatives, asked for")
	assert.Len(t, rest, len(all)-len(in))
}

func TestMaterials(t *testing.T) {
	list := profile.Materials(view(t, "body-lotion"), tox.Builtin())
	stated := map[string]string{}
	kinds := map[string]int{}
	for _, m := range list {
		kinds[m.Sheet.ID] = len(m.Kinds)
		for _, x := range m.List {
			if m.Sheet.ID == "sles" && x.LimitOf != "" {
				stated[x.Name] = ""
				if x.Stated != nil {
					stated[x.Name] = x.Stated.Amount.Text
				}
			}
		}
	}
	assert.Equal(t, "<10 ppm", stated["1,4-Dioxane"])
	unstated, known := stated["Ethylene oxide"]
	assert.True(t, known && unstated == "", "expected of ether sulfates and not stated")
	assert.Positive(t, kinds["sles"])
}
