package watched

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/headroom"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

func demo(t testing.TB) (*Workshop, string) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS("../../testdata/demo")))
	return Open(dir, table.Builtin(), func() (exact.Date, bool) { return 20261129, true }), dir
}

func TestNow(t *testing.T) {
	w, dir := demo(t)
	first := w.Now()
	require.Equal(t, 1, first.Number)
	require.Same(t, first, w.Now())
	file := filepath.Join(dir, "products", "heath-wash.yaml")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	t.Run("a change on disk", func(t *testing.T) {
		require.NoError(t, os.WriteFile(file, append(data, '\n'), 0o644))
		require.Equal(t, 2, w.Now().Number)
	})
	t.Run("a change that size and time do not show", func(t *testing.T) {
		w.Touch()
		require.Equal(t, 3, w.Now().Number)
	})
	t.Run("a file gone", func(t *testing.T) {
		require.NoError(t, os.Remove(filepath.Join(dir, "workshop.yaml")))
		require.Nil(t, w.Now().Workshop)
	})
}

func TestTrial(t *testing.T) {
	w, _ := demo(t)
	s := w.Now()
	p := s.Workshop.Product("heath-wash")
	a, findings := s.Trial(p.Source.Name, p.Source.Bytes)
	require.NotNil(t, a)
	require.Empty(t, findings)
	require.Equal(t, s.Assess(p).Fingerprint, a.Fingerprint)
	require.Equal(t, s.Assess(p).Findings, a.Findings)
	t.Run("what cannot be read", func(t *testing.T) {
		a, findings := s.Trial(p.Source.Name, []byte("id: ["))
		require.Nil(t, a)
		require.NotEmpty(t, findings)
	})
}

func BenchmarkTrial(b *testing.B) {
	w, _ := demo(b)
	s := w.Now()
	p := s.Workshop.Product("heath-wash")
	for b.Loop() {
		a, _ := s.Trial(p.Source.Name, p.Source.Bytes)
		_ = a
	}
}

func TestFigures(t *testing.T) {
	w, _ := demo(t)
	s := w.Now()
	a := s.Assess(s.Workshop.Product("body-cream"))
	p, results, findings := s.Figures(a, a.Product.Source.Bytes)
	require.Empty(t, findings)
	require.Len(t, results, len(a.Results))
	require.Equal(t, a.Product.ID, p.ID)
	for i, r := range results {
		require.Equal(t, a.Results[i].List.Line(), r.List.Line())
		require.Equal(t, len(a.Results[i].Findings), len(r.Findings))
	}
}

func BenchmarkFigures(b *testing.B) {
	w, _ := demo(b)
	s := w.Now()
	a := s.Assess(s.Workshop.Product("heath-wash"))
	for b.Loop() {
		s.Figures(a, a.Product.Source.Bytes)
	}
}

func BenchmarkHeadrooms(b *testing.B) {
	w, _ := demo(b)
	s := w.Now()
	a := s.Assess(s.Workshop.Product("heath-wash"))
	for b.Loop() {
		for _, r := range a.Results {
			headroom.Headrooms(r)
		}
	}
}
