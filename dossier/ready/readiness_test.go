package ready_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/evidence"
	"gallipot/dossier/ready"
	"gallipot/dossier/words"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

const testDay = exact.Date(20261125)

// assessFiles loads a workshop from memory and assesses its cream.
func assessFiles(t *testing.T, files map[string]string) *assess.Assessment {
	t.Helper()
	m := fstest.MapFS{}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	w, findings := workshop.LoadFS("w", m, table.Builtin())
	require.NotNil(t, w)
	for _, f := range findings {
		require.False(t, f.Unread, "%s %s", f.Pos, wordstest.Said(f).Message)
	}
	return run(w, w.Product("cream"), assess.Options{Date: testDay, Law: table.Builtin()})
}

func itemOf(t *testing.T, a *assess.Assessment, id string) ready.ReadinessItem {
	t.Helper()
	items := ready.Readiness(a)
	i := slices.IndexFunc(items, func(x ready.ReadinessItem) bool { return x.ID == id })
	require.GreaterOrEqual(t, i, 0, id)
	return items[i]
}

// TestEveryItemHasARule compares the rules with the rows of the table, both
// ways.
func TestEveryItemHasARule(t *testing.T) {
	rules := ready.DossierRules()
	var ids []string
	for _, row := range law.Dossier(table.Builtin()) {
		ids = append(ids, row.Key)
		assert.NotNil(t, rules[row.Key], "no rule for %s %s", row.Key, row.Title)
	}
	for id := range rules {
		assert.Contains(t, ids, id, "a rule for no row")
	}
	assert.Subset(t, ids, ready.SaidElsewhere)
}

// TestReadinessFollowsTheTable wants every row once, in its order, with its
// source, in one of the parts.
func TestReadinessFollowsTheTable(t *testing.T) {
	a := demo(t, "heath-wash")
	rows := law.Dossier(table.Builtin())
	items := ready.Readiness(a)
	require.Len(t, items, len(rows))
	var parts []string
	for _, p := range ready.DossierSections {
		parts = append(parts, p.ID)
	}
	for i, x := range items {
		require.Equal(t, rows[i].Key, x.ID)
		require.Equal(t, rows[i].Source, x.Source)
		require.Equal(t, rows[i].Seen == "seen", x.Seen)
		require.NotEmpty(t, x.Because(), x.ID)
		require.Contains(t, parts, x.Section)
		require.Contains(t, []evidence.ReadyState{evidence.ReadyPresent, evidence.ReadyPartly,
			evidence.ReadyMissing, evidence.ReadyNotNeeded, evidence.ReadyNotStated, evidence.ReadyAssessor}, x.State)
		if x.State == evidence.ReadyMissing || x.State == evidence.ReadyPartly {
			require.NotEmpty(t, x.From, "%s: nobody is named who could supply it", x.ID)
		}
	}
	for id, want := range map[string]string{"A1": "A1", "A1f": "A1", "A10": "A10", "A3b": "A3", "P4": "P", "X13": "X"} {
		require.Equal(t, want, ready.DossierSection(id))
	}
}

// TestFullWorkshop wants nothing open where everything is there: only what an
// assessor has to write is left.
func TestFullWorkshop(t *testing.T) {
	for _, x := range ready.Readiness(assessFiles(t, workshoptest.FullFiles())) {
		if x.ID == "P2" {
			assert.Equal(t, evidence.ReadyMissing, x.State, "nobody has assessed it")
			continue
		}
		assert.NotContains(t, []evidence.ReadyState{evidence.ReadyMissing, evidence.ReadyPartly}, x.State,
			"%s %s: %s", x.ID, x.Title, x.Because())
	}
}

// ruleCase takes one thing away from the full workshop, or adds one.
type ruleCase struct {
	name    string
	edits   []string // file, old text, new text, …; an empty old text adds, an empty new one takes away
	id      string
	state   evidence.ReadyState
	because string
	from    string
}

// ruleCases are one or more for each rule.
func ruleCases() []ruleCase {
	const product, water, blend, scent, pearl = "products/cream.yaml", "ingredients/water.yaml",
		"ingredients/blend.yaml", "ingredients/scent.yaml", "ingredients/pearl.yaml"
	dry := []string{product, "{ingredient: water, amount: q.s.}", "{ingredient: oil, amount: q.s.}"}
	return []ruleCase{
		{"method without GMP", []string{product, "  - {kind: gmp, file: evidence/gmp.txt, dated: 2026-02-03}\n",
			""}, "P3", evidence.ReadyPartly, "no statement of good manufacturing practice", "the maker"},
		{"GMP statement", []string{product, "  - {kind: gmp, file: evidence/gmp.txt, dated: 2026-02-03}\n", ""},
			"G1", evidence.ReadyMissing, "no statement", "the maker"},
		{"no method", []string{product, "process: [{phase: A, do: Stir}]\n", ""}, "P3", evidence.ReadyPartly,
			"no method", "the maker"},
		{"claim without proof", []string{product,
			"  - {kind: claim, file: evidence/claim.txt, dated: 2026-02-03}\n", ""}, "P4", evidence.ReadyMissing,
			"1 claim has no supporting document", "the maker"},
		{"no claim, no proof", []string{product, "claims: [leaves skin soft]\n", ""}, "P4", evidence.ReadyNotNeeded,
			"no claim", ""},
		{"paper named, file missing", []string{"evidence/claim.txt", "", ""}, "P4", evidence.ReadyMissing,
			"no supporting document", "the maker"},
		{"paper named without a file",
			[]string{product, "{kind: claim, file: evidence/claim.txt, dated: 2026-02-03}", "{kind: claim}"}, "P4",
			evidence.ReadyMissing, "no supporting document", "the maker"},
		{"supplier's animal-testing statement",
			[]string{blend, "  - {kind: animal-testing, file: evidence/animal-testing.txt, dated: 2026-02-03}\n", ""},
			"P5", evidence.ReadyPartly, "for Blend", "S for Blend"},
		{"own animal-testing statement",
			[]string{product, "  - {kind: animal-testing, file: evidence/animal-testing.txt, dated: 2026-02-03}\n",
				""}, "P5", evidence.ReadyPartly, "maker's own", "the maker"},
		{"responsible person of one market",
			[]string{"workshop.yaml", "  EU: {name: R, address: [A], country: IE}\n", ""}, "P7", evidence.ReadyPartly,
			"none for EU", "the maker"},
		{"responsible person in the wrong country", []string{"workshop.yaml", "country: IE", "country: GB"}, "X12",
			evidence.ReadyPartly, "the one for EU is in GB", "the maker"},
		{"PO box", []string{"workshop.yaml", "GB: {name: R, address: [A]", "GB: {name: R, address: [P.O. Box 4]"},
			"X12", evidence.ReadyPartly, "PO box", "the maker"},
		{"composition with a rest", []string{blend, "complete: true", "complete: false", blend, "pct: 90",
			"pct: 80"}, "A1a", evidence.ReadyPartly, "part of Blend is not declared", "S for Blend"},
		{"blend without its composition",
			[]string{blend, "  - {kind: composition, file: evidence/composition.txt, dated: 2026-02-03}\n", ""}, "A1b",
			evidence.ReadyPartly, "no composition paper for Blend", "S for Blend"},
		{"no blend", []string{product, "{ingredient: blend, amount: 1}, ", "", product,
			", {ingredient: pearl, amount: 0.1}", ""}, "A1b", evidence.ReadyNotNeeded, "no raw material", ""},
		{"scent without certificate",
			[]string{scent, "  - {kind: certificate, file: evidence/certificate.txt, dated: 2026-02-03}\n", ""}, "A1d",
			evidence.ReadyMissing, "for Scent", "F for Scent"},
		{"scent without the supplier's code", []string{scent, ", code: F1", ""}, "A1d", evidence.ReadyMissing,
			"for Scent", "F for Scent"},
		{"no scent", []string{product, "{ingredient: scent, amount: 0.5}, ", ""}, "A1d", evidence.ReadyNotNeeded,
			"nothing in it is a fragrance", ""},
		{"material without function", []string{pearl, "functions: [colouring, opacifying]\n", ""}, "A1e",
			evidence.ReadyPartly, "no function stated for Pearl", "the maker"},
		{"colour without purity", []string{pearl,
			"  - {kind: purity, file: evidence/purity.txt, dated: 2026-02-03}\n", ""}, "A1f", evidence.ReadyMissing,
			"purity statement for Pearl", "C for Pearl"},
		{"no colour", []string{product, ", {ingredient: pearl, amount: 0.1}", ""}, "A1f", evidence.ReadyNotNeeded,
			"no colourant", ""},
		{"no safety data sheet", []string{scent, "  - {kind: sds, file: evidence/sds.txt, dated: 2026-02-03}\n", "",
			scent, "  - {kind: specification, file: evidence/specification.txt, dated: 2026-02-03}\n", ""}, "A2a",
			evidence.ReadyPartly, "for Scent", "F for Scent"},
		{"nano without particle size",
			[]string{pearl, "{inci: CI 77891, pct: 40}", "{inci: CI 77891, pct: 40, nano: true}"}, "A2a",
			evidence.ReadyPartly, "particle size of Pearl", "C for Pearl"},
		{"no specification", []string{product, "specification: {ph: \"5-6\", appearance: white, odour: faint}\n",
			""}, "A2b", evidence.ReadyMissing, "no specification", "the maker"},
		{"water and no pH", []string{product, "ph: \"5-6\", ", ""}, "A2b", evidence.ReadyPartly, "pH", "the maker"},
		{"no stability", []string{product, stabilityOf, ""}, "A2c", evidence.ReadyMissing, "no stability test",
			"a laboratory"},
		{"stability too short", []string{product, "{week: 26, ph: 5.5}", "{week: 20, ph: 5.5}"}, "A2c",
			evidence.ReadyPartly, "4.6 months at room temperature so far, too short for the 6 months stated", "a laboratory"},
		{"stability in the warmth alone",
			[]string{product, "temp_c: 20", "temp_c: 40", product, "{week: 26, ph: 5.5}", "{week: 12, ph: 5.5}"},
			"A2c", evidence.ReadyPartly, "12 weeks at 40 °C stand for 7.8 months at 25 °C", "the assessor"},
		{"reading outside the specification", []string{product, "{week: 26, ph: 5.5}", "{week: 26, ph: 6.1}"},
			"A2c", evidence.ReadyPartly, "1 reading outside", "the assessor"},
		{"stored cold alone", []string{product, "temp_c: 20", "temp_c: 4"}, "A2c", evidence.ReadyPartly,
			"no test with a temperature and readings, too short", "a laboratory"},
		{"real time shorter than the estimate",
			[]string{product, "{week: 26, ph: 5.5}]}\n",
				"{week: 4, ph: 5.5}]}\n  - {test: heat, temp_c: 40, pack: jar, verdict: pass, readings: [{week: 12, ph: 5.5}]}\n"}, "A2d", evidence.ReadyPartly, "the data so far support the shorter one", "the assessor"},
		{"failed stability", []string{product, "verdict: pass, readings", "verdict: fail, readings"}, "A2c",
			evidence.ReadyMissing, "failed: room", "a laboratory"},
		{"stability in no known pack", []string{product, "pack: jar, ", ""}, "A2c", evidence.ReadyPartly,
			"the pack is not named", "the maker"},
		{"no durability", []string{product, "durability: {pao_months: 6}\n", ""}, "A2d", evidence.ReadyMissing,
			"no durability", "the maker"},
		{"germs in a material", []string{water,
			"  - {kind: microbiology, file: evidence/microbiology.txt, dated: 2026-02-03}\n", ""}, "A3a",
			evidence.ReadyMissing, "for Water", "the maker for Water"},
		{"no counts", []string{product,
			"  - {test: count, verdict: pass, dated: 2026-03-31, file: evidence/counts.txt}\n", ""}, "A3b",
			evidence.ReadyPartly, "no count of the finished product; organisms of 2026-03-31 passed", "a laboratory"},
		{"failed counts", []string{product, "{test: count, verdict: pass", "{test: count, verdict: fail"}, "A3b",
			evidence.ReadyPartly, "count of 2026-03-31 failed", "a laboratory"},
		{"no challenge test", []string{product, challengeOf, ""}, "A3c", evidence.ReadyMissing,
			"Aqua is in it, and no challenge test", "a laboratory"},
		{"challenge test without report", []string{"evidence/challenge.txt", "", ""}, "A3c", evidence.ReadyPartly,
			"the report is not on file", "a laboratory"},
		{"challenge test B", []string{product, "verdict: A", "verdict: B"}, "A3c", evidence.ReadyPartly,
			"criterion B only", "the assessor"},
		{"failed challenge test", []string{product, "verdict: A", "verdict: fail"}, "A3c", evidence.ReadyMissing,
			"failed", "a laboratory"},
		{"low-risk case in its place",
			[]string{product, challengeOf, "", product, "complaints: []\n",
				"complaints: []\nlow_risk: {reason: salt, water_activity: 0.6, evidence: evidence/report.txt}\n"}, "A3c",
			evidence.ReadyNotNeeded, "a low-risk case is made: water activity 0.6", ""},
		{"low-risk case without a figure",
			[]string{product, challengeOf, "", product, "complaints: []\n",
				"complaints: []\nlow_risk: {reason: salt, evidence: evidence/report.txt}\n"}, "A3d", evidence.ReadyPartly,
			"no measured figure", "the maker"},
		{"preserved and not tested", []string{product, challengeOf, ""}, "A3d", evidence.ReadyNotNeeded,
			"it is preserved, with", ""},
		{"preserved, with a low-risk case beside it",
			[]string{product, challengeOf, "", product, "complaints: []\n",
				"complaints: []\nlow_risk: {reason: salt, evidence: evidence/report.txt}\n"}, "A3d", evidence.ReadyPartly,
			"no measured figure", "the maker"},
		{"neither test, case nor preservative",
			[]string{product, challengeOf, "", product, "{ingredient: blend, amount: 1}, ", ""}, "A3d",
			evidence.ReadyMissing, "no low-risk case", "the maker"},
		{"no water, none in use", dry, "A3c", evidence.ReadyNotNeeded, "no water in it", ""},
		{"no pack", []string{product, "packaging: [{part: jar, material: PET}]\n", ""}, "A4c",
			evidence.ReadyMissing, "no part of the pack", "the maker"},
		{"pack without statement", []string{product,
			"  - {kind: packaging, file: evidence/packaging.txt, dated: 2026-02-03}\n", ""}, "A4c",
			evidence.ReadyPartly, "no statement on the material", "the supplier of the pack"},
		{"no directions", []string{product, "directions: Rub in.\n", ""}, "A5", evidence.ReadyPartly, "directions",
			"the maker"},
		{"warnings stated as none", []string{product, "warnings: [Keep out of the eyes.]", "warnings: []"}, "A5",
			evidence.ReadyPresent, "warnings", ""},
		{"nothing said of effects", []string{product, "complaints: []\n", ""}, "A9", evidence.ReadyMissing,
			"are not stated", "the maker"},
		{"nil return of effects", nil, "A9", evidence.ReadyPresent, "nil return", ""},
		{"serious effect not reported",
			[]string{product, "complaints: []", "complaints: [{dated: 2026-11-01, text: swelling, serious: true}]"},
			"X8", evidence.ReadyMissing, "1 serious effect not reported", "the maker"},
		{"serious effect reported late",
			[]string{product, "complaints: []",
				"complaints: [{dated: 2026-10-01, text: swelling, serious: true, reported: 2026-10-22}]"}, "X9",
			evidence.ReadyPartly, "1 report after more than 20 days", ""},
		{"serious effect reported in time",
			[]string{product, "complaints: []",
				"complaints: [{dated: 2026-10-01, text: swelling, serious: true, reported: 2026-10-21}]"}, "X9",
			evidence.ReadyPresent, "within 20 days", ""},
		{"signed for other figures", []string{product, "complaints: []",
			"complaints: []\nassessments: [{assessor: T, dated: 2026-05-01, fingerprint: \"0000\", file: evidence/report.txt}]"}, "P2", evidence.ReadyPartly, "other figures", "the assessor"},
		{"conclusion for other figures",
			[]string{product, "complaints: []",
				"complaints: []\nassessments: [{assessor: T, dated: 2026-05-01, fingerprint: \"0000\", file: evidence/report.txt}]"}, "B1", evidence.ReadyAssessor, "other figures", "the assessor"},
		{"revision after a change", []string{product, "complaints: []",
			"complaints: []\nassessments: [{assessor: T, dated: 2026-05-01, fingerprint: \"0000\", file: evidence/report.txt}]"}, "P8", evidence.ReadyMissing, "figures have changed", "the maker"},
		{"notified in one market", []string{product, ", {market: EU, number: \"2\", dated: 2026-04-01}", ""}, "N1",
			evidence.ReadyPartly, "for EU", "the maker"},
		{"not notified", []string{product,
			"notifications: [{market: GB, number: \"1\", dated: 2026-04-01}, {market: EU, number: \"2\", dated: 2026-04-01}]\n", ""}, "N5", evidence.ReadyMissing, "no contact person is named", "the maker"},
		{"not notified, contact for one market",
			[]string{product, notifiedOf, "", "workshop.yaml", "GB: {name: R, ", "GB: {name: R, contact: {name: Q}, "},
			"N5", evidence.ReadyPartly, "contact: Q; none for EU", "the maker"},
		{"not notified, contact for both",
			[]string{product, notifiedOf, "", "workshop.yaml", "GB: {name: R, ", "GB: {name: R, contact: {name: Q}, ",
				"workshop.yaml", "EU: {name: R, ", "EU: {name: R, contact: {name: Q}, "}, "N5", evidence.ReadyPresent,
			"contact: Q", ""},
		{"not notified, first state unknown", []string{product, notifiedOf, ""}, "N4", evidence.ReadyPartly,
			"the first Member State is not stated", "the maker"},
		{"not notified, origin unknown",
			[]string{product, notifiedOf, "first_placed_in: IE\n", product, "made_in: GB\n", "", "workshop.yaml",
				"address: [A], country: GB}\nresponsible_person", "address: [A]}\nresponsible_person"}, "N4",
			evidence.ReadyPartly, "where it is made is not stated", "the maker"},
		{"not notified, origin and first state", []string{product, notifiedOf, "first_placed_in: IE\n"}, "N4",
			evidence.ReadyPresent, "made in GB, first placed in IE", ""},
		{"nano and its notice", []string{pearl, "{inci: CI 77891, pct: 40}",
			"{inci: CI 77891, pct: 40, nano: true}"}, "X1", evidence.ReadyMissing, "CI 77891", "the maker"},
		{"no nano", nil, "X1", evidence.ReadyNotStated, "nano", ""},
		{"medicinal claim", []string{product, "leaves skin soft", "heals eczema"}, "X5", evidence.ReadyMissing,
			"1 wording", "the maker"},
		{"claim on animals without statements",
			[]string{product, "leaves skin soft", "cruelty free", blend,
				"  - {kind: animal-testing, file: evidence/animal-testing.txt, dated: 2026-02-03}\n", ""}, "X6",
			evidence.ReadyMissing, "the claim is made", "S for Blend"},
		{"claim on animals with statements", []string{product, "leaves skin soft", "cruelty free"}, "X6",
			evidence.ReadyPresent, "statements of all suppliers", ""},
		{"sold in the EU without an offer",
			[]string{product, "  - {kind: offer, file: evidence/offer.txt, dated: 2026-02-03}\n", ""}, "X13",
			evidence.ReadyMissing, "offer", "the maker"},
		{"sold in Great Britain alone", []string{product, "markets: [GB, EU]", "markets: [GB]"}, "X13",
			evidence.ReadyNotNeeded, "not sold in the EU", ""},
		{"limit exceeded", []string{product, "{ingredient: blend, amount: 1}", "{ingredient: blend, amount: 2}"},
			"X11", evidence.ReadyPartly, "exceeded", "the maker"},
		{"no method, no GMP", []string{product, "process: [{phase: A, do: Stir}]\n", "", product,
			"  - {kind: gmp, file: evidence/gmp.txt, dated: 2026-02-03}\n", ""}, "P3", evidence.ReadyMissing,
			"neither method nor", "the maker"},
		{"responsible person without a country",
			[]string{"workshop.yaml", "EU: {name: R, address: [A], country: IE}", "EU: {name: R, address: [A]}"}, "P7",
			evidence.ReadyPartly, "no country for EU", "the maker"},
		{"assessed and changed since, no report",
			[]string{product, "complaints: []",
				"complaints: []\nassessments: [{assessor: T, dated: 2026-05-01, fingerprint: \"0000\"}]"}, "B1",
			evidence.ReadyAssessor, "the report of 2026-05-01 is for other figures", "the assessor"},
		{"qualified assessor", []string{product, "complaints: []",
			"complaints: []\nassessments: [{assessor: T, qualification: toxicologist, dated: 2026-05-01, fingerprint: \"0000\"}]", product, "  - {kind: gmp,", "  - {kind: assessor-diploma, file: evidence/assessor-diploma.txt, dated: 2026-02-03}\n  - {kind: gmp,"}, "B4", evidence.ReadyPresent, "T, toxicologist", ""},
		{"for children", []string{product, "intended_for: adults", "intended_for: under-3"}, "A6b",
			evidence.ReadyAssessor, "for children", ""},
		{"loose powder", []string{product, "product_type: body-lotion", "product_type: dry-shampoo-powder"}, "A6b",
			evidence.ReadyAssessor, "loose powder", ""},
		{"spray", []string{product, "product_type: body-lotion", "product_type: body-lotion-spray"}, "A6b",
			evidence.ReadyAssessor, "spray", ""},
		{"exposure of its own", []string{product, "intended_for: adults",
			"intended_for: adults\nexposure: {amount_g_per_day: 5, times_per_day: 2, source: own survey}"}, "A6",
			evidence.ReadyPresent, "figures of the product file, source: own survey", ""},
		{"a study on volunteers", []string{product, "  - {kind: gmp,",
			"  - {kind: user-test, file: evidence/report.txt, dated: 2026-02-03}\n  - {kind: gmp,"}, "A10",
			evidence.ReadyPresent, "a test on volunteers or another paper", ""},
		{"sold in the EU alone", []string{product, "markets: [GB, EU]", "markets: [EU]"}, "N8d",
			evidence.ReadyNotNeeded, "not sold in Great Britain", ""},
		{"not notified, nothing of its origin",
			[]string{product, notifiedOf, "", product, "made_in: GB\n", "", "workshop.yaml",
				"address: [A], country: GB}\nresponsible_person", "address: [A]}\nresponsible_person"}, "N4",
			evidence.ReadyMissing, "neither where it is made nor the Member State in which it is sold first is stated", "the maker"},
		{"not notified, nano", []string{product, notifiedOf, "", pearl, "{inci: CI 77891, pct: 40}",
			"{inci: CI 77891, pct: 40, nano: true}"}, "N6", evidence.ReadyMissing,
			"to be given with the notice: CI 77891", "the maker"},
		{"complaints complete", []string{product, "complaints: []",
			"complaints: [{dated: 2026-11-01, text: itching, serious: false, batch: C1, outcome: none found}]"}, "X10",
			evidence.ReadyPresent, "1 complaint with batch and outcome", ""},
		{"pack without report", []string{product,
			"  - {kind: compatibility, file: evidence/compatibility.txt, dated: 2026-02-03}\n", ""}, "A4c",
			evidence.ReadyPartly, "1 part and a statement on the material; no report on pack and product together",
			"a laboratory"},
		{"no test for organisms", []string{product,
			"  - {test: organisms, verdict: pass, dated: 2026-03-31, file: evidence/counts.txt}\n", ""}, "A3b",
			evidence.ReadyPartly, "count of 2026-03-31 passed; no test for the four organisms", "a laboratory"},
		{"count without a day or a report",
			[]string{product, "{test: count, verdict: pass, dated: 2026-03-31, file: evidence/counts.txt}",
				"{test: count}"}, "A3b", evidence.ReadyPartly, "count without verdict or report; organisms", "a laboratory"},
		{"low-risk case by ethanol", []string{product, challengeOf, "", product, "complaints: []\n",
			"complaints: []\nlow_risk: {reason: strong, ethanol_pct: 25, evidence: evidence/report.txt}\n"}, "A3d",
			evidence.ReadyPresent, "ethanol 25 %", ""},
		{"trace of what is prohibited",
			[]string{blend, "functions: [pres",
				"impurities: [{name: Lead, cas: 7439-92-1, amount: 1 ppm}]\nfunctions: [pres"}, "A4b",
			evidence.ReadyMissing, "traces of Lead, and nothing that shows", "S for Blend"},
		{"trace, with a paper", []string{blend, "functions: [pres",
			"impurities: [{name: Lead, cas: 7439-92-1, amount: 1 ppm}]\nfunctions: [pres", product, "  - {kind: gmp,",
			"  - {kind: other, file: evidence/report.txt, dated: 2026-02-03}\n  - {kind: gmp,"}, "A4b",
			evidence.ReadyPresent, "traces of Lead; a further document is on file", ""},
		{"category 2", []string{blend, "{inci: Phenoxyethanol, cas: 122-99-6, pct: 90}",
			"{inci: Salicylic Acid, cas: 69-72-7, pct: 90}"}, "N7", evidence.ReadyAssessor,
			"; category 2: Salicylic Acid; ", "the assessor"},
		{"stand-in for the exposure", []string{product, "product_type: body-lotion", "product_type: whipped-soap"},
			"A6", evidence.ReadyPartly, "stands in", "the assessor"},
	}
}

// ruled are the assessments of cases, each made once.
var ruled = map[string]*assess.Assessment{}

// assessed makes the assessment of a case.
func (c ruleCase) assessed(t *testing.T) *assess.Assessment {
	t.Helper()
	if ruled[c.name] == nil {
		files := workshoptest.FullFiles()
		files["ingredients/oil.yaml"] = "id: oil\nname: Oil\nsupplier: {name: S, code: S2}\nfunctions: [emollient]\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\n"
		for i := 0; i < len(c.edits); i += 3 {
			name, old, text := c.edits[i], c.edits[i+1], c.edits[i+2]
			if old == "" && text == "" {
				delete(files, name)
				continue
			}
			require.Contains(t, files[name], old, c.name)
			files[name] = strings.Replace(files[name], old, text, 1)
		}
		ruled[c.name] = assessFiles(t, files)
	}
	return ruled[c.name]
}

// TestReadinessRules takes one thing away, or adds one, and looks at the item
// that has to answer.
func TestReadinessRules(t *testing.T) {
	for _, c := range ruleCases() {
		t.Run(c.name, func(t *testing.T) {
			x := itemOf(t, c.assessed(t), c.id)
			assert.Equal(t, c.state, x.State, x.Because())
			assert.Contains(t, x.Because(), c.because)
			if c.from != "" {
				assert.Contains(t, x.Suppliers(), c.from)
			}
		})
	}
}

const (
	notifiedOf  = "notifications: [{market: GB, number: \"1\", dated: 2026-04-01}, {market: EU, number: \"2\", dated: 2026-04-01}]\n"
	stabilityOf = "stability:\n  - {test: room, temp_c: 20, weeks: 26, pack: jar, verdict: pass, readings: [{week: 0, ph: 5.5}, {week: 26, ph: 5.5}]}\n"
	challengeOf = "  - {test: challenge, method: ISO 11930, verdict: A, dated: 2026-03-31, file: evidence/challenge.txt}\n"
)

// TestSignedPack takes the fingerprint of the figures into an assessment: then
// the report counts, and part B with it.
func TestSignedPack(t *testing.T) {
	files := workshoptest.FullFiles()
	print := assessFiles(t, files).Fingerprint
	product := files["products/cream.yaml"]
	sign := func(line string) {
		files["products/cream.yaml"] = strings.Replace(product, "complaints: []\n",
			"complaints: []\nassessments: ["+line+"]\n", 1)
	}
	sign("{assessor: T, qualification: toxicologist, dated: 2026-05-01, fingerprint: " + print + ", file: evidence/report.txt}")
	a := assessFiles(t, files)
	require.Equal(t, print, a.Fingerprint, "an assessment changes no fingerprint")
	for _, id := range []string{"P2", "P8", "B1", "B2", "B3"} {
		assert.Equal(t, evidence.ReadyPresent, itemOf(t, a, id).State, id)
	}
	assert.Equal(t, evidence.ReadyAssessor, itemOf(t, a, "B4").State, "no proof of the qualification")
	assert.Contains(t, codesOf(a.Findings), "assessed")

	sign("{assessor: T, dated: 2026-05-01, fingerprint: " + print + "}")
	a = assessFiles(t, files)
	assert.Equal(t, evidence.ReadyPartly, itemOf(t, a, "P2").State, "the report itself is not there")
	assert.Equal(t, evidence.ReadyAssessor, itemOf(t, a, "B1").State)
}

func codesOf(fs []finding.Finding) (codes []string) {
	for _, f := range fs {
		codes = words.AddOnce(codes, f.Code)
	}
	return codes
}
