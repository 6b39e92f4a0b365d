package draft

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/recipe"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

func read(t *testing.T, name string, data []byte) *formulation.Reading {
	words, err := lexicon.Load()
	require.NoError(t, err)
	f, err := paper.NewReader().Read(name, data)
	require.NoError(t, err)
	return recipe.Read(f, words)
}

// load reads drafts as a workshop does. Stubs are filled so that the product alone
// is looked at.
func load(t *testing.T, files []File, filled bool) (*workshop.Workshop, []finding.Finding) {
	fs := fstest.MapFS{"workshop.yaml": {Data: []byte("maker: {name: Invented, address: [Lane 1], country: GB}\nresponsible_person: {GB: {name: Invented, address: [Lane 1]}}\nmarkets: [GB]\n")}}
	for _, f := range files {
		text := f.Text
		if filled {
			text = strings.ReplaceAll(text, "constituents: []", "constituents: [{inci: Aqua, pct: 50}]")
			text = strings.ReplaceAll(text, "product_type:  ", "product_type: shower-gel")
			text = strings.ReplaceAll(text, "intended_for:  ", "intended_for: adults")
		}
		fs[f.Path] = &fstest.MapFile{Data: []byte(text)}
	}
	return workshop.LoadFS("x", fs, table.Builtin())
}

func stops(fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		if f.Unread {
			said := words.Say(&f, words.Terminal)
			out = append(out, said.Line())
		}
	}
	return out
}

// The formula is invented.
const whole = "Heath wash v2,\nIngredient,INCI,%\nWater,Aqua,to 100\nGlucoside,Decyl Glucoside,25\nPreservative,\"Benzyl Alcohol, Aqua\",0.9\n"

func TestProduct(t *testing.T) {
	r := read(t, "x.csv", []byte(whole))
	require.Len(t, r.Products, 1)
	files := Product(&r.Products[0], Options{Source: "x.csv", Sheets: []Material{{"water-own", "Water"}}})

	t.Run("a sheet that is there is used, the others become stubs", func(t *testing.T) {
		var paths []string
		for _, f := range files {
			paths = append(paths, f.Path)
		}
		require.Equal(t, []string{"products/heath-wash.yaml", "ingredients/glucoside.yaml",
			"ingredients/preservative.yaml"}, paths)
		require.Contains(t, files[0].Text, "{ingredient: water-own, amount: q.s.}   # line 3")
		require.Contains(t, files[0].Text, "revision: 2")
	})
	t.Run("a stub has no constituent and keeps the printed INCI in a comment", func(t *testing.T) {
		require.Contains(t, files[2].Text, "constituents: []")
		require.Contains(t, files[2].Text, "# INCI as the formula prints it, without contents: Benzyl Alcohol, Aqua")
	})
	t.Run("a formula without questions reads back as it was printed", func(t *testing.T) {
		own := File{"ingredients/water-own.yaml",
			"id: water-own\nname: Water\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n"}
		w, findings := load(t, append(files, own), true)
		require.Empty(t, stops(findings))
		lines := w.Products[0].Formula.Phases[0].Lines
		require.True(t, lines[0].Rest)
		require.Equal(t, "25", lines[1].Amount.Exact())
		require.Equal(t, "0.9", lines[2].Amount.Exact())
	})
	t.Run("what is not said stops the workshop", func(t *testing.T) {
		_, findings := load(t, files, false)
		all := strings.Join(stops(findings), "\n")
		require.Contains(t, all, "product_type: it has no value")
		require.Contains(t, all, "intended_for: it has no value")
		require.Contains(t, all, "constituents: the list is empty")
	})
}

func TestLeftOpen(t *testing.T) {
	r := read(t, "x.csv", []byte("Heath wash v2,\nIngredient,%\nWater,to 100\nGlucoside,20-25\nPreservative,some\n"))
	require.Len(t, r.Products, 1)
	files := Product(&r.Products[0], Options{Source: "x.csv"})
	unread := func(files []File) (open, other []string) {
		_, findings := load(t, files, false)
		for _, f := range findings {
			switch {
			case !f.Unread:
			case LeftOpen(f):
				open = append(open, f.Code)
			default:
				other = append(other, f.Code)
			}
		}
		return open, other
	}
	t.Run("empty values and amounts behind a question mark", func(t *testing.T) {
		open, other := unread(files)
		require.Empty(t, other)
		require.Contains(t, open, "empty-value")
		require.Contains(t, open, "bad-amount")
	})
	t.Run("a mistake of the maker's is none", func(t *testing.T) {
		typed := slices.Clone(files)
		typed[0].Text = strings.Replace(typed[0].Text, `amount: "? the rest"`, "amount: 3 drops", 1)
		require.NotEqual(t, files[0].Text, typed[0].Text)
		_, other := unread(typed)
		require.Equal(t, []string{"bad-amount"}, other)
	})
}

// Every document of the set becomes files that parse; each open line stops there.
func TestDocuments(t *testing.T) {
	names, err := filepath.Glob("../../../testdata/formulas/*.expected.json")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, n := range names {
		stem := strings.TrimSuffix(n, ".expected.json")
		found, err := filepath.Glob(stem + ".*")
		require.NoError(t, err)
		for _, file := range found {
			if strings.HasSuffix(file, ".json") {
				continue
			}
			t.Run(filepath.Base(file), func(t *testing.T) {
				data, err := os.ReadFile(file)
				require.NoError(t, err)
				for _, p := range read(t, filepath.Base(file), data).Products {
					files := Product(&p, Options{Source: filepath.Base(file)})
					_, findings := load(t, files, true)
					open := 0
					for _, l := range p.Lines() {
						if l.Counted() && (l.Ask != "" || l.Hidden || l.Amount == nil && (l.QS == nil || *l.QS != "to-100") || l.Unit != nil && *l.Unit == "parts") {
							open++
						}
					}
					require.Len(t, stops(findings), open, "%v", stops(findings))
				}
			})
		}
	}
}

func TestVariantsKeepTheirAmounts(t *testing.T) {
	r := read(t, "x.csv", []byte("Lip balm,,\nIngredient,Mint,Rose\nWax,20,20\nOil,79.5,79\nPeppermint oil,0.5,\nRose fragrance,,1\n"))
	p := &r.Products[0]
	files := Product(p, Options{Source: "x.csv"})
	w, findings := load(t, files, true)
	require.Empty(t, stops(findings))
	product := w.Products[0]
	require.Len(t, product.Variants, 2)
	require.Equal(t, "grams", string(product.Formula.Basis))
	require.Contains(t, files[0].Text, "fill: {oil-mint: oil, scent-mint: peppermint-oil}")
	require.Contains(t, files[0].Text, "fill: {oil-rose: oil, scent-rose: rose-fragrance}")
}

func TestAdditionsGoOnTop(t *testing.T) {
	r := read(t, "x.csv", []byte("Scrub,\nIngredient,%\nOil,60\nSugar,40\nTotal,100\non top of 100,\nSalt,4\n"))
	files := Product(&r.Products[0], Options{Source: "x.csv"})
	require.Contains(t, files[0].Text, "then_add: [{ingredient: salt, parts_per_100: 4}]")
	_, findings := load(t, files, true)
	require.Empty(t, stops(findings))
}

func TestID(t *testing.T) {
	for name, want := range map[string]string{"Hand balm \"Ternpool\"": "hand-balm-ternpool",
		"Crème mains": "creme-mains", "99 % oil": "m-99-oil", "***": "m"} {
		require.Equal(t, want, ID(name))
	}
}
