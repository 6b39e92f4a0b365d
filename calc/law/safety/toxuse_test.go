package safety_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
)

// The readings stand beside tox-values.csv: every key they name exists, and
// where the free text of a row says genotoxic, dermal or 28 days, the reading
// says so too.
func TestToxUsesAgreeWithToxValues(t *testing.T) {
	tables := table.Builtin()
	rows := map[string]*safety.Tox{}
	for _, x := range tables.Tox {
		rows[x.Substance] = x
	}
	for _, u := range tables.ToxUse {
		if rows[u.Substance] == nil {
			assert.True(t, u.Use == safety.UseNotNeeded || u.Insoluble, "%s is no row of tox-values.csv", u.Substance)
		}
		for _, key := range []string{u.DurationFactor, u.Target} {
			if key != "" {
				assert.NotPanics(t, func() { law.Fact(tables, key) }, "%s: %s", u.Key, key)
			}
		}
		if u.INCI != "" && !u.Insoluble {
			require.NotNil(t, rows[u.Substance])
			assert.Contains(t, rows[u.Substance].INCI, u.INCI)
		}
	}
	for _, x := range tables.Tox {
		if x.Typed != nil {
			continue // says it in columns
		}
		var use safety.ToxUse
		for _, u := range law.ToxUses(tables, x.Substance, x.INCI[0]) {
			if u.INCI == "" {
				use = *u
			}
		}
		if strings.Contains(x.Other, "genotoxic carcinogen") || strings.Contains(x.Other, "no threshold") {
			assert.Equal(t, safety.UseNoThreshold, use.Use, x.Substance)
		}
		assert.Equal(t, x.PoD != nil && strings.Contains(x.Study, "dermal"), use.Route == "dermal", "%s: %s",
			x.Substance, x.Study)
		if strings.Contains(" "+x.Study, " 28 days") && !strings.Contains(x.Study, "reproduction") {
			assert.Equal(t, "duration-factor-28d", use.DurationFactor, x.Substance)
		}
	}
}

// Every guide points to a figure in a unit that can be compared with mg/kg, and
// every product code and type it names exists.
func TestTraceGuidesResolve(t *testing.T) {
	tables := table.Builtin()
	codes, types := map[string]bool{}, map[string]bool{}
	for _, p := range law.ProductTypes(tables) {
		types[p.Key] = true
		for _, c := range p.Codes {
			codes[c] = true
		}
	}
	for _, g := range tables.TraceGuideRows() {
		f := law.Fact(tables, g.Fact)
		assert.Contains(t, []string{"mg/kg", "ug/kg"}, f.Unit, g.Key)
		assert.Equal(t, f.Source, g.Source, "%s and its figure name one source", g.Key)
		for _, c := range g.Codes {
			assert.True(t, codes[c], "%s: code %s", g.Key, c)
		}
		for _, k := range g.Types {
			assert.True(t, types[k], "%s: type %s", g.Key, k)
		}
	}
}

// Lead, BVL 2016: 0.5 mg/kg in toothpaste, 5 in eye shadow, 2.0 elsewhere.
func TestTraceGuidesTakeTheMostFitting(t *testing.T) {
	tables := table.Builtin()
	for key, want := range map[string]string{"toothpaste": "0.5", "eyeshadow": "5", "blusher": "5", "shower-gel": "2.0"} {
		p, ok := law.ProductType(tables, key)
		require.True(t, ok)
		var got []string
		for _, g := range tables.TraceGuides(p) {
			if g.Group == "bvl-lead" {
				got = append(got, law.Fact(tables, g.Fact).Value)
			}
		}
		assert.Equal(t, []string{want}, got, key)
	}
}

func TestTTCExclusionsByName(t *testing.T) {
	tables := table.Builtin()
	for name, group := range map[string]string{
		"Zinc Oxide": "metals", "Lavandula Angustifolia Oil": "mixtures", "Xanthan Gum": "polymers",
		"PEG-40 Hydrogenated Castor Oil": "mixtures",
		"Cyclopentasiloxane":             "organosilicon", "N-Nitrosodiethanolamine": "nitroso",
		"Hydrolyzed Oats":             "proteins",
		"Iodopropynyl Butylcarbamate": "carbamates",
	} {
		x := tables.TTCExcluded(name)
		if assert.NotNil(t, x, name) {
			assert.Equal(t, group, x.Key, name)
		}
	}
	for _, name := range []string{"Lactic Acid", "Linalool", "Glycerin", "Cetearyl Alcohol", "Limonene"} {
		assert.Nil(t, tables.TTCExcluded(name), name)
	}
	for _, x := range tables.TTCExclusions {
		for _, p := range append(x.Parts, x.Words...) {
			assert.Equal(t, ingredients.NameKey(p), p, "words are compared in folded form")
		}
	}
}
