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

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
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
// before it or inside; by a slash; with suppliers' joints and marks; with purity,
// grade, form or a nano mark behind; under an American or safety-sheet name.
func disguises(r *rand.Rand, dict *ingredients.Dictionary, name string, other []string) []disguise {
	pick := func(list ...string) string { return list[r.Intn(len(list))] }
	second := name
	if len(other) > 0 {
		second = pick(other...)
	}
	bracket := pick(name+" ("+second+")", second+" ("+name+")", name+" ["+second+"]")
	if words := strings.Fields(name); len(words) > 2 && !strings.ContainsAny(name,
		"(/") && dict.Names().Plant(name) != nil && r.Intn(2) == 0 {
		bracket = strings.Join(words[:2], " ") + " (" + pick("Common Plant",
			"Wild Herb") + ") " + strings.Join(words[2:], " ")
	}
	if strings.ContainsAny(name, "(/") {
		bracket = name // a name with brackets of its own gets no more
	}
	return []disguise{
		{"bracket", bracket},
		{"slash", slashed(name, second, pick)},
		{"marks", pick(name+"*", strings.ToUpper(name)+".", "  "+strings.ToLower(name)+" ", name+"®",
			strings.ReplaceAll(name, " ", "  "),
			"INCI: "+name, "1. "+name, strings.ReplaceAll(name, " ", "\u00a0"), strings.ReplaceAll(name, "-", "\u2011"))},
		{"joint", joined(name, pick)},
		{"grade", pick(name+" 99 %", name+" (USP)", name+", cosmetic grade", "Organic "+name, name+" (natural)",
			name+" >98%", "Pure "+name,
			name+" Ph. Eur.", name+", min. 98 %", name+" 0.5 - 1 %", name+" 37 percent")},
		{"nano", pick(name+" (nano)", name+" [nano]", "Nano "+name, name+", nano", name+" nanoparticles")},
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

// joined joins a name with that of water, as suppliers print blends.
func joined(name string, pick func(...string) string) string {
	if strings.EqualFold(name, "Aqua") || strings.EqualFold(name, "Water") || len(strings.FieldsFunc(name,
		func(r rune) bool { return r == '/' || r == ',' })) > 6 {
		return name // a name of more parts is asked about
	}
	return pick(name+" (and) Aqua", name+" & Aqua", "Aqua + "+name, name+"; Aqua", "Aqua (and) "+name, name+" – Aqua",
		"Aqua and "+name, name+" plus Aqua", name+" &amp; Aqua")
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
	for file, column := range map[string]int{"../../ingredients/names/data/customary-names.csv": 0,
		"../../ingredients/inventory/data/inci-synonyms.csv": 1} {
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
			is := func(n names.Named) bool { return n.Name == want.Name }
			switch {
			case d.kind == "joint" && d.printed != name:
				if reading.Several() && slices.ContainsFunc(reading.Names, is) {
					continue
				}
			case is(got) && !reading.Several() && (d.kind != "nano" || got.Nano):
				continue
			}
			if wrong[d.kind]++; wrong[d.kind] <= 8 {
				t.Logf("%s: %q is read as %q, %q is %q %v", d.kind, d.printed, got.Name, name, want.Name, reading.Asks)
			}
		}
	}
	assert.Empty(t, wrong)
}

// nameAsks are the findings that ask which substance a name means.
var nameAsks = []string{"ask name-ambiguous", "ask name-in-part", "ask bracket-contradicts", "ask bracket-unknown",
	"ask named-by-bracket", "ask named-by-number", "ask unknown-inci", "stop name-several"}

// No way of printing a name turns a stop into silence: where the plain name of a
// prohibited or limited substance stops a product, each disguise stops it too, or
// asks about the name.
func TestNoStopGoesSilent(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	r := rand.New(rand.NewSource(13))
	other := otherNamesOf(t, dict)
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
		plain := calctest.WithName(t, "body-lotion", name, "", "60")
		var stops []string
		for _, c := range calctest.HardCodes(plain) {
			if strings.HasPrefix(c, "stop ") {
				stops = append(stops, c)
			}
		}
		if len(stops) == 0 {
			continue
		}
		stopped++
		for _, d := range disguises(r, dict, name, other[dict.Canonical(name)]) {
			got := calctest.HardCodes(calctest.WithName(t, "body-lotion", d.printed, "", "60"))
			asked := slices.ContainsFunc(got, func(c string) bool { return slices.Contains(nameAsks, c) })
			for _, c := range stops {
				assert.True(t, asked || slices.Contains(got, c), "%s: %s stops with %s, %q gives %v", d.kind, name, c,
					d.printed, got)
			}
		}
	}
	require.Equal(t, 150, stopped)
}

// Allergens under the names that perfumers and old lists use are declared under the
// label name of Annex III, with no number to help (Reg. (EU) 2023/1545; members of
// entries 88, 157, 358, 364 and others by the names there).
func TestAllergensByPerfumersNames(t *testing.T) {
	for printed, label := range map[string]string{
		"Galaxolide": "Hexamethylindanopyran", "Iso E Super": "Tetramethyl Acetyloctahydronaphthalenes",
		"Vertofix":  "Acetyl Cedrene",
		"Dipentene": "Limonene", "Damascenone": "Rose Ketones", "delta-Damascone": "Rose Ketones",
		"delta-Damascone (57378-68-4)": "Rose Ketones", "Limonene CAS 138-86-3": "Limonene", "Zimtaldehyd": "Cinnamal",
		"Mousse de chêne": "Evernia Prunastri Extract", "Majantol": "Trimethylbenzenepropanol",
	} {
		p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1")
		fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, printed, "2")
		r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125, formulatest.Squalane(t), fo)
		var labels []string
		for _, a := range r.Allergens {
			labels = append(labels, a.Row.LabelName)
		}
		assert.Equal(t, []string{label}, labels, printed)
	}
}
