package listing_test

import (
	"encoding/csv"
	"math/rand"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
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

// No way of printing a name turns a stop into silence: where the plain name of a
// prohibited or limited substance stops a product, each disguise stops it too, or
// asks about the name.
func TestNoStopGoesSilent(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	r := rand.New(rand.NewSource(13))
	other := otherNamesOf(t, dict)
	nameAsks := []string{"ask name-ambiguous", "ask name-in-part", "ask bracket-contradicts", "ask bracket-unknown", "ask named-by-bracket", "ask unknown-inci", "stop name-several"}
	var limited []string
	for _, l := range law.Limits(tables) {
		if l.Class == "" && l.In(rows.EU, 20261125) {
			limited = append(limited, l.Names...)
		}
	}
	stopped, tried := 0, 0
	for stopped < 150 && tried < 1500 {
		tried++
		name := limited[r.Intn(len(limited))]
		if strings.Contains(name, "nano") {
			continue
		}
		plain := withName(t, "body-lotion", name, "", "60")
		var stops []string
		for _, c := range hardCodes(plain) {
			if strings.HasPrefix(c, "stop ") {
				stops = append(stops, c)
			}
		}
		if len(stops) == 0 {
			continue
		}
		stopped++
		for _, d := range disguises(r, dict, name, other[dict.Canonical(name)]) {
			got := hardCodes(withName(t, "body-lotion", d.printed, "", "60"))
			asked := slices.ContainsFunc(got, func(c string) bool { return slices.Contains(nameAsks, c) })
			for _, c := range stops {
				assert.True(t, asked || slices.Contains(got, c), "%s: %s stops with %s, %q gives %v", d.kind, name, c, d.printed, got)
			}
		}
	}
	require.Equal(t, 150, stopped)
}
