package dossier

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// writeFiles puts a workshop on disk, since evidence is read from there.
func writeFiles(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
}

func assessDir(t *testing.T, dir string, markets ...law.Market) *Assessment {
	t.Helper()
	w, findings := Load(dir, law.Builtin())
	require.NotNil(t, w)
	for _, f := range findings {
		require.False(t, f.Unread, "%s %s", f.Pos, said(f).Message)
	}
	return w.Assess(w.Product("cream"), Options{Date: testDay, Law: law.Builtin(), Markets: markets})
}

// TestChangedSinceAssessment keeps the figures of an assessment, changes the
// product, and wants the changes in words.
func TestChangedSinceAssessment(t *testing.T) {
	dir := t.TempDir()
	files := fullFiles()
	writeFiles(t, dir, files)
	then := assessDir(t, dir)
	var kept bytes.Buffer
	require.NoError(t, WriteJSON(&kept, []*Assessment{then}))
	product := files["products/cream.yaml"]
	signed := func(more string) {
		files["evidence/assessed.json"] = kept.String()
		files["products/cream.yaml"] = strings.Replace(product, "complaints: []\n",
			"complaints: []\nassessments: [{assessor: T, dated: 2026-05-01, fingerprint: "+then.Fingerprint+", file: evidence/report.txt, revision: 1"+more+"}]\n", 1)
	}
	find := func(a *Assessment, code string) *ingredients.Finding {
		for i, f := range a.Findings {
			if f.Code == code {
				return &a.Findings[i]
			}
		}
		return nil
	}

	signed(", figures: evidence/assessed.json")
	writeFiles(t, dir, files)
	a := assessDir(t, dir)
	require.Equal(t, then.Fingerprint, a.Fingerprint)
	require.NotNil(t, find(a, "assessed"))
	assert.Equal(t, ingredients.Note, find(a, "assessed").Severity)

	// more preservative: content, margin and, above 1 %, the limit change
	files["products/cream.yaml"] = strings.Replace(files["products/cream.yaml"], "{ingredient: blend, amount: 1}", "{ingredient: blend, amount: 1.2}", 1)
	writeFiles(t, dir, files)
	a = assessDir(t, dir)
	f := find(a, "changed-since-assessment")
	require.NotNil(t, f)
	assert.Equal(t, "the assessor", said(*f).Ask)
	assert.Nil(t, find(a, "assessed-other-figures"), "said once")
	var texts []string
	for _, s := range f.Sum {
		texts = append(texts, termText(s))
	}
	// 90 % of 1 % and of 1.2 %; the limit of annex V/29 is 1 %
	assert.Contains(t, texts, "composition: Phenoxyethanol: 0.9 % → 1.08 %")
	assert.Contains(t, texts, "limits: Phenoxyethanol, V/29: kept → exceeded (up to 0.9 % → 1.08 %, limit 1 % → limit 1 %)")
	assert.Contains(t, said(*f).Message, count(len(texts), "thing has", "things have"))

	// one market alone: the other is not told as gone
	assert.NotContains(t, changeTexts(find(assessDir(t, dir, law.GB), "changed-since-assessment")), "market EU is gone")

	// the figures are the same where only a text changed
	files["products/cream.yaml"] = strings.Replace(product, "Rub in.", "Rub in well.", 1)
	product = files["products/cream.yaml"]
	signed(", figures: evidence/assessed.json")
	writeFiles(t, dir, files)
	f = find(assessDir(t, dir), "assessed-other-figures")
	require.NotNil(t, f)
	assert.Contains(t, said(*f).Message, "something else changed")

	// without figures kept, and with unusable ones
	signed("")
	writeFiles(t, dir, files)
	assert.NotNil(t, find(assessDir(t, dir), "assessed-other-figures"))
	for _, bad := range []string{"{", "[]", `[{"product": "other", "market": "GB", "fingerprint": "x"}]`, strings.ReplaceAll(kept.String(), then.Fingerprint, "000000000000")} {
		signed(", figures: evidence/assessed.json")
		files["evidence/assessed.json"] = bad
		writeFiles(t, dir, files)
		a = assessDir(t, dir)
		assert.NotNil(t, find(a, "figures-unreadable"))
		assert.NotNil(t, find(a, "assessed-other-figures"))
	}
}

func changeTexts(f *ingredients.Finding) string {
	s := ""
	for _, t := range f.Sum {
		s += termText(t) + "\n"
	}
	return s
}

// number is a limit as JSON has it.
func number(s json.Number) *json.Number { return &s }

// snapshot is one variant in one market for comparing.
func snapshot(list string) Snapshot {
	return Snapshot{Product: "p", Variant: "v", Market: "GB", Fingerprint: "x", IngredientList: list}
}

func TestCompare(t *testing.T) {
	mos := func(f float64) *float64 { return &f }
	for _, c := range []struct {
		name    string
		was, is func(*Snapshot)
		want    []string
	}{
		{"nothing", nil, nil, nil},
		{"exact content", func(s *Snapshot) { s.Composition = []keptSubstance{{"A", false, "1", "1", "1"}} },
			func(s *Snapshot) { s.Composition = []keptSubstance{{"A", false, "1.5", "1.5", "1.5"}} }, []string{"composition: A: 1 % → 1.5 %"}},
		{"written otherwise", func(s *Snapshot) { s.Composition = []keptSubstance{{"A", false, "1.0", "1.00", "1"}} },
			func(s *Snapshot) { s.Composition = []keptSubstance{{"A", false, "1", "1", "1"}} }, nil},
		{"range widened", func(s *Snapshot) { s.Composition = []keptSubstance{{"A", false, "1", "2", "3"}} },
			func(s *Snapshot) { s.Composition = []keptSubstance{{"A", false, "1", "2", "4"}} }, []string{"composition: A: at most 3 % → 4 %"}},
		{"small difference", func(s *Snapshot) { s.Composition = []keptSubstance{{"A", false, "0.100001", "0.100001", "0.100001"}} },
			func(s *Snapshot) { s.Composition = []keptSubstance{{"A", false, "0.100002", "0.100002", "0.100002"}} }, []string{"composition: A: 0.100001 % → 0.100002 %"}},
		{"nano is another substance", func(s *Snapshot) { s.Composition = []keptSubstance{{"A", false, "1", "1", "1"}} },
			func(s *Snapshot) { s.Composition = []keptSubstance{{"A", true, "1", "1", "1"}} }, []string{"composition: A (nano) is new: 1 %", "composition: A is gone; it was 1 %"}},
		{"order", func(s *Snapshot) { s.IngredientList = "A, B, C, D" }, func(s *Snapshot) { s.IngredientList = "A, C, D, B" }, []string{"order: B now stands behind D"}},
		{"order, first", func(s *Snapshot) { s.IngredientList = "A, B, C" }, func(s *Snapshot) { s.IngredientList = "C, A, B" }, []string{"order: C now comes first"}},
		{"allergen verdict", func(s *Snapshot) { s.Allergens = []keptAllergen{{"L", "0.0008", "0.001", "below"}} },
			func(s *Snapshot) { s.Allergens = []keptAllergen{{"L", "0.0012", "0.001", "declare"}} },
			[]string{"allergens: L: below → declare (up to 0.0008 % → 0.0012 %, threshold 0.001 %)"}},
		{"allergen new", nil, func(s *Snapshot) { s.Allergens = []keptAllergen{{"L", "0.0012", "0.001", "declare"}} }, []string{"allergens: L is new: declare, up to 0.0012 %"}},
		{"limit", func(s *Snapshot) { s.Limits = []keptLimit{{"A", "V", "1", "r", "0.5", number("1"), "kept"}} },
			func(s *Snapshot) { s.Limits = []keptLimit{{"A", "V", "1", "r", "0.5", number("0.4"), "exceeded"}} },
			[]string{"limits: A, V/1: kept → exceeded (up to 0.5 % → 0.5 %, limit 1 % → limit 0.4 %)"}},
		{"margin", func(s *Snapshot) { s.MoS = []keptMargin{{"A", mos(150), 100, "at or above target"}} },
			func(s *Snapshot) { s.MoS = []keptMargin{{"A", mos(90), 100, "below target"}} },
			[]string{"margins: A: margin of safety 150 → 90.0, at or above target → below target"}},
		{"margin lost", func(s *Snapshot) { s.MoS = []keptMargin{{"A", mos(150), 100, "at or above target"}} },
			func(s *Snapshot) { s.MoS = []keptMargin{{"A", nil, 100, "no margin"}} }, []string{"margins: A: margin of safety 150 → none, at or above target → no margin"}},
		{"last digits of a float", func(s *Snapshot) { s.MoS = []keptMargin{{"A", mos(150), 100, "x"}} }, func(s *Snapshot) { s.MoS = []keptMargin{{"A", mos(150 * (1 + 1e-14)), 100, "x"}} }, nil},
		{"paper", func(s *Snapshot) { s.Documents = []documentJSON{{"m", "sds", "f", 20250101, "aa"}} },
			func(s *Snapshot) { s.Documents = []documentJSON{{"m", "sds", "f", 20260101, "aa"}} }, []string{"papers: safety data sheet of m (f): dated 2025-01-01 → 2026-01-01"}},
		{"paper replaced", func(s *Snapshot) { s.Documents = []documentJSON{{"m", "sds", "f", 20250101, "aa"}} },
			func(s *Snapshot) { s.Documents = []documentJSON{{"m", "sds", "f", 20250101, "bb"}} }, []string{"papers: safety data sheet of m (f): the file is another one"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			was, is := snapshot("A"), snapshot("A")
			if c.was != nil {
				c.was(&was)
			}
			if c.is != nil {
				c.is(&is)
			}
			var got []string
			for _, x := range Compare(Snapshots{was}, Snapshots{is}) {
				got = append(got, x.String())
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// TestCompareWhere tells a change once, with the variants and markets it is in.
func TestCompareWhere(t *testing.T) {
	var was, is Snapshots
	for _, variant := range []string{"a", "b"} {
		for _, market := range []string{"GB", "EU"} {
			s := Snapshot{Product: "p", Variant: variant, Market: market, Fingerprint: "x", IngredientList: "A, B"}
			was = append(was, s)
			s.IngredientList = "B, A"
			if variant == "b" && market == "EU" {
				s.IngredientList = "A, B"
			}
			is = append(is, s)
		}
	}
	changes := Compare(was, is)
	require.Len(t, changes, 1)
	assert.Equal(t, []string{"a", "b GB"}, changes[0].Where)

	is = append(is, Snapshot{Product: "q", Variant: "", Market: "GB", Fingerprint: "x"})
	is = is[1:]
	changes = Compare(was, is)
	assert.Equal(t, "variants: the product is new", changes[len(changes)-1].String())
}

// TestFiguresBothWays wants the figures of an assessment and those read back
// from its JSON to be the same.
func TestFiguresBothWays(t *testing.T) {
	a := demoAssessment(t, "heath-wash")
	var b bytes.Buffer
	require.NoError(t, WriteJSON(&b, []*Assessment{a}))
	read, err := ReadFigures(b.Bytes())
	require.NoError(t, err)
	live, err := FiguresOf([]*Assessment{a})
	require.NoError(t, err)
	require.Equal(t, live, read)
	require.NotEmpty(t, live[0].Documents)
	require.Empty(t, Compare(read, live))
}

func TestReadFiguresRefuses(t *testing.T) {
	for data, want := range map[string]string{
		"":      "no figures of gallipot figures --json",
		"{}":    "no figures of gallipot figures --json",
		"[{}]":  "names no product",
		"[1]":   "no figures of gallipot figures --json",
		"null]": "",
		`[{"product":"p","market":"GB","fingerprint":"x","composition":[{"inci":"A","min":1e5,"typical":1,"max":1}]}]`: `"1e5" is no plain number`,
	} {
		_, err := ReadFigures([]byte(data))
		if want != "" {
			assert.ErrorContains(t, err, want, data)
		}
	}
}

func FuzzReadFigures(f *testing.F) {
	f.Add([]byte(`[{"product":"p","market":"GB","fingerprint":"x","ingredient_list":"A, B","composition":[{"inci":"A","min":1,"typical":1.5,"max":2}]}]`))
	f.Add([]byte(`[{"product":"p","market":"GB","fingerprint":"x","limits":[{"row":"r","content_max":0,"limit":null}],"documents":[{"dated":"x"}]}]`))
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := ReadFigures(data)
		if err != nil {
			return
		}
		if changes := Compare(list, list); len(changes) > 0 && len(list) == len(list.Products()) {
			t.Fatalf("the same figures differ: %v", changes)
		}
	})
}
