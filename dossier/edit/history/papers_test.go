package history

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestPapers(t *testing.T) {
	now := time.Date(2026, 11, 29, 9, 0, 0, 0, time.UTC)
	dir, base := t.TempDir(), t.TempDir()
	s, err := Open(dir, base, func() time.Time { now = now.Add(time.Second); return now })
	require.NoError(t, err)
	t.Cleanup(func() { _ = s.Close() })
	a, err := s.AddPaper("a.pdf", []byte("first"))
	require.NoError(t, err)
	_, err = s.AddPaper("b.pdf", []byte("second"))
	require.NoError(t, err)
	a.Notes = json.RawMessage(`{"x":1}`)
	require.NoError(t, s.NotePaper(a))
	t.Run("in the order in which they came, with their answers", func(t *testing.T) {
		all, err := s.Papers()
		require.NoError(t, err)
		require.Len(t, all, 2)
		require.Equal(t, "a.pdf", all[0].Name)
		require.JSONEq(t, `{"x":1}`, string(all[0].Notes))
		data, err := s.PaperData(a.Key)
		require.NoError(t, err)
		require.Equal(t, "first", string(data))
	})
	t.Run("the same bytes once", func(t *testing.T) {
		again, err := s.AddPaper("c.pdf", []byte("first"))
		require.NoError(t, err)
		require.Equal(t, "a.pdf", again.Name)
	})
	t.Run("a key that is none", func(t *testing.T) {
		for _, key := range []string{"", "../versions/x", "zz", a.Key + "0"} {
			_, ok, err := s.Paper(key)
			require.NoError(t, err)
			require.False(t, ok)
			data, err := s.PaperData(key)
			require.NoError(t, err)
			require.Nil(t, data)
		}
	})
	t.Run("on file or not, reading no file of another length", func(t *testing.T) {
		for name, text := range map[string]string{"same.pdf": "second", "long.pdf": "another length", "like.pdf": "fi_st"} {
			require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
		}
		seen := len(s.seen.order)
		for _, c := range []struct {
			files []string
			want  []string
		}{
			{nil, []string{"a.pdf", "b.pdf"}},
			{[]string{"same.pdf", "long.pdf", "like.pdf", "gone.pdf", "../out.pdf"}, []string{"a.pdf"}},
		} {
			open, err := s.Unfiled(c.files)
			require.NoError(t, err)
			names := []string{}
			for _, p := range open {
				names = append(names, p.Name)
			}
			require.Equal(t, c.want, names)
		}
		require.Len(t, s.seen.order, seen, "conflicts keep what they show")
	})
	t.Run("dropped", func(t *testing.T) {
		require.NoError(t, s.DropPaper(a.Key))
		_, ok, err := s.Paper(a.Key)
		require.NoError(t, err)
		require.False(t, ok)
	})
}
