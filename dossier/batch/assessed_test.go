package batch_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/finding"
)

// lotionShop sells an invented lotion: 989 g of water, 2 g of a scent, 9 g of
// phenoxyethanol. assessments is the text behind that key, record what the batch
// T-1 says beside its lines.
func lotionShop(t *testing.T, scent, assessments string, masses [3]string, record string) (*workshop.Workshop,
	*assess.Assessment, *workshop.Batch) {
	t.Helper()
	w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"workshop.yaml":           "maker: {name: M, address: [A]}\nmarkets: [GB, EU]\nbalance: {division_g: 0.1}\n",
		"ingredients/water.yaml":  "id: water\nname: Water\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n",
		"ingredients/keeper.yaml": "id: keeper\nname: Keeper\nfunctions: [preservative]\ncomposition: {complete: true, constituents: [{inci: Phenoxyethanol, cas: 122-99-6, pct: 100}]}\n",
		"ingredients/scent.yaml":  "id: scent\nname: Scent\nlabel_as: parfum\nfunctions: [perfuming]\nallergens: {list: 2023-1545, declared: [" + scent + "]}\nfragrance_limits: {amendment: 51, dated: 2026-01-05, max_pct: {\"5A\": 40}}\n",
		"products/tide.yaml": "id: tide\nname: Tide\nrevision: 2\nproduct_type: body-lotion\nintended_for: adults\nnet_content: {g: 100}\nformula:\n  basis: grams\n  phases:\n    - id: A\n      lines:\n" +
			"        - {ingredient: water, amount: 989}\n        - {ingredient: scent, amount: 2}\n        - {ingredient: keeper, amount: 9}\nassessments: [" + assessments + "]\n",
		"batches/T-1.yaml": "code: T-1\nproduct: tide\ndate: 2026-11-20\ndivision_g: 0.1\nmade_by: I. Nobody\nstart_checked_by: I. Nobody\nlines:\n" +
			"  - {ingredient: water, planned_g: 989, weighed_g: " + masses[0] + ", lot: W1}\n  - {ingredient: scent, planned_g: 2, weighed_g: " + masses[1] + ", lot: F1}\n  - {ingredient: keeper, planned_g: 9, weighed_g: " + masses[2] + ", lot: K1}\n" +
			"yield: {filled_units: 9, filled_g: 905}\nretained: {units: 1}\n" + record,
	}), table.Builtin())
	require.Len(t, w.BatchRecords, 1)
	return w, assess.Run(w, w.Product("tide"), batchOptions()), w.BatchRecords[0]
}

const linalool = "{name: Linalool, cas: 78-70-6, pct: 0.4}"

var asPlanned = [3]string{"989", "2", "9"}

// TestBatchNeedsAnAssessment: a batch rests on a signed assessment of its own
// figures, signed before anything of it goes out.
func TestBatchNeedsAnAssessment(t *testing.T) {
	_, a, _ := lotionShop(t, linalool, "", asPlanned, "")
	signed := func(day, fingerprint, revision string) string {
		return "{assessor: I. Nobody, qualification: toxicologist, dated: " + day + ", fingerprint: \"" + fingerprint + "\", revision: " + revision + "}"
	}
	const released, sent = "release: {decision: released, by: I. Nobody, date: 2026-11-24}\n",
		"sent: [{to: Invented Fair, date: 2026-11-22, units: 2}, {to: Invented Shop, date: 2026-11-23, units: 2}]\n"
	now := a.Fingerprint
	for _, c := range []struct {
		name, assessments, record string
		want, words               string // severity; "" for no finding
	}{
		{"made without", "", "", "ask", "it has been made, but the product has no signed assessment"},
		{"released without", "", released, "stop", "it has been released, but the product has no signed assessment"},
		{"sold and not released", "", sent, "stop", "it has been sent out, but"},
		{"rejected", "", "release: {decision: rejected, by: I. Nobody, date: 2026-11-24}\n", "", ""},
		{"rejected and sold", "", "release: {decision: rejected, by: I. Nobody, date: 2026-11-24}\n" + sent, "stop",
			"has been sent out"},
		{"other figures", signed("2026-11-01", "000000000000", "2"), "", "ask",
			"no assessment on record is for its figures, " + now},
		{"other figures, released", signed("2026-11-01", "000000000000", "2"), released, "stop",
			"no assessment on record is for its figures"},
		{"today's figures", signed("2026-11-01", now, "2"), released, "", ""},
		{"on the day itself", signed("2026-11-24", now, "2"), released, "", ""},
		{"a day late", signed("2026-11-25", now, "2"), released, "stop",
			"its figures were assessed on 2026-11-25, after it went out on 2026-11-24"},
		{"after the first sale", signed("2026-11-23", now, "2"), released + sent, "stop", "after it went out on 2026-11-22"},
		{"signed again later", signed("2026-11-01", now, "2") + ", " + signed("2026-11-25", now, "2"), released, "", ""},
		{"the figures it was planned with", signed("2026-01-01", "aaaaaaaaaaaa", "1"),
			"fingerprint: \"aaaaaaaaaaaa\"\nrevision: 1\n" + released, "", ""},
		{"neither those nor today's", signed("2026-01-01", "bbbbbbbbbbbb", "1"),
			"fingerprint: \"aaaaaaaaaaaa\"\nrevision: 1\n" + released, "stop",
			"planned with, aaaaaaaaaaaa, or for today's, " + now},
		{"today's do not cover an old formula", signed("2026-01-01", now, "2"),
			"fingerprint: \"aaaaaaaaaaaa\"\nrevision: 1\n", "ask", "planned with, aaaaaaaaaaaa"},
		{"an old record by its revision", signed("2026-01-01", "bbbbbbbbbbbb", "1"), "revision: 1\n" + released, "", ""},
		{"an old record of another revision", signed("2026-01-01", now, "2"), "revision: 1\n" + released, "stop",
			"no assessment"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, a, b := lotionShop(t, linalool, c.assessments, asPlanned, c.record)
			require.Equal(t, now, a.Fingerprint, "what is recorded after the figures does not change them")
			for _, fs := range [][]finding.Finding{batch.Review(w, b, a).Findings,
				batch.BatchFindings(w, []*assess.Assessment{a})} {
				var got []string
				for _, f := range fs {
					if f.Code == "batch-not-assessed" {
						got = append(got, f.Severity.String())
						assert.Contains(t, wordstest.Said(f).Message, c.words)
					}
				}
				assert.Equal(t, c.want, strings.Join(got, ", "))
			}
			open := strings.Join(batch.Review(w, b, a).Open, "\n")
			assert.Equal(t, c.want != "", strings.Contains(open, "assessment") || strings.Contains(open, "assessed"), open)
		})
	}
}

// TestPlannedBatchAsksNothing: what is not made yet is no finding, and still not
// to be released.
func TestPlannedBatchAsksNothing(t *testing.T) {
	w, a, b := lotionShop(t, linalool, "", [3]string{"", "", ""}, "")
	assert.Empty(t, batch.BatchFindings(w, []*assess.Assessment{a}))
	assert.Contains(t, batch.Review(w, b, a).Open, "the product has no signed assessment")
}

// TestBatchFindingsOfAllMarkets: what every market forbids names none of them;
// what one market alone asks for names that one.
//
// By hand: 30 g of 1021 g are 2.938 % phenoxyethanol, allowed 1.0 % by entry V/29
// in both markets. Of a scent with 0.4 % pinene and 0.4 % linalool, 3 g in 1001 g
// give 1.2/1001 = 0.001199 % of each, above 0.001 %; pinene is on the EU's list
// alone (Regulation (EU) 2023/1545).
func TestBatchFindingsOfAllMarkets(t *testing.T) {
	w, a, b := lotionShop(t, linalool, "", [3]string{"989", "2", "30"}, "")
	var over []finding.Finding
	for _, f := range batch.Review(w, b, a).Findings {
		if f.Code == "over-limit" {
			over = append(over, f)
		}
	}
	require.Len(t, over, 1, "said once")
	assert.Empty(t, over[0].Markets, "GB and EU alike")
	assert.Contains(t, wordstest.Said(over[0]).Message, "2.938 %")

	w, a, b = lotionShop(t, linalool+", {name: Pinene, cas: 80-56-8, pct: 0.4}", "", [3]string{"989", "3", "9"}, "")
	labels := map[string][]string{}
	for _, f := range batch.Review(w, b, a).Findings {
		if f.Code == "batch-label" {
			labels[f.Subject] = f.Markets
		}
	}
	assert.Equal(t, map[string][]string{"Linalool": {"GB"}, "Linalool, Pinene": {"EU"}}, labels)
}

// TestAllergensOfBatch: the report shows what was really weighed, with the masses
// and the arithmetic. By hand: 3 g of 1001 g are 300/1001 = 0.2997 %; 0.4 % of
// that is 1.2/1001 %. The formula has 0.2 % x 0.4 % = 0.0008 %, below 0.001 %.
func TestAllergensOfBatch(t *testing.T) {
	w, a, b := lotionShop(t, linalool, "", [3]string{"989", "3", "9"}, "")
	r := batch.Review(w, b, a)
	require.Empty(t, r.Document(w, 20261125).Check())
	var out bytes.Buffer
	require.NoError(t, r.WriteJSON(&out))
	var got struct {
		Allergens []struct {
			Market, Verdict string
			Name            string `json:"label_name"`
			Max, Threshold  float64
			OnLabel         bool `json:"on_label"`
		}
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &got))
	require.Len(t, got.Allergens, 2)
	for i, market := range []string{"GB", "EU"} {
		x := got.Allergens[i]
		assert.Equal(t, market, x.Market)
		assert.Equal(t, "Linalool", x.Name)
		assert.Equal(t, "declare", x.Verdict)
		assert.False(t, x.OnLabel)
		assert.InDelta(t, 1.2/1001, x.Max, 1e-12)
		assert.InDelta(t, 0.001, x.Threshold, 1e-12)
	}
	out.Reset()
	require.NoError(t, plain.Write(&out, r.Document(w, 20261125)))
	text := strings.Join(strings.Fields(out.String()), " ")
	assert.Contains(t, text, "Allergens as weighed, GB, law of 2026-11-25")
	assert.Contains(t, text, "Allergens as weighed, EU, law of 2026-11-25")
	assert.Contains(t, text, "3 g: 0.2997 %")
	assert.Contains(t, text, "scent.yaml:5")
}
