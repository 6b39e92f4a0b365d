package ready_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/figures"
	"gallipot/dossier/words"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/finding"
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

func assessDir(t *testing.T, dir string, markets ...rows.Market) *assess.Assessment {
	t.Helper()
	w, findings := workshop.Load(dir, table.Builtin())
	require.NotNil(t, w)
	for _, f := range findings {
		require.False(t, f.Unread, "%s %s", f.Pos, wordstest.Said(f).Message)
	}
	return run(w, w.Product("cream"), assess.Options{Date: testDay, Law: table.Builtin(), Markets: markets})
}

// TestChangedSinceAssessment keeps the figures of an assessment, changes the
// product, and wants the changes in words.
func TestChangedSinceAssessment(t *testing.T) {
	dir := t.TempDir()
	files := workshoptest.FullFiles()
	writeFiles(t, dir, files)
	then := assessDir(t, dir)
	var kept bytes.Buffer
	require.NoError(t, figures.WriteJSON(&kept, []*assess.Assessment{then}))
	product := files["products/cream.yaml"]
	signed := func(more string) {
		files["evidence/assessed.json"] = kept.String()
		files["products/cream.yaml"] = strings.Replace(product, "complaints: []\n",
			"complaints: []\nassessments: [{assessor: T, dated: 2026-05-01, fingerprint: "+then.Fingerprint+", file: evidence/report.txt, revision: 1"+more+"}]\n", 1)
	}
	find := func(a *assess.Assessment, code string) *finding.Finding {
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
	assert.Equal(t, finding.Note, find(a, "assessed").Severity)

	// more preservative: content, margin and, above 1 %, the limit change
	files["products/cream.yaml"] = strings.Replace(files["products/cream.yaml"],
		"{ingredient: blend, amount: 1}", "{ingredient: blend, amount: 1.2}", 1)
	writeFiles(t, dir, files)
	a = assessDir(t, dir)
	f := find(a, "changed-since-assessment")
	require.NotNil(t, f)
	assert.Equal(t, "the assessor", wordstest.Said(*f).Ask)
	assert.Nil(t, find(a, "assessed-other-figures"), "said once")
	var texts []string
	for _, s := range f.Sum {
		texts = append(texts, wordstest.Term(s))
	}
	// 90 % of 1 % and of 1.2 %; the limit of annex V/29 is 1 %
	assert.Contains(t, texts, "composition: Phenoxyethanol: 0.9 % → 1.08 %")
	assert.Contains(t, texts, "limits: Phenoxyethanol, V/29: kept → exceeded (up to 0.9 % → 1.08 %, limit 1 %)")
	assert.Contains(t, wordstest.Said(*f).Message, words.Count(len(texts), "thing has", "things have"))

	// one market alone: the other is not told as gone
	assert.NotContains(t, changeTexts(find(assessDir(t, dir, rows.GB), "changed-since-assessment")), "market EU is gone")

	// the figures are the same where only a text changed
	files["products/cream.yaml"] = strings.Replace(product, "Rub in.", "Rub in well.", 1)
	product = files["products/cream.yaml"]
	signed(", figures: evidence/assessed.json")
	writeFiles(t, dir, files)
	f = find(assessDir(t, dir), "assessed-other-figures")
	require.NotNil(t, f)
	assert.Contains(t, wordstest.Said(*f).Message, "something else changed")

	// without figures kept, and with unusable ones
	signed("")
	writeFiles(t, dir, files)
	assert.NotNil(t, find(assessDir(t, dir), "assessed-other-figures"))
	for _, bad := range []string{"{", "[]", `[{"product": "other", "market": "GB", "fingerprint": "x"}]`,
		strings.ReplaceAll(kept.String(), then.Fingerprint, "000000000000")} {
		signed(", figures: evidence/assessed.json")
		files["evidence/assessed.json"] = bad
		writeFiles(t, dir, files)
		a = assessDir(t, dir)
		assert.NotNil(t, find(a, "figures-unreadable"))
		assert.NotNil(t, find(a, "assessed-other-figures"))
	}
}

func changeTexts(f *finding.Finding) string {
	s := ""
	for _, t := range f.Sum {
		s += wordstest.Term(t) + "\n"
	}
	return s
}
