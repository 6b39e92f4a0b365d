package limits

import (
	"regexp"
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
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
	"gallipot/testdata/published"
)

// annexIIChecks are the rows that are considered for 1 % of a substance in a
// product of water.
func annexIIChecks(t testing.TB, name, cas, function, productType string, market rows.Market,
	day exact.Date) []LimitCheck {
	t.Helper()
	pt, ok := law.ProductType(table.Builtin(), productType)
	require.True(t, ok, productType)
	return runInType(t, pt, name, cas, function, market, day).Checks(day)
}

func runInType(t testing.TB, pt *trade.ProductType, name, cas, function string, market rows.Market,
	day exact.Date) *Run {
	t.Helper()
	tables := table.Builtin()
	c := formulatest.Material(t, "case", function, name, "100")
	c.Composition.Constituents[0].CAS = cas
	byID := map[string]*ingredients.Sheet{"case": c, "water": formulatest.Material(t, "water", "solvent", "Aqua", "100")}
	p := formulatest.WithFormula(t, formula.Percent, "water", "99", "case", "1")
	p.IntendedFor = formula.Adults
	in := &formula.Input{Product: p, Variant: &formula.Variant{}, Type: pt, Sheets: byID,
		Materials: formula.PrepareAll(byID, tables.Dictionary()), Market: market,
		Date: day, Session: formulatest.Session(tables)}
	recipe, _ := formula.Resolve(p, in.Variant, law.Fact(tables, "percent-sum-tolerance").Number)
	return newRun(in, []*formula.Composition{formula.Compose(recipe.Whole, in.Materials)})
}

// prohibitedHere says whether a row of Annex II makes a stop.
func prohibitedHere(checks []LimitCheck) string {
	for _, c := range checks {
		if c.Row.Annex == "II" && c.Verdict == LimitExceeded && c.Row.Prohibited() {
			return c.Row.Key
		}
	}
	return ""
}

// TestOrdinaryNamesAreNotProhibited puts the 400 commonest names of a sample of
// product labels through the engine, each with every number that the official
// inventory gives it: none is called prohibited. Source: label_names.csv.
func TestOrdinaryNamesAreNotProhibited(t *testing.T) {
	tableRows := published.Rows(t, "label_names.csv")
	require.Len(t, tableRows, 400)
	for _, row := range tableRows {
		numbers := append(strings.Split(row["cas"], ";"), "")
		for _, cas := range numbers {
			for _, m := range []rows.Market{rows.EU, rows.GB} {
				key := prohibitedHere(annexIIChecks(t, row["name"], cas, "", "body-lotion", m, 20261129))
				if row["name"] == "BUTYLPHENYL METHYLPROPIONAL" { // on old labels; II/1666 bars it
					assert.NotEmpty(t, key)
					continue
				}
				assert.Empty(t, key, "%s %s in %s", row["name"], cas, m)
			}
		}
	}
}

// TestEveryEntryOfAnnexII wants each entry in force, by a name and by each of its
// numbers, to stop, or to say why it does not: a use or form it is not about, or
// something to be asked.
func TestEveryEntryOfAnnexII(t *testing.T) {
	tables := table.Builtin()
	day := exact.Date(20271231) // when every entry of the table has begun
	stops, asked, limited := 0, 0, 0
	judge := func(p *annex.Prohibition, name, cas string, m rows.Market) {
		functions := ""
		if p.Use == annex.UseFragrance {
			functions = "fragrance"
		}
		checks := annexIIChecks(t, name, cas, functions, "body-lotion", m, day)
		rows := map[string]bool{p.Key: true}
		for _, k := range p.Limits {
			rows[k] = true
		}
		met := false
		for _, c := range checks {
			if !rows[c.Row.Key] {
				continue
			}
			met = true
			switch c.Verdict {
			case LimitExceeded:
				stops++
				return
			case LimitUndecided:
				asked++
				require.NotEmpty(t, c.Reason, "%s: %s", p.Key, name)
				return
			case LimitNotApplicable:
				require.NotEmpty(t, c.Reason, "%s: %s", p.Key, name)
			}
		}
		require.True(t, met, "%s: %q %s reaches no row of the entry", p.Key, name, cas)
		limited++
	}
	for i, p := range tables.Prohibitions() {
		if i%5 != 0 && !testdata.Long() {
			continue
		}
		market := rows.EU
		if !p.For(rows.EU) {
			market = rows.GB
		}
		if p.State != annex.StateLaw || !p.In(market, day) {
			continue
		}
		for _, n := range append(append([]string{}, p.Names...), p.ChemicalNames[:min(1, len(p.ChemicalNames))]...) {
			judge(p, n, "", market)
		}
		for _, cas := range p.CAS {
			judge(p, "a material of the entry", cas, market)
		}
	}
	require.Greater(t, stops, testdata.Cases(420, 2200))
	t.Logf("%d stops, %d asked, %d of another use or form", stops, asked, limited)
}

// TestNamesOfAnnexIIAreKnown wants every name that the list of prohibited
// substances gives, with its commas and brackets, to be known as a whole, or to be
// one of several that are all looked at.
func TestNamesOfAnnexIIAreKnown(t *testing.T) {
	dict := table.Builtin().Dictionary()
	for _, p := range table.Builtin().Prohibitions() {
		if p.State != annex.StateLaw {
			continue
		}
		for _, n := range append(append([]string{}, p.Names...), p.ChemicalNames...) {
			reading := dict.Resolve(n, "", "")
			require.Len(t, reading.Names, 1, "%s: %s", p.Key, n)
			require.True(t, reading.First().Known() || len(reading.Within) > 1, "%s: %s", p.Key, n)
		}
	}
}

// The law prints British names beside American ones, and suppliers either: the other
// spelling of each name of Annex II leads to it (sulphate and sulfate, aluminium and
// aluminum, caesium and cesium).
func TestAmericanNamesOfAnnexII(t *testing.T) {
	dict := table.Builtin().Dictionary()
	american := strings.NewReplacer("sulph", "sulf", "Sulph", "Sulf", "luminium", "luminum", "aesium", "esium",
		"Caesium", "Cesium")
	respelt := 0
	for _, p := range table.Builtin().Prohibitions() {
		for _, n := range append(append([]string{}, p.Names...), p.ChemicalNames...) {
			other := american.Replace(n)
			if other == n || p.State != annex.StateLaw {
				continue
			}
			respelt++
			reading := dict.Resolve(other, "", "")
			require.True(t, reading.First().Known() || len(reading.Within) > 1, "%s: %s", p.Key, other)
			require.Contains(t, dict.Prohibited(other), n, p.Key)
		}
	}
	require.Greater(t, respelt, 75)
}

// TestNumberOfAProhibitedPlant: a number that an entry of Annex II has to itself
// leads to it beside a name that says nothing of a plant; beside the name of
// another plant, and where several parts share it, it is asked about. Entries 423,
// 436 and 359 of the annex; 84603-73-6 is of all parts of bay.
func TestNumberOfAProhibitedPlant(t *testing.T) {
	for _, c := range []struct{ name, cas, want string }{
		{"a perfume base", "97676-35-2", "stop"},
		{"a perfume base", "68916-52-9", "stop"},
		{"Rosa Damascena Flower Oil", "97676-35-2", "ask"},
		{"a perfume base", "84603-73-6", "ask"},
		{"Inula Helenium", "97676-35-2", "ask"},
		{"Inula Helenium Extract", "97676-35-2", "ask"},
		{"Inula Helenium Extract", "84012-20-4", "nothing"},
	} {
		t.Run(c.name+" "+c.cas, func(t *testing.T) {
			checks := annexIIChecks(t, c.name, c.cas, "fragrance", "body-lotion", rows.EU, 20261129)
			require.Equal(t, c.want, saidOfEntry(checks, ""))
		})
	}
}

// lawClause is what the law adds behind a name: the grade or use it is about.
var lawClause = regexp.MustCompile(`( \(CAS No [0-9-]+\))?(, if (it|they) contains? .*|, except if .*|, when used .*)$`)

// TestNamesWithoutTheirClause: a paper prints "Gases (petroleum), refinery" without
// "if they contain more than 0.1 % butadiene", and no number. Each such name reaches a
// row of its entry.
func TestNamesWithoutTheirClause(t *testing.T) {
	day, n := exact.Date(20271231), 0
	for _, p := range table.Builtin().Prohibitions() {
		if p.State != annex.StateLaw || !p.For(rows.EU) || !p.In(rows.EU, day) {
			continue
		}
		for _, full := range p.ChemicalNames {
			name := lawClause.ReplaceAllString(full, "")
			if name == full {
				continue
			}
			n++
			require.NotEqual(t, "nothing",
				saidOfEntry(annexIIChecks(t, name, "", "solvent", "body-lotion", rows.EU, day), p.Entry), "%s: %s", p.Key, name)
		}
	}
	require.Greater(t, n, 600)
}
