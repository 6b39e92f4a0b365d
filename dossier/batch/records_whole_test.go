package batch_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/weigh"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// TestRecordReadsBack: what --record writes is read without a finding, holds the
// plan and nothing that was not entered, for every variant of the demo.
func TestRecordReadsBack(t *testing.T) {
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	for _, p := range w.Products {
		a := assess.Run(w, p, batchOptions())
		for _, v := range p.Variants {
			s, err := weigh.Weigh(w, a, v.ID, weigh.WeighOptions{BatchG: grams(t, "1.7kg"), Code: "TEST-1"})
			require.NoError(t, err)
			b, fs := workshop.ReadBatch(source.NewSource("batches/TEST-1.yaml", batch.RecordText(s)))
			require.Empty(t, fs, "%s", batch.RecordText(s))
			assert.Equal(t, [4]string{"TEST-1", p.ID, v.ID, "planned"}, [4]string{b.Code, b.Product, b.Variant, b.State()})
			assert.Equal(t, exact.Date(20261125), b.Date)
			assert.Equal(t, p.Revision, b.Revision)
			var sum exact.Num
			for i, l := range b.Lines {
				require.Equal(t, s.Plan.Lines[i].G.Exact(), l.PlannedG.Exact())
				require.Nil(t, l.WeighedG)
				require.Empty(t, l.Lots)
				sum = sum.Add(*l.PlannedG)
			}
			assert.Equal(t, "1700", sum.Exact())
			assert.Len(t, b.Portions, len(v.Portions))
			_, _, complete := b.Made()
			assert.False(t, complete)
		}
	}
}

// TestReviewAsPlanned: weighing exactly what was planned, with lots and checks,
// leaves nothing open in the batch itself.
func TestReviewAsPlanned(t *testing.T) {
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	p := w.Product("heath-wash")
	a := assess.Run(w, p, batchOptions())
	for _, v := range p.Variants {
		s, err := weigh.Weigh(w, a, v.ID, weigh.WeighOptions{Jars: 24, LossPct: exact.Int(2), Code: "T1"})
		require.NoError(t, err)
		b := filledIn(t, s, nil)
		r := batch.Review(w, b, a)
		assert.Empty(t, r.Missing)
		require.Len(t, r.Findings, 1)
		assert.Equal(t, "batch-not-assessed", r.Findings[0].Code, "which is about the product")
		assert.Equal(t, []string{"the product has no signed assessment"}, r.Open)
		require.Len(t, r.Results, 2)
		require.NotNil(t, r.Yield)
		assert.True(t, r.Yield.Usual)
		// rounding to 0.1 g moves the content of a substance by little
		planned := a.ByVariant(v.ID)[0].Whole()
		for _, x := range r.Results[0].Whole().Substances {
			assert.InDelta(t, planned.Find(x.INCI).Pct.Typ.Float(), x.Pct.Typ.Float(), 0.01, x.INCI)
		}
	}
}

// TestReviewFindsWhatWentWrong takes the batch of gorse and does one thing wrong
// at a time.
func TestReviewFindsWhatWentWrong(t *testing.T) {
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	p := w.Product("heath-wash")
	a := assess.Run(w, p, batchOptions())
	s, err := weigh.Weigh(w, a, "gorse", weigh.WeighOptions{Jars: 24, LossPct: exact.Int(2), Code: "T1"})
	require.NoError(t, err)
	for _, c := range []struct {
		name, of, to string
		want         string
	}{
		{"preservative three times", "ingredient: keeper-pe, phase: \"C\", planned_g: 26.4, weighed_g: 26.4",
			"ingredient: keeper-pe, phase: \"C\", planned_g: 26.4, weighed_g: 79.2", "stop over-limit"},
		{"preservative 1 % off", "planned_g: 26.4, weighed_g: 26.4", "planned_g: 26.4, weighed_g: 26.7",
			"ask batch-off-plan"},
		{"with a reason", "planned_g: 26.4, weighed_g: 26.4",
			"reason: spilt a drop, planned_g: 26.4, weighed_g: 26.7", "note batch-off-plan"},
		{"mass forgotten", "weighed_g: 26.4", "weighed_g: ", "ask batch-incomplete"},
		{"lot forgotten", "lot: RM-0001", "lot: ", "ask batch-incomplete"},
		{"lot past its date", "lot: RM-0001, best_before: ", "lot: RM-0001, best_before: 2026-11-24", "stop lot-expired"},
		{"lot good to the day", "lot: RM-0001, best_before: ", "lot: RM-0001, best_before: 2026-11-25", ""},
		{"another material", "{ingredient: citric-acid", "{ingredient: cetyl-alcohol", "ask batch-unplanned"},
		{"pH out", `{what: pH, wanted: "4.8-5.2", found: 5.0, ok: true`,
			`{what: pH, wanted: "4.8-5.2", found: 5.4, ok: `, "stop batch-check-failed"},
		{"pH without a figure", `found: 5.0, ok: true`, `found: as wanted, ok: true`, "ask batch-check-uncompared"},
		{"looks wrong", `found: as wanted, ok: true`, `found: grainy, ok: false`, "stop batch-check-failed"},
		{"much is gone", "filled_units: 23, filled_g: 2775", "filled_units: 20, filled_g: 2405", "ask batch-yield"},
		{"much is gone, with a reason", "filled_units: 23, filled_g: 2775",
			"filled_units: 20, filled_g: 2405, reason: a jar fell", "note batch-yield"},
		{"thin packs", "filled_units: 23, filled_g: 2775", "filled_units: 23, filled_g: 2755", "ask batch-underfilled"},
		{"released too early", "release: {decision: , by: , date: }",
			"release: {decision: released, by: I. Nobody}", "stop batch-released-open"},
		{"rejected", "release: {decision: , by: , date: }",
			"release: {decision: rejected, by: I. Nobody, date: 2026-11-25}", ""},
		{"decided on tomorrow", "release: {decision: , by: , date: }",
			"release: {decision: rejected, by: I. Nobody, date: 2026-11-26}", "ask batch-dates"},
		{"decided on before it was made", "release: {decision: , by: , date: }",
			"release: {decision: rejected, by: I. Nobody, date: 2026-11-24}", "stop batch-dates"},
		{"sent before it was made", "sent: []", "sent: [{to: Shop, date: 2026-11-24, units: 2}]", "stop batch-dates"},
		{"sent tomorrow", "sent: []", "sent: [{to: Shop, date: 2026-11-26, units: 2}]", "ask batch-dates"},
		{"more sent than filled", "sent: []", "sent: [{to: Shop, units: 20}, {to: Stall, units: 4}]", "stop batch-sent"},
		{"all sent", "sent: []", "sent: [{to: Shop, units: 20}, {to: Stall, units: 3}]",
			""}, // 23 filled and 1 kept beside them
	} {
		t.Run(c.name, func(t *testing.T) {
			hit := false
			b := filledIn(t, s, func(line string) string {
				hit = hit || strings.Contains(line, c.of)
				return strings.Replace(line, c.of, c.to, 1)
			})
			require.True(t, hit, c.of)
			r := batch.Review(w, b, a)
			var got []string
			for _, f := range r.Findings {
				if f.Code != "batch-not-assessed" { // has a test of its own
					got = append(got, f.Severity.String()+" "+f.Code)
				}
			}
			if c.want == "" {
				assert.Empty(t, got)
				return
			}
			assert.Contains(t, got, c.want)
			if strings.HasPrefix(c.want, "note") {
				assert.Len(t, r.Open, 1, "a reason settles it")
			} else {
				assert.Greater(t, len(r.Open), 1)
			}
		})
	}
}

// TestReviewOfAllergens: a scent weighed in at five times its plan brings names
// above 0.01 % that the label does not have.
func TestReviewOfAllergens(t *testing.T) {
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	a := assess.Run(w, w.Product("heath-wash"), batchOptions())
	s, err := weigh.Weigh(w, a, "heather", weigh.WeighOptions{Jars: 24, LossPct: exact.Int(2), Code: "T1"})
	require.NoError(t, err)
	b := filledIn(t, s, func(line string) string {
		if strings.Contains(line, "ingredient: fo-heather") {
			before, _, _ := strings.Cut(line, "weighed_g:")
			return before + "weighed_g: 117.5, lot: RM-1}"
		}
		return line
	})
	var codes []string
	for _, f := range batch.Review(w, b, a).Findings {
		codes = append(codes, f.Code)
	}
	assert.Contains(t, codes, "batch-label")
}

func TestMadeAgainstAnotherRevision(t *testing.T) {
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	a := assess.Run(w, w.Product("heath-wash"), batchOptions())
	s, err := weigh.Weigh(w, a, "gorse", weigh.WeighOptions{Jars: 24, LossPct: exact.Int(2), Code: "T1"})
	require.NoError(t, err)
	b := filledIn(t, s, func(line string) string {
		return strings.Replace(strings.Replace(line, "revision: 2", "revision: 1", 1),
			"  - {ingredient: citric-acid",
			"  - {ingredient: cetyl-alcohol, weighed_g: 1, lot: X}\n  - {ingredient: cetyl-alcohol", 1)
	})
	for _, f := range batch.Review(w, b, a).Findings {
		assert.NotContains(t, []string{"batch-unplanned", "batch-line-missing"}, f.Code,
			"an old record is not held to a new formula")
	}
}

// TestRecordIsNeverOverwritten writes a record twice, and once over a file that
// cannot be read.
func TestRecordIsNeverOverwritten(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS("../../testdata/demo")))
	w, _ := workshop.Load(dir, table.Builtin())
	a := assess.Run(w, w.Product("heath-wash"), batchOptions())
	code, err := batch.NextCode(w, "heath-wash", "gorse", 20261125)
	require.NoError(t, err)
	s, err := weigh.Weigh(w, a, "gorse", weigh.WeighOptions{BatchG: grams(t, "2kg"), Code: code})
	require.NoError(t, err)
	name, err := batch.WriteRecord(s)
	require.NoError(t, err)
	path := filepath.Join(dir, name)
	require.NoError(t, os.WriteFile(path, []byte("mine"), 0o644))
	_, err = batch.WriteRecord(s)
	assert.ErrorContains(t, err, "no batch record is overwritten")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(data))
	again, _ := workshop.Load(dir, table.Builtin())
	next, err := batch.NextCode(again, "heath-wash", "gorse", 20261125)
	require.NoError(t, err)
	assert.NotEqual(t, code, next, "a record that cannot be read keeps its code")
}

// twoYears is a workshop with a batch on five days of each week for two years.
// Every lot lasts for some batches; LOT-0100 is in a known few.
func twoYears(t testing.TB) (fstest.MapFS, map[string]bool) {
	files := fstest.MapFS{}
	require.NoError(t, addTree(files, "../../testdata/demo"))
	with := map[string]bool{}
	n := 0
	for day := range 730 {
		if day%7 > 4 {
			continue
		}
		n++
		code := fmt.Sprintf("GW-%04d", n)
		date := exact.Date(20241125).AddDays(day)
		var b strings.Builder
		fmt.Fprintf(&b, "code: %s\nproduct: heath-wash\nvariant: %s\nrevision: 2\ndate: %s\nmade_by: I. Nobody\nlines:\n", code, []string{"plain", "heather", "gorse"}[n%3], date)
		for k, id := range []string{"water", "glycerin", "xanthan", "phytate-50", "betaine-30",
			"isethionate-flakes", "glucoside-50", "citric-acid", "keeper-pe", "keeper-bs", "fo-gorse", "mica-bronze"} {
			lot := fmt.Sprintf("LOT-%04d", k*1000+n/(k+3))
			if lot == "LOT-2100" {
				with[code] = true
			}
			fmt.Fprintf(&b, "  - {ingredient: %s, planned_g: %d, weighed_g: %d, lot: %s, supplier_lot: S%d, best_before: 2028-01-01}\n", id, 100+k, 100+k, lot, n)
		}
		b.WriteString("yield: {filled_units: 24, filled_g: 2890}\nretained: {units: 1}\nrelease: {decision: released, by: I. Nobody, date: " + date.AddDays(3).String() + "}\nsent: [{to: Invented Shop, units: 20}]\n")
		files["batches/"+code+".yaml"] = &fstest.MapFile{Data: []byte(b.String())}
	}
	return files, with
}

func addTree(files fstest.MapFS, dir string) error {
	return filepath.WalkDir(dir, func(name string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, name)
		files[filepath.ToSlash(rel)] = &fstest.MapFile{Data: data}
		return err
	})
}

// TestRecallOfTwoYears follows one lot through two years of batches, from the
// files on; BenchmarkRecall says what it takes.
func TestRecallOfTwoYears(t *testing.T) {
	files, with := twoYears(t)
	require.Greater(t, len(files), 520)
	w, fs := workshop.LoadFS("shop", files, table.Builtin())
	trace, found := batch.TraceLot(w, "lot-2100")
	require.True(t, found)
	for _, f := range fs {
		require.NotEqual(t, "batches", strings.Split(f.Pos.File, "/")[0], wordstest.Said(f).Message)
	}
	require.Len(t, trace.Rows, len(with))
	for _, r := range trace.Rows {
		assert.True(t, with[r.Batch], r.Batch)
		assert.Equal(t, "xanthan", r.Ingredient)
		assert.Equal(t, "102", r.G.Exact())
	}
	var table, list bytes.Buffer
	require.NoError(t, plain.Write(&table, trace.Document(w, 20261125)))
	assert.Contains(t, table.String(),
		fmt.Sprintf("%d batches, %d packs filled, %d kept as a sample, %d recorded as sent, %d left", len(with),
			24*len(with), len(with), 20*len(with), 4*len(with)))
	require.NoError(t, trace.WriteCSV(&list))
	rows, err := csv.NewReader(bytes.NewReader(list.Bytes())).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(with)+1)
	for code := range with {
		assert.Contains(t, table.String(), code)
		assert.Contains(t, list.String(), code)
	}
}

// BenchmarkRecall reads two years of batches and follows one lot, beside the
// floor of reading the files alone.
func BenchmarkRecall(b *testing.B) {
	files, _ := twoYears(b)
	b.Run("read", func(b *testing.B) {
		for b.Loop() {
			workshop.LoadFS("shop", files, table.Builtin())
		}
	})
	b.Run("read and follow", func(b *testing.B) {
		for b.Loop() {
			w, _ := workshop.LoadFS("shop", files, table.Builtin())
			batch.TraceLot(w, "lot-2100")
		}
	})
}

// TestCheckOfTwoYears: all findings of two years of batches.
func TestCheckOfTwoYears(t *testing.T) {
	files, _ := twoYears(t)
	w, _ := workshop.LoadFS("shop", files, table.Builtin())
	var as []*assess.Assessment
	for _, p := range w.Products {
		as = append(as, assess.Run(w, p, batchOptions()))
	}
	fs := batch.BatchFindings(w, as)
	assert.NotEmpty(t, fs, "the generated records lack checks of start and lots of masses off the formula")
}

// TestPlannedWithOtherFigures: a formula that has changed at the same revision is said
// to have, in the report and with each material that does not fit.
func TestPlannedWithOtherFigures(t *testing.T) {
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	p := w.Product("heath-wash")
	a := assess.Run(w, p, batchOptions())
	s, err := weigh.Weigh(w, a, "gorse", weigh.WeighOptions{Jars: 24, LossPct: exact.Int(2), Code: "T1"})
	require.NoError(t, err)
	printed := func(of, to string) (string, *batch.BatchReview) {
		r := batch.Review(w, filledIn(t, s, func(line string) string {
			return strings.Replace(strings.Replace(line, of, to, 1), "{ingredient: citric-acid", "{ingredient: cetyl-alcohol", 1)
		}), a)
		var text bytes.Buffer
		require.NoError(t, plain.Write(&text, r.Document(w, 20261125)))
		return strings.Join(strings.Fields(text.String()), " "), r
	}
	text, r := printed(`fingerprint: "`+a.Fingerprint, `fingerprint: "000000000000`)
	assert.Contains(t, text, "The batch was planned with the figures 000000000000, today's are "+a.Fingerprint+", and both are called revision 2: formula, papers or tables have changed since")
	unplanned := 0
	for _, f := range r.Findings {
		if f.Code == "batch-unplanned" {
			unplanned++
		}
		if f.Code == "batch-unplanned" || f.Code == "batch-line-missing" {
			assert.Contains(t, wordstest.Said(f).Why, "planned with the figures 000000000000", f.Code)
			assert.Contains(t, wordstest.Said(f).Fix, "raise revision in products/heath-wash.yaml")
		}
	}
	assert.Equal(t, 1, unplanned, "a line of the same material more makes no second finding")
	assert.Contains(t, text, fmt.Sprintf("%d points are open, %d in the record and 1 about the product or its assessment:", len(r.Open), len(r.Open)-1))
	text, r = printed("", "")
	assert.Empty(t, r.Otherwise)
	assert.NotContains(t, text, "planned with the figures")
	_, r = printed("revision: 2", "revision: 1")
	assert.Empty(t, r.Otherwise, "of another revision other figures are to be expected")
}
