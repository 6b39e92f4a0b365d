package workshop

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// brief prints a finding as "file:line:col code `underlined text`".
func brief(excerpt func(exact.Pos) (string, string), f finding.Finding) string {
	line, caret := excerpt(f.Pos)
	marked := ""
	for i, r := range []rune(line) {
		if c := []rune(caret); i < len(c) && c[i] == '^' {
			marked += string(r)
		}
	}
	place := f.Pos.String()
	if place == "" {
		place = "-"
	}
	return fmt.Sprintf("%s %s `%s`", place, f.Code, marked)
}

func briefs(excerpt func(exact.Pos) (string, string), fs []finding.Finding) string {
	var out []string
	for _, f := range fs {
		out = append(out, brief(excerpt, f))
	}
	return strings.Join(out, "\n")
}

// product is a file that reads without a finding; tests change one thing in it.
const product = `id: x
name: X
revision: 1
product_type: shower-gel
intended_for: adults
formula:
  basis: percent
  phases:
    - id: A
      lines:
        - {ingredient: water, amount: q.s.}
        - {slot: scent, amount: 0.8}
`

// edited returns the product with one text replaced and more lines at the end.
func edited(t testing.TB, old, new, more string) string {
	t.Helper()
	require.Contains(t, product, old)
	return strings.Replace(product, old, new, 1) + more
}

func TestReadProductFindings(t *testing.T) {
	const qs = "{ingredient: water, amount: q.s.}"
	line := func(s string) string { return edited(t, qs, s, "") }
	grams := func(s string) string {
		return strings.Replace(edited(t, qs, s, ""), "basis: percent", "basis: grams", 1)
	}
	more := func(s string) string { return product + s }
	cases := []struct{ name, text, want, fix string }{
		{"nothing wrong", product, "", ""},
		{"type misspelt", edited(t, "shower-gel", "shower-gell", ""), "4:15 unknown-product-type `shower-gell`",
			"write product_type: shower-gel"},
		{"type unknown", edited(t, "shower-gel", "qqqq", ""), "4:15 unknown-product-type `qqqq`",
			"gallipot law --types lists"},
		{"audience left out", edited(t, "intended_for: adults\n", "", ""), "1:1 missing-key `id`", "add intended_for"},
		{"audience misspelt", edited(t, "adults", "adult", ""), "5:15 bad-choice `adult`", "write adults"},
		{"revision", edited(t, "revision: 1", "revision: 1.0", ""), "3:11 bad-number `1.0`", "whole number"},
		{"market", more("markets: [GB, US]\n"), "13:15 bad-choice `US`", "GB, EU, NI"},
		{"no market", more("markets: []\n"), "13:10 empty-value `[]`", "markets: [GB]"},
		{"body area", more("body_area: [bdoy]\n"), "13:13 bad-choice `bdoy`", "write body"},
		{"formula left out", product[:strings.Index(product, "formula")], "1:1 missing-key `id`", "add formula"},
		{"basis left out", edited(t, "  basis: percent\n", "", ""), "7:3 missing-key `phases`",
			"basis: percent, or basis: grams"},
		{"phases empty", product[:strings.Index(product, "  phases:")] + "  phases: []\n", "8:11 empty-value `[]`",
			"phases: [{id: A"},
		{"phase without lines", product[:strings.Index(product, "      lines:")] + "      lines: []\n",
			"10:14 empty-value `[]`", "delete the phase"},

		{"neither material nor slot", line("{amount: 3}"), "11:11 line-material `{amount: 3}`", "add ingredient"},
		{"both", line("{ingredient: water, slot: scent, amount: 3}"), "11:37 line-material `scent`", "delete one"},
		{"key misspelt", line("{ingredeint: water, amount: 3}"),
			"11:11 line-material `{ingredeint: water, amount: 3}`\n11:12 unknown-key `ingredeint`", "add ingredient"},
		{"amount left out", line("{ingredient: water}"), "11:11 missing-key `{ingredient: water}`", "add amount"},
		{"amount empty", line("{ingredient: water, amount: }"), "11:31 empty-value `amount`", "write a value"},
		{"no space behind the colon", line("{ingredient: water, amount:3}"),
			"11:11 missing-key `{ingredient: water, amount:3}`\n11:31 unknown-key `amount:3`", "add amount"},
		{"negative", line("{ingredient: water, amount: -3}"), "11:39 bad-amount `-3`", "above 0"},
		{"zero", line("{ingredient: water, amount: 0.0}"), "11:39 bad-amount `0.0`", "delete the line"},
		{"above 100", line("{ingredient: water, amount: 101}"), "11:39 bad-amount `101`", "basis: grams"},
		{"decimal comma in quotes", line("{ingredient: water, amount: \"5,5\"}"), "11:39 bad-amount `\"5,5\"`", "write 5.5"},
		{"decimal comma behind 0", line("{ingredient: water, amount: 0,9}"), "11:41 unknown-key `9`", "write amount: 0.9"},
		{"decimal comma", line("{ingredient: water, amount: 5,5}"), "11:41 unknown-key `5`", "write amount: 5.5"},
		{"unit twice", line("{ingredient: water, amount: 10 %%}"), "11:39 bad-amount `10 %%`", "write % once"},
		{"three digits behind a point in ppm", line("{ingredient: water, amount: 1.250 ppm}"),
			"11:39 bad-amount `1.250 ppm`", "1250 ppm"},
		{"point and comma", line("{ingredient: water, amount: \"1.000,5\"}"), "11:39 bad-amount `\"1.000,5\"`",
			"write 1000.5"},
		{"not a number", line("{ingredient: water, amount: NaN}"), "11:39 bad-amount `NaN`", "plain decimal"},
		{"range", line("{ingredient: water, amount: 3-5}"), "11:39 range-in-formula `3-5`", "on the sheet"},
		{"below sign", line("{ingredient: water, amount: <5}"), "11:39 range-in-formula `<5`", "on the sheet"},
		{"range as group", line("{ingredient: water, amount: {min: 1, max: 2}}"),
			"11:39 range-in-formula `{min: 1, max: 2}`", "on the sheet"},
		{"unit of the other basis", line("{ingredient: water, amount: 3 g}"), "11:39 bad-amount `3 g`", "number in %"},
		{"percent in grams", grams("{ingredient: water, amount: 3 %}"), "11:39 bad-amount `3 %`", "number in g"},
		{"rest in grams", grams(qs), "11:39 rest-not-allowed `q.s.`", "write the grams"},
		{"rest twice", edited(t, "amount: 0.8", "amount: q.s.", ""), "12:33 rest-twice `q.s.`", "all but one"},
		{"phase twice", more("    - id: A\n      lines: [{ingredient: oil, amount: 1}]\n"),
			"13:11 duplicate-id `A`", "own id"},

		{"variant twice", more("variants: [{id: a}, {id: a}]\n"), "13:26 duplicate-id `a`", "own id"},
		{"variant id", more("variants: [{id: Plain One}]\n"), "13:17 bad-id `Plain One`", "write id: plain-one"},
		{"variant without id", more("variants: [{name: a}]\n"), "13:12 missing-key `{name: a}`", "add id"},
		{"slot unknown", more("variants: [{id: a, fill: {scnet: oil}}]\n"), "13:27 unknown-slot `scnet`", "write scent"},
		{"fill is text", more("variants: [{id: a, fill: oil}]\n"), "13:26 wrong-type `oil`", "write fill: {scent"},
		{"shares of a slot", more("variants: [{id: a, fill: {scent: [{ingredient: oil, share: 70}, {ingredient: wax, share: 20}]}}]\n"),
			"13:34 share-sum `[{ingredient: oil, share: 70}, {ingredient: wax, share: 20}]`", "add 10"},
		{"thirds", more("variants: [{id: a, fill: {scent: [{ingredient: oil, share: 33.3}, {ingredient: wax, share: 33.3}, {ingredient: gum, share: 33.3}]}}]\n"),
			"13:34 share-sum `[{ingredient: oil, share: 33.3}, {ingredient: wax, share: 33.3}, {i`", "add 0.1"},
		{"share left out", more("variants: [{id: a, fill: {scent: [{ingredient: oil}]}}]\n"),
			"13:35 missing-key `{ingredient: oil}`", "add share"},
		{"share zero", more("variants: [{id: a, fill: {scent: [{ingredient: oil, share: 0}]}}]\n"),
			"13:60 bad-number `0`", "above 0"},
		{"no part in a slot", more("variants: [{id: a, fill: {scent: []}}]\n"), "13:34 empty-value `[]`", "unfilled"},
		{"shares of portions", more("variants: [{id: a, portions: [{share: 60}, {share: 41}]}]\n"),
			"13:30 share-sum `[{share: 60}, {share: 41}]`", "take off 1"},
		{"slot filled twice", more("variants: [{id: a, fill: {scent: oil}, portions: [{share: 100, fill: {scent: wax}}]}]\n"), "13:71 slot-filled-twice `scent`", "only"},
		{"addition of nothing", more("variants: [{id: a, then_add: [{ingredient: oil, parts_per_100: 0}]}]\n"),
			"13:64 bad-number `0`", "above 0"},

		{"net content as on a label", more("net_content: 75 ml\n"), "13:14 wrong-type `75 ml`",
			"write net_content: {ml: 75}"},
		{"net content in grams", more("net_content: 75.5g\n"), "13:14 wrong-type `75.5g`", "write net_content: {g: 75.5}"},
		{"net content bare", more("net_content: 75\n"), "13:14 wrong-type `75`", "{g: 120} or {ml: 100}"},
		{"net content without unit", more("net_content: {kg: 1}\n"),
			"13:14 missing-key `{kg: 1}`\n13:15 unknown-key `kg`", "g: 120"},
		{"durability without figure", more("durability: {}\n"), "13:13 missing-key `{}`", "pao_months"},
		{"exposure without source", more("exposure: {amount_g_per_day: 5}\n"),
			"13:11 missing-key `{amount_g_per_day: 5}`", "add source"},
		{"water activity above 1", more("low_risk: {reason: dry, water_activity: 31}\n"), "13:41 bad-number `31`",
			"from 0 to 1"},
		{"low risk without reason", more("low_risk: {water_activity: 0.3}\n"),
			"13:11 missing-key `{water_activity: 0.3}`", "add reason"},
		{"challenge without verdict", more("microbiology: [{test: challenge}]\n"),
			"13:16 missing-key `{test: challenge}`", "verdict: A"},
		{"verdict", more("microbiology: [{test: challenge, verdict: pass}]\n"), "13:43 bad-choice `pass`", "A, B, fail"},
		{"pH of a reading", more("stability: [{test: heat, readings: [{week: 0, ph: 5-6}]}]\n"),
			"13:51 bad-number `5-6`", "plain decimal"},
		{"reading without week", more("stability: [{test: heat, readings: [{ph: 5}]}]\n"),
			"13:37 missing-key `{ph: 5}`", "week: 0"},
		{"step of an unknown phase", more("process: [{phase: B, do: stir}]\n"), "13:19 unknown-phase `B`", "id of a phase"},
		{"property misspelt", more("specification: {ph: 5-6, odor: none}\n"), "13:26 unknown-key `odor`", "write odour"},
		{"complaint without weight", more("complaints: [{dated: 2026-01-01, text: itch}]\n"),
			"13:14 missing-key `{dated: 2026-01-01, text: itch}`", "serious: false"},
		{"label round with text", more("label: {shape: rond, width_mm: 5}\n"), "13:16 bad-choice `rond`", "write round"},
		{"label without height", more("label: {shape: rectangle, width_mm: 5}\n"),
			"13:8 missing-key `{shape: rectangle, width_mm: 5}`", "height_mm"},
		{"made in a country", more("made_in: Scotland\n"), "13:10 bad-country `Scotland`", "GB"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			src := source.NewSource("products/x.yaml", []byte(c.text))
			p, fs := ReadProduct(src, []rows.Market{rows.GB}, table.Builtin())
			require.NotNil(t, p)
			assert.Equal(t, c.want, strings.ReplaceAll(briefs(src.Excerpt, fs), "products/x.yaml:", ""))
			for _, f := range fs {
				assert.Equal(t, f.Severity == finding.Stop, f.Unread, f.Code)
				assert.NotEmpty(t, wordstest.Said(f).Fix)
			}
			if len(fs) > 0 {
				assert.Contains(t, wordstest.Said(fs[0]).Fix, c.fix)
			}
		})
	}
}

func TestReadProductValues(t *testing.T) {
	text := edited(t, "{slot: scent, amount: 0.8}", "{slot: scent, amount: 8000 ppm}", `markets: [EU, GB, EU]
body_area: [body, hand]
professional: no
net_content: {g: 120, ml: 118.5}
packaging: [{part: jar, material: PET, ml: 150}]
durability: {pao_months: 6}
claims: [soft, "mild: really"]
directions: |
  First this.
  Then that.
warnings:
  - Keep out of the eyes.
  - Danger: slippery
label: {shape: round, width_mm: 50}
made_in: GB
tail_order: [Parfum]
variants:
  - id: plain
  - id: duo
    portions:
      - {share: 60, fill: {scent: fo-heather}}
      - {name: top, share: 40, fill: {scent: [{ingredient: fo-gorse, share: 70}, {ingredient: oil, share: 30}]}}
    then_add: [{ingredient: stone, parts_per_100: 4}]
process: [{phase: A, do: "Heat, stir", temp_c: 70, minutes: 20, rpm: 500}]
specification: {viscosity: thick, ph: "5.0-6.0", appearance: clear}
stability: [{test: heat, temp_c: 40, weeks: 12, readings: [{week: 0, ph: 5.4, appearance: ok}]}]
microbiology: [{test: challenge, method: ISO 11930, verdict: B, dated: 2026-01-02, file: evidence/c.pdf}, {test: count, cfu_per_g: 10, verdict: pass}]
low_risk: {reason: dry, water_activity: 0.3, evidence: evidence/aw.pdf}
exposure: {amount_g_per_day: 5, times_per_day: 2, source: own survey}
assessments: [{assessor: Dr A, dated: 2026-02-03, fingerprint: 0123456789AB, revision: 1}]
complaints:
  - {dated: 2026-03-04, text: itch, serious: false}
  - {dated: 2026-03-05, text: swelling, serious: true, variant: duo, batch: C1, kind: effect, causality: likely, outcome: well after two days, reported: 2026-03-09}
`)
	src := source.NewSource("products/x.yaml", []byte(text))
	p, fs := ReadProduct(src, []rows.Market{rows.NI}, table.Builtin())
	require.Empty(t, briefs(src.Excerpt, fs))

	assert.Equal(t, []rows.Market{rows.EU, rows.GB}, p.Markets, "in the order typed, each once")
	assert.Equal(t, []string{"body", "hand"}, p.BodyAreas)
	require.NotNil(t, p.Professional)
	assert.False(t, *p.Professional)
	assert.Equal(t, "118.5", p.Net.ML.Exact())
	assert.Equal(t, "First this.\nThen that.", p.Directions.Text)
	assert.Equal(t, "Danger: slippery", p.Warnings[1].Text)
	assert.Equal(t, exact.Pos{File: "products/x.yaml", Line: 25, Col: 5, Len: 6}, p.Warnings[1].Pos)
	assert.Equal(t, "mild: really", p.Claims[1].Text)

	lines := p.Formula.Phases[0].Lines
	assert.True(t, lines[0].Rest)
	assert.Equal(t, "scent", lines[1].Slot)
	assert.True(t, lines[1].Amount.Equal(exact.Frac(8, 10)), "8000 ppm is 0.8 %%")
	assert.Equal(t, 33, lines[1].AmountPos.Col)

	require.Len(t, p.Variants, 2)
	duo := p.Variants[1]
	assert.Equal(t, "portion 1", duo.Portions[0].Name)
	assert.True(t, duo.Portions[0].Fill[0].Parts[0].SharePct.Equal(exact.Int(100)))
	assert.Equal(t, "fo-gorse", duo.Portions[1].Fill[0].Parts[0].Ingredient)
	assert.True(t, duo.ThenAdd[0].Parts.Equal(exact.Int(4)))

	assert.Equal(t, "viscosity", p.Specification.Properties[0].Name, "in the order typed")
	assert.Equal(t, p.Specification.PH, p.Evidence.PH)
	require.Len(t, p.Evidence.ChallengeTests, 1, "a count is no challenge test")
	assert.Equal(t, "B", p.Evidence.ChallengeTests[0].Verdict)
	assert.Equal(t, "evidence/aw.pdf", p.Evidence.LowRisk.File)
	assert.Nil(t, p.Exposure.RetentionPct)
	assert.Equal(t, "0123456789ab", p.Assessments[0].Fingerprint)
	effect := p.Complaints[1]
	assert.NotZero(t, effect.Pos)
	assert.NotZero(t, effect.ReportedPos)
	assert.Equal(t, Complaint{Dated: 20260305, Text: "swelling", Serious: true, Variant: "duo", Batch: "C1",
		Kind: "effect", Causal: "likely", Outcome: "well after two days", Reported: 20260309,
		Pos: effect.Pos, ReportedPos: effect.ReportedPos}, effect)

	p, _ = ReadProduct(source.NewSource("products/x.yaml", []byte(product)), []rows.Market{rows.NI}, table.Builtin())
	assert.Equal(t, []rows.Market{rows.NI}, p.Markets, "the workshop's where the file names none")
	assert.Equal(t, []*formula.Variant{{}}, p.Variants)
	assert.Nil(t, p.Professional)
	assert.Nil(t, p.Exposure)
	assert.Nil(t, p.Evidence.LowRisk)
	assert.Nil(t, p.Net.G)
}

func TestCanonicalLeavesOutRecords(t *testing.T) {
	read := func(text string) *Product {
		p, _ := ReadProduct(source.NewSource("products/x.yaml", []byte(text)), nil, table.Builtin())
		return p
	}
	a, b := read(product), read(product+"# later\ncomplaints: [{dated: 2026-03-04, text: itch, serious: false}]\n")
	assert.Equal(t, string(a.Canonical("complaints")), string(b.Canonical("complaints")))
	assert.NotEqual(t, string(a.Canonical()), string(b.Canonical()))
}

// FuzzReadProduct: never panics, every place lies in the file, and the canonical
// form of a file without findings reads to the same.
func FuzzReadProduct(f *testing.F) {
	files, err := filepath.Glob("../../testdata/demo/products/*.yaml")
	require.NoError(f, err)
	require.NotEmpty(f, files)
	for _, name := range files {
		data, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(data)
	}
	for _, s := range []string{product, "", "id: x\nformula: {phases: [{lines: [{amount: -}]}]}\n",
		"variants: [{fill: {scent: [1, {share: 0}]}}]\n", "formula: q.s.\n"} {
		f.Add([]byte(s))
	}
	env := newProductEnv([]rows.Market{rows.GB}, table.Builtin())
	f.Fuzz(func(t *testing.T, data []byte) {
		src := source.NewSource("products/x.yaml", data)
		p, fs := readProduct(src, env)
		if p == nil && len(fs) == 0 {
			t.Fatal("no product and no word about it")
		}
		for _, f := range fs {
			if f.Pos.Line > 0 && (f.Pos.Col < 1 || f.Pos.Len < 1) {
				t.Fatalf("%s: place %+v", f.Code, f.Pos)
			}
			src.Excerpt(f.Pos)
		}
		if p == nil || len(fs) > 0 {
			return
		}
		again, fs2 := readProduct(source.NewSource("products/x.yaml", src.Canonical()), env)
		require.Empty(t, fs2)
		require.Equal(t, len(p.Variants), len(again.Variants))
		require.Equal(t, string(src.Canonical()), string(again.Source.Canonical()))
	})
}
