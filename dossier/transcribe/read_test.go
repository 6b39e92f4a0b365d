package transcribe_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/listed"
	"gallipot/dossier/transcribe/paper"
	"gallipot/testdata/papers/score"
)

const papers = "../../testdata/papers"

// Each paper is read and compared with what a correct reading contains; the
// expected values stand beside the papers.
func TestPapers(t *testing.T) {
	reader, err := transcribe.New(table.Builtin(), listed.New(table.Builtin().Dictionary()))
	require.NoError(t, err)
	files := paper.NewReader()
	defer files.Close()
	expected, err := filepath.Glob(papers + "/*.expected.json")
	require.NoError(t, err)
	layouts, err := filepath.Glob(papers + "/layouts/*.expected.json")
	require.NoError(t, err)
	require.NotEmpty(t, layouts)
	expected = append(expected, layouts...)
	right, all := 0, 0
	for _, e := range expected {
		stem := strings.TrimSuffix(e, ".expected.json")
		t.Run(filepath.Base(stem), func(t *testing.T) {
			var want, got score.Row
			data, err := os.ReadFile(e)
			require.NoError(t, err)
			require.NoError(t, json.Unmarshal(data, &want))
			got = readPaper(t, reader, files, stem)
			r := score.Paper(want, got, true)
			require.Zero(t, r.Wrong, "%v", r.Notes)
			right, all = right+r.Right, all+r.Right+r.Missing+r.Wrong
			if len(r.Notes) > 0 {
				t.Log(r.Notes)
			}
			_, off := score.Facts(want, got)
			require.Empty(t, off)
			codes, err := score.Table(filepath.Dir(stem), "questions.csv", filepath.Base(stem))
			require.NoError(t, err)
			_, silent := score.Questions(got, codes)
			require.Empty(t, silent, "questions that are not put")
			banned, err := score.Table(filepath.Dir(stem), "forbidden.csv", filepath.Base(stem))
			require.NoError(t, err)
			require.Empty(t, score.Forbidden(got, banned))
		})
	}
	require.GreaterOrEqual(t, float64(right), 0.97*float64(all), "%d of %d figures", right, all)
}

func readPaper(t *testing.T, reader *transcribe.Reader, files *paper.Reader, stem string) (got score.Row) {
	t.Helper()
	names, err := filepath.Glob(stem + ".*")
	require.NoError(t, err)
	for _, n := range names {
		if strings.HasSuffix(n, ".json") {
			continue
		}
		data, err := os.ReadFile(n)
		require.NoError(t, err)
		f, err := files.Read(n, data)
		require.NoError(t, err)
		text, err := json.Marshal(reader.Read(f))
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(text, &got))
	}
	return got
}
