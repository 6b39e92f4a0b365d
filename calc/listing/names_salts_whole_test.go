package listing_test

import (
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/testdata"
)

// saltForms are ways to print a salt of a substance, in the languages of supplier
// papers.
var saltForms = []string{"%s sodium salt", "%s, potassium salt", "%s (sodium salt)", "Sodium salt of %s", "%s Na-salt",
	"%s, Natriumsalz", "%s-Natriumsalz", "%s, sel de sodium", "sel de potassium de %s", "%s, sale sodico",
	"%s ammonium salt",
	"%s, triethanolamine salt", "%s disodium salt", "%s hydrochloride", "%s HCl", "%s dihydrochloride", "%s Hydrochlorid",
	"%s, chlorhydrate", "%s cloridrato", "%s sulfate", "%s sulphate", "%s nitrate", "%s hydrobromide",
	"Sodium %s", "%s sodium"}

// TestNoSaltGoesSilent prints the salts of substances that stop a product: each
// stops it too, or is asked about, be it the entry or the name. Where a list has the
// salt, all are tried, for there no unknown name is asked about; of the rest a sample.
func TestNoSaltGoesSilent(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	r := rand.New(rand.NewSource(98))
	var names []string
	for _, l := range law.Limits(tables) {
		for _, n := range l.Names {
			if l.In(rows.EU, today) && len(n) < 60 && !strings.Contains(n, "nano") && !slices.Contains(names, n) {
				names = append(names, n)
			}
		}
	}
	asks := append([]string{"ask limit-entry", "ask class-member", "ask limit-undecided"}, nameAsks...)
	listed, tried := 0, 0
	for i, name := range names {
		if i%testdata.Cases(4, 1) != 0 { // in the short run every fourth
			continue
		}
		own := dict.Canonical(name)
		var stops []string
		for _, form := range saltForms {
			printed := fmt.Sprintf(form, name)
			first := dict.Resolve(printed, "", "").First()
			known := first.Known() && first.Name != own
			if !known && r.Intn(60) > 0 || printed == "Sodium Magnesium Fluorosilicate" {
				continue // the last is a double salt with a name of its own, in no entry
			}
			if stops == nil {
				stops = []string{}
				for _, c := range calctest.HardCodes(calctest.WithName(t, "body-lotion", name, "", "60")) {
					if strings.HasPrefix(c, "stop ") {
						stops = append(stops, c)
					}
				}
			}
			if len(stops) == 0 {
				break
			}
			tried++
			if known {
				listed++
			}
			got := calctest.HardCodes(calctest.WithName(t, "body-lotion", printed, "", "60"))
			asked := slices.ContainsFunc(got, func(c string) bool { return slices.Contains(asks, c) })
			for _, c := range stops {
				assert.True(t, asked || slices.Contains(got, c), "%s stops with %s, %q gives %v", name, c, printed, got)
			}
		}
	}
	t.Logf("%d printed, %d of them in a list", tried, listed)
	require.Greater(t, listed, testdata.Cases(8, 40))
	require.Greater(t, tried, testdata.Cases(40, 200))
}

// TestSaltsOfEntries judges salts by the words of their entries: those of Annex II
// that say "and its salts" stop, the rest are asked about. Source: Reg (EC) 1223/2009,
// entries as in the second column, their names in CosIng export 2024-04.
func TestSaltsOfEntries(t *testing.T) {
	for _, c := range []struct{ printed, entry, want string }{
		{"Naphazoline hydrochloride", "II/244, its salts", "stop prohibited"},
		{"Naphazoline nitrate", "II/244, its salts", "stop prohibited"},
		{"Diphenhydramine HCl", "II/339, its salts", "stop prohibited"},
		{"Pilocarpine nitrate", "II/283, its salts", "stop prohibited"},
		{"Ephedrine sulfate", "II/164, its salts", "stop prohibited"},
		{"Yohimbine HCl", "II/337, its salts", "stop prohibited"},
		{"Strychnine sulphate", "II/304, its salts", "stop prohibited"},
		{"Tetracaine HCl", "II/63, its salts", "stop prohibited"},
		{"Brucine sulfate", "II/62, which names brucine alone", "ask limit-entry"},
		{"Sodium Trichloroacetate", "II/10, which names the acid alone", "ask limit-entry"},
		{"Sodium Salicylate", "III/98, which names the acid alone", "ask limit-entry"},
		{"Salicylic acid, sodium salt", "III/98, which names the acid alone", "ask limit-entry"},
		{"Salicylsäure, Kaliumsalz", "III/98, which names the acid alone", "ask limit-entry"},
		{"Zinc Sulfate", "III/24, water-soluble zinc salts, 1 % as zinc", "stop over-limit"},
		{"Zinc Lactate", "III/24, water-soluble zinc salts, 1 % as zinc", "stop over-limit"},
		{"Zinc Glycinate", "III/24: whether it is soluble in water is not in the tables", "ask class-member"},
	} {
		got := calctest.HardCodes(calctest.WithName(t, "body-lotion", c.printed, "", "5"))
		assert.Contains(t, got, c.want, "%s: %s", c.printed, c.entry)
	}
	// V/1a names the further salts of benzoic acid, so V/1 has no say in them
	got := calctest.HardCodes(calctest.WithName(t, "body-lotion", "Ammonium Benzoate", "", "0.3"))
	assert.NotContains(t, got, "ask limit-entry")
	for _, kept := range []string{"Zinc Oxide", "Zinc Stearate", "Zinc Ricinoleate", "Sodium Citrate",
		"Sodium Chloride", "Arginine HCl"} {
		got := calctest.HardCodes(calctest.WithName(t, "body-lotion", kept, "", "5"))
		assert.NotContains(t, got, "ask limit-entry", kept)
		assert.NotContains(t, got, "ask class-member", kept)
	}
}

// ofAnotherForm are official names whose number an entry gives for another form of
// the substance alone.
var ofAnotherForm = map[string]string{
	"COLLOIDAL SILVER": "the entries are for the nano form and for silver that does not colour",
}

// TestOfficialNamesReachTheirEntries wants every official name to lead to the entries
// of Annexes II, III, V and VI, and to the rules of other law, that hold one of the
// numbers the inventory gives it: a maker who prints no number is told the same. A number of a plant says nothing of
// the part, and nano forms are named so.
func TestOfficialNamesReachTheirEntries(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	inv := dict.Names().Inventory()
	compared := 0
	for _, n := range inv.Names() {
		e, _ := inv.Entry(n)
		if len(e.CAS) == 0 || ofAnotherForm[n] != "" {
			continue
		}
		first := dict.Resolve(n, "", "").First()
		have := map[string]bool{}
		for _, a := range first.Names() {
			for _, m := range law.LimitsOf(tables, a, nil, nil) {
				have[m.Limit.Key] = true
			}
		}
		for _, a := range first.Names() {
			for _, o := range tables.OtherRulesOf(a, nil) {
				have[o.Key] = true
			}
		}
		for _, c := range e.CAS {
			if dict.Names().PlantNumber(c) {
				continue
			}
			for _, o := range tables.OtherRulesOf("", []string{c}) {
				if strings.HasPrefix(o.Key, "opinion-hydroxyapatite-nano") || o.InLimits ||
					o.About == annex.AboutClassification ||
					n == "CYCLOMETHICONE" { // asked about as a mixture, by a row of its own
					continue
				}
				compared++
				assert.True(t, have[o.Key], "%s, CAS %s: by its name it does not reach rule %s", n, c, o.Key)
			}
			for _, m := range law.LimitsOf(tables, "", []string{c}, nil) {
				if m.Limit.Annex == "IV" || strings.HasPrefix(m.Limit.Condition.Text, "nano") {
					continue
				}
				compared++
				assert.True(t, have[m.Limit.Key], "%s, CAS %s: by its name it does not reach row %s", n, c, m.Limit.Key)
			}
		}
	}
	require.Greater(t, compared, 1400)
}

// TestOfficialNamesReachTheirStandards wants a fragrance substance under its official
// name judged by the Standard that holds the number the inventory gives that name.
func TestOfficialNamesReachTheirStandards(t *testing.T) {
	for printed, want := range map[string]string{
		"Estragole": "stop standard-over", "Allylanisole": "stop standard-over", "ALLYLANISOLE": "stop standard-over",
	} {
		p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "30")
		fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, printed, "90")
		r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, today, formulatest.Squalane(t), fo)
		assert.Contains(t, calctest.HardCodes(r), want, printed)
	}
}
