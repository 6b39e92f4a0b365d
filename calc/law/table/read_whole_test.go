package table_test

import (
	"cmp"
	"io/fs"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
)

// TestReferencesExist follows every key that one table takes from another.
func TestReferencesExist(t *testing.T) {
	tables := table.Builtin()
	categories := map[string]bool{}
	for _, c := range tables.Categories {
		categories[c.Category] = true
	}
	for _, p := range law.ProductTypes(tables) {
		for _, key := range []string{p.ExposureKey, p.ProxyKey} {
			if _, ok := law.Exposure(tables, key); key != "" && !ok {
				t.Errorf("%s: no exposure row %q", p.Key, key)
			}
		}
		require.True(t, categories[p.FragranceCategory], "%s: category %s", p.Key, p.FragranceCategory)
		for _, c := range p.Codes {
			require.NotNil(t, condition.CodeTable()[c], "%s: code %s", p.Key, c)
		}
		for _, a := range p.Areas {
			require.Contains(t, condition.AreaWords, a, p.Key)
		}
		for _, f := range p.Forms {
			require.Contains(t, []string{"spray", "aerosol", "propellant-spray", "pump-spray", "loose-powder",
				"inhalable"}, f, p.Key)
		}
		for _, c := range p.Claims {
			require.Contains(t, condition.ClaimWords, c, p.Key)
		}
		if p.Population != "" {
			_, err := law.AgesOf(p.Population)
			require.NoError(t, err, p.Key)
		}
		// the table writes parents and areas out: nothing more may follow
		s := law.SituationOf(p)
		require.ElementsMatch(t, p.Areas, s.Areas, p.Key)
		require.ElementsMatch(t, p.Codes, s.Codes, p.Key)
	}
	for _, s := range law.Standards(tables) {
		for _, c := range s.Categories {
			require.True(t, c == "all" || categories[c], "%s: category %s", s.Key, c)
		}
	}
	for _, c := range condition.CodeTable() {
		for _, p := range c.Parents {
			require.NotNil(t, condition.CodeTable()[p], "%s: parent %s", c.Key, p)
		}
	}
}

// TestEveryCodeCanHold wants each product code of a condition that a product
// type could never meet to be known: those belong to products that have no type.
func TestEveryCodeCanHold(t *testing.T) {
	used := map[string]bool{}
	for _, p := range law.ProductTypes(table.Builtin()) {
		for _, c := range p.Codes {
			used[c] = true
		}
	}
	without := []string{ // hair dyes, salon products and the like: left out of product-types.csv on purpose
		"artificial-nail", "astringent-lotion", "blemish-concealer", "callus-remover", "depilatory", "eyebrow-tint",
		"eyelash-product",
		"eyelash-tint", "eyelash-waving", "fragrance-cream", "hair-dye", "hair-dye-nonoxidative",
		"hair-dye-oxidative", "hair-lotion",
		"hair-straightener", "hair-waving", "nail-cleaning", "nail-cuticle-solvent", "nail-hardener",
		"powder-foundation", "tooth-whitening",
	}
	var got []string
	for c := range condition.CodeTable() {
		if !used[c] {
			got = append(got, c)
		}
	}
	slices.Sort(got)
	require.Equal(t, without, got)
}

func TestVersion(t *testing.T) {
	v := table.Builtin().Version()
	files, err := fs.ReadDir(table.Files(), ".")
	require.NoError(t, err)
	require.Len(t, v, len(files), "every embedded table is read")
	require.True(t, slices.IsSortedFunc(v, func(a, b table.TableInfo) int { return cmp.Compare(a.Name, b.Name) }))
	for _, i := range v {
		require.Len(t, i.SHA256, 64, i.Name)
		require.Equal(t, i.Rows, i.Seen+i.Memory, i.Name)
		require.Less(t, i.Newest, "2030", "%s: the number of a record is no year", i.Name)
	}
	i := slices.IndexFunc(v, func(i table.TableInfo) bool { return i.Name == "limits.csv" })
	// counts as printed in the notes to limits.csv, State: 25 November 2026
	require.Equal(t, []int{1242, 1233, 9}, []int{v[i].Rows, v[i].Seen, v[i].Memory})
	require.Equal(t, "2026-05-01", v[i].Newest)
	require.Equal(t, "2026-11-25", law.Fact(table.Builtin(), table.TablesState).Date.String())
}

// TestNoOverlap wants no two rows to say different things of one rule, market
// and day. Rows that differ in substance, sum rule or condition are different
// rules.
func TestNoOverlap(t *testing.T) {
	type rule struct{ entry, condition, sumRule, names string }
	byRule := map[rule][]*annex.Limit{}
	for _, l := range law.Limits(table.Builtin()) {
		k := rule{l.Annex + "/" + l.Entry, l.Condition.Text, l.SumRule, strings.Join(l.Names, ";")}
		byRule[k] = append(byRule[k], l)
	}
	both := 0
	for _, tableRows := range byRule {
		for i, a := range tableRows {
			for _, b := range tableRows[i+1:] {
				for _, m := range []rows.Market{rows.EU, rows.GB} {
					last := max(a.From, b.From, 20000101)
					if a.In(m, last) && b.In(m, last) {
						both++
						require.Equal(t, a.MaxPct, b.MaxPct, "%s and %s hold at once", a.Key, b.Key)
					}
				}
			}
		}
	}
	require.LessOrEqual(t, both, 3)
}
