package calc

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// annexIIOf assesses 1 % of a substance in a product of water.
func annexIIOf(t testing.TB, name, cas, function, productType string, market law.Market, day int) *Result {
	t.Helper()
	s := material(t, "case", function, name, "100")
	s.Composition.Constituents[0].CAS = cas
	p := formula(t, Percent, "water", "q.s.", "case", "1")
	p.IntendedFor = "adults"
	return assessed(t, p, &Variant{}, productType, market, day, material(t, "water", "solvent", "Aqua", "100"), s)
}

// annexIIChecks are the rows that are considered for 1 % of a substance in a
// product of water.
func annexIIChecks(t testing.TB, name, cas, function, productType string, market law.Market, day ingredients.Date) []LimitCheck {
	t.Helper()
	pt, ok := law.Builtin().ProductType(productType)
	require.True(t, ok, productType)
	return runInType(t, pt, name, cas, function, market, day).checks(day)
}

func runInType(t testing.TB, pt *law.ProductType, name, cas, function string, market law.Market, day ingredients.Date) *limitRun {
	t.Helper()
	tables := law.Builtin()
	c := material(t, "case", function, name, "100")
	c.Composition.Constituents[0].CAS = cas
	byID := map[string]*ingredients.Sheet{"case": c, "water": material(t, "water", "solvent", "Aqua", "100")}
	p := formula(t, Percent, "water", "99", "case", "1")
	p.IntendedFor = Adults
	in := &Input{Product: p, Variant: &Variant{}, Type: pt, Sheets: byID, Materials: PrepareAll(byID, tables.Dictionary()), Market: market,
		Date: day, Session: NewSession(tables)}
	recipe, _ := Resolve(p, in.Variant, tables.Fact("percent-sum-tolerance").Number)
	return newLimitRun(in, []*Composition{Compose(recipe.Whole, in.Materials)})
}

// saysOf are the findings of Annex II about a substance: code and severity.
func saysOf(r *Result) (stops, asks []string) {
	for _, f := range r.Findings {
		switch f.Code {
		case "prohibited", "maybe-prohibited", "prohibited-trace", "limit-entry", "limit-undecided":
			if f.Severity == ingredients.Stop {
				stops = append(stops, f.Code)
			} else {
				asks = append(asks, f.Code)
			}
		}
	}
	return stops, asks
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
	rows := publishedRows(t, "label_names.csv")
	require.Len(t, rows, 400)
	for _, row := range rows {
		numbers := append(strings.Split(row["cas"], ";"), "")
		for _, cas := range numbers {
			for _, m := range []law.Market{law.EU, law.GB} {
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

// TestSharedNumbers: a permitted colour, a citrus oil, bay leaf and neem leaf are
// not stopped by a number that they share with an entry of Annex II; what the
// entry names is.
func TestSharedNumbers(t *testing.T) {
	for _, c := range []struct{ name, cas, function, kind string }{
		{"CI 42090", "3844-45-9", "colorant", "permitted"},                             // IV/63; II/1332 bars its salts as a hair dye
		{"CI 45370", "596-03-2", "colorant", "permitted"},                              // IV/75
		{"Citrus Limon Peel Oil", "84929-31-7", "fragrance", "permitted"},              // linked to II/358 as a carrier
		{"Citrus Aurantium Bergamia Peel Oil", "89957-91-5", "fragrance", "permitted"}, // likewise
		{"Laurus Nobilis Leaf Extract", "84603-73-6", "", "permitted"},                 // II/359 bars the oil of the seeds
		{"Azadirachta Indica Leaf Extract", "84696-25-3", "", "asked"},                 // II/1716 bars the extract of the seed kernels
		{"Laurus Nobilis Seed Oil", "84603-73-6", "", "prohibited"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := annexIIOf(t, c.name, c.cas, c.function, "body-lotion", law.EU, 20261129)
			stop := prohibitedHere(r.Limits)
			if c.kind == "prohibited" {
				require.NotEmpty(t, stop, checkList(r))
				return
			}
			require.Empty(t, stop, checkList(r))
			_, asks := saysOf(r)
			if c.kind == "asked" {
				require.NotEmpty(t, asks)
			}
		})
	}
}

// TestEveryEntryOfAnnexII wants each entry in force, by a name and by each of its
// numbers, to stop, or to say why it does not: a use or form it is not about, or
// something to be asked.
func TestEveryEntryOfAnnexII(t *testing.T) {
	tables := law.Builtin()
	day := ingredients.Date(20271231) // when every entry of the table has begun
	stops, asked, limited := 0, 0, 0
	judge := func(p *law.Prohibition, name, cas string, m law.Market) {
		functions := ""
		if p.Use == law.UseFragrance {
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
	for _, p := range tables.Prohibitions() {
		market := law.EU
		if !p.For(law.EU) {
			market = law.GB
		}
		if p.State != law.StateLaw || !p.In(market, day) {
			continue
		}
		for _, n := range append(append([]string{}, p.Names...), p.ChemicalNames[:min(1, len(p.ChemicalNames))]...) {
			judge(p, n, "", market)
		}
		for _, cas := range p.CAS {
			judge(p, "a material of the entry", cas, market)
		}
	}
	require.Greater(t, stops, 2200)
	t.Logf("%d stops, %d asked, %d of another use or form", stops, asked, limited)
}
