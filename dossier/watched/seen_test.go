package watched

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// TestPapersAskedAgain: whatever is done to a paper, it is asked for again at the next
// look, though it was on hand before.
func TestPapersAskedAgain(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(dir, paper string) error
		gone bool
	}{
		{"emptied", func(_, paper string) error { return os.Truncate(paper, 0) }, true},
		{"taken away", func(_, paper string) error { return os.Remove(paper) }, true},
		{"closed to the reader", func(_, paper string) error { return os.Chmod(paper, 0) }, os.Getuid() != 0},
		{"a folder in its place", func(_, paper string) error {
			_ = os.Remove(paper)
			return os.Mkdir(paper, 0o755)
		}, true},
		{"its folder moved away and linked", func(dir, paper string) error {
			away := filepath.Join(dir, "..", "away")
			if err := os.Rename(filepath.Dir(paper), away); err != nil {
				return err
			}
			return os.Symlink(away, filepath.Dir(paper))
		}, true},
		{"written again", func(_, paper string) error { return os.WriteFile(paper, []byte("another"), 0o644) }, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "shop")
			require.NoError(t, os.CopyFS(dir, os.DirFS("../../testdata/demo")))
			w := Open(dir, table.Builtin(), func() (exact.Date, bool) { return 20261129, true })
			first := w.Now()
			var paper string
			for _, d := range first.Workshop.Sheets["fo-gorse"].Documents {
				if d.File != "" && !missing(first, d.File) {
					paper = d.File
				}
			}
			require.NotEmpty(t, paper)
			if err := c.do(dir, filepath.Join(dir, filepath.FromSlash(paper))); err != nil {
				t.Skip("this system cannot do that: " + err.Error())
			}
			second := w.Now()
			require.NotSame(t, first, second)
			require.Equal(t, c.gone, missing(second, paper))
		})
	}
}

// missing says whether a paper is reported as not on hand.
func missing(s *Shot, paper string) bool {
	for _, f := range s.Findings {
		if (f.Code == workshop.CodeEvidenceMissing || f.Code == workshop.CodeEvidenceOutside) && f.Subject == paper {
			return true
		}
	}
	return false
}

func TestSince(t *testing.T) {
	_, dir := demo(t)
	before := scan(dir)
	require.Empty(t, scan(dir).since(before))
	require.NotEmpty(t, before.since(nil))
	product := filepath.Join(dir, "products", "heath-wash.yaml")
	require.NoError(t, os.WriteFile(product, []byte("id: heath-wash\n"), 0o644))
	require.NoError(t, os.Remove(filepath.Join(dir, "products", "body-cream.yaml")))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "products", "new.yaml"), []byte("id: new\n"), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "products", ".left.1.part"), []byte("id"), 0o644))
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "out", "more"), 0o755))
	now := scan(dir)
	changed := now.since(before)
	delete(changed, "products") // the folder itself
	require.Equal(t, map[string]bool{"products/heath-wash.yaml": true, "products/body-cream.yaml": true,
		"products/new.yaml": true}, changed)
	untouched := now.untouchedSince(before)
	require.False(t, untouched("products/heath-wash.yaml"))
	require.False(t, untouched("products/body-cream.yaml"))
	require.False(t, untouched("products/new.yaml"))
	require.False(t, untouched("evidence"))
	require.False(t, untouched("nowhere/at-all.pdf"))
	t.Run("the order of a folder says nothing", func(t *testing.T) {
		turned := slices.Clone(now)
		for i := range turned {
			turned[i] = slices.Clone(turned[i])
			slices.Reverse(turned[i])
		}
		require.Empty(t, turned.since(now))
	})
}
