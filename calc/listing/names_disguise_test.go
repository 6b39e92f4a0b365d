package listing

import (
	"encoding/csv"
	"math/rand"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/names"
)

// disguise is a way suppliers print a name.
type disguise struct {
	kind    string
	printed string
}

// disguises prints a name in five ways: another name in brackets behind it,
// before it or inside; by a slash; as a row of its own with suppliers' marks; with
// purity, grade or form behind; under an American or safety-sheet name.
func disguises(r *rand.Rand, dict *ingredients.Dictionary, name string, other []string) []disguise {
	pick := func(list ...string) string { return list[r.Intn(len(list))] }
	second := name
	if len(other) > 0 {
		second = pick(other...)
	}
	bracket := pick(name+" ("+second+")", second+" ("+name+")", name+" ["+second+"]")
	if words := strings.Fields(name); len(words) > 2 && !strings.ContainsAny(name, "(/") && dict.Names().Plant(name) != nil && r.Intn(2) == 0 {
		bracket = strings.Join(words[:2], " ") + " (" + pick("Common Plant", "Wild Herb") + ") " + strings.Join(words[2:], " ")
	}
	if strings.ContainsAny(name, "(/") {
		bracket = name // a name with brackets of its own gets no more
	}
	return []disguise{
		{"bracket", bracket},
		{"slash", slashed(name, second, pick)},
		{"marks", pick(name+"*", strings.ToUpper(name)+".", "  "+strings.ToLower(name)+" ", name+"®", strings.ReplaceAll(name, " ", "  "))},
		{"grade", pick(name+" 99 %", name+" (USP)", name+", cosmetic grade", "Organic "+name, name+" (natural)", name+" >98%", "Pure "+name)},
		{"other name", second},
	}
}

// slashed joins a name with another of the same substance.
func slashed(name, second string, pick func(...string) string) string {
	if strings.EqualFold(name, second) || strings.Contains(name, "(") {
		return name
	}
	return pick(name+"/"+second, second+" / "+name, name+" / "+second)
}

// otherNamesOf are the names in use for each substance, by its canonical name: of
// the law, of the official lists, of the trade, where they lead to it alone.
func otherNamesOf(t *testing.T, dict *ingredients.Dictionary) map[string][]string {
	t.Helper()
	other := map[string][]string{}
	add := func(printed string) {
		if strings.ContainsAny(printed, "\n\t") || strings.HasPrefix(printed, "(") {
			return
		}
		if reading := dict.Resolve(printed, "", ""); len(reading.Asks) == 0 && len(reading.Names) == 1 {
			n := reading.First().Name
			if !strings.EqualFold(n, printed) {
				other[n] = append(other[n], printed)
			}
		}
	}
	for file, column := range map[string]int{"../../ingredients/names/data/customary-names.csv": 0, "../../ingredients/inventory/data/inci-synonyms.csv": 1} {
		f, err := os.Open(file)
		require.NoError(t, err)
		rows, err := csv.NewReader(f).ReadAll()
		require.NoError(t, err)
		require.NoError(t, f.Close())
		for _, row := range rows[1:] {
			add(row[column])
		}
	}
	for _, list := range other {
		slices.Sort(list)
	}
	return other
}

// drawn are 2,000 names: the commonest on labels and those that limits name, then
// names of the inventory, drawn by seed.
func drawn(t *testing.T, r *rand.Rand, tables *table.Tables) []string {
	t.Helper()
	dict := tables.Dictionary()
	var first []string
	common, err := os.Open("../../testdata/published/label_names.csv")
	require.NoError(t, err)
	defer common.Close()
	rows, err := csv.NewReader(common).ReadAll()
	require.NoError(t, err)
	for _, row := range rows[1:] {
		first = append(first, row[0])
	}
	for _, l := range law.Limits(tables) {
		if l.Class == "" {
			first = append(first, l.Names[0])
		}
	}
	first = slices.DeleteFunc(first, func(n string) bool {
		reading := dict.Resolve(n, "", "")
		return len(reading.Asks) > 0 || !reading.First().Known() || strings.Contains(n, "nano")
	})
	r.Shuffle(len(first), func(i, j int) { first[i], first[j] = first[j], first[i] })
	out := first[:min(1000, len(first))]
	inv := dict.Names().Inventory().Names()
	for len(out) < 2000 {
		if n := inv[r.Intn(len(inv))]; strings.Count(n, "(") == strings.Count(n, ")") { // a few are misprinted
			out = append(out, n)
		}
	}
	return out
}

// Two thousand names in five disguises each are understood as the substance that
// the plain name is, without a number to help, and never as two.
func TestDisguisedNames(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	r := rand.New(rand.NewSource(20261129))
	other := otherNamesOf(t, dict)
	wrong := map[string]int{}
	for _, name := range drawn(t, r, tables) {
		want := dict.Resolve(name, "", "").First()
		for _, d := range disguises(r, dict, name, other[want.Name]) {
			reading := dict.Resolve(d.printed, "", "")
			got := reading.First()
			if got.Name == want.Name && !reading.Several() {
				continue
			}
			if wrong[d.kind]++; wrong[d.kind] <= 8 {
				t.Logf("%s: %q is read as %q, %q is %q %v", d.kind, d.printed, got.Name, name, want.Name, reading.Asks)
			}
		}
	}
	assert.Empty(t, wrong)
}

// The botanical rule, on every CAS number that the inventory gives to more than one
// part or preparation of a plant: the number renames nothing, and counts nothing
// as an allergen of another part.
func TestPlantNumbersOfTheInventory(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	inv := dict.Names().Inventory()
	index := indexAllergens(formulatest.Session(tables), law.Allergens(tables, rows.EU, 20280101))
	numbers, checked := map[string][]string{}, 0
	for _, n := range inv.Names() {
		if dict.Names().Plant(n) == nil {
			continue
		}
		e, _ := inv.Entry(n)
		for _, cas := range e.CAS {
			numbers[cas] = append(numbers[cas], n)
		}
	}
	for cas, list := range numbers {
		if len(list) < 2 || len(inv.ByCAS(cas)) == 0 {
			continue
		}
		for _, n := range list {
			checked++
			plain, numbered := dict.Resolve(n, "", "").First(), dict.Resolve(n, cas, "").First()
			assert.Equal(t, plain.Name, numbered.Name, "%s with %s", n, cas)
			s := &formula.Substance{INCI: numbered.Name, CAS: cas, OtherNames: formula.OtherNames{Also: numbered.Also}}
			for _, row := range index.rowsOf(s) {
				assert.NotEqual(t, names.Unfits, bestFit(index, s, row), "%s is counted as %s by its number %s", n, row.LabelName, cas)
			}
		}
	}
	require.Greater(t, checked, 2000)
}

// bestFit is how well the names of a substance fit any member of a row, by plain
// comparison of part and preparation.
func bestFit(ix *allergenIndex, s *formula.Substance, row *annex.Allergen) names.Fit {
	best := names.Unfits
	for _, n := range s.AllNames() {
		for _, member := range append([]string{row.LabelName}, memberNames(row)...) {
			if ingredients.NameKey(n) == ingredients.NameKey(member) || ingredients.NameKey(ix.Dict.Canonical(member)) == ingredients.NameKey(n) {
				return names.Fits
			}
			best = min(best, names.FitsEntry(ix.Dict.Names().Plant(n), ix.Dict.Names().Plant(member)))
		}
	}
	return best
}
