package main

import (
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each picture in the README is one that the program makes: an A4 page of the same
// size as the one that is committed.
func TestRun(t *testing.T) {
	for _, name := range []string{"pdftotext", "pdftoppm", "chromium"} {
		if _, err := exec.LookPath(name); err != nil {
			if os.Getenv("GALLIPOT_REQUIRE_TOOLS") == "1" {
				t.Fatalf("%s is not installed", name)
			}
			t.Skipf("%s is not installed", name)
		}
	}
	dir := t.TempDir()
	require.NoError(t, run(dir, 100))
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	for _, p := range pictures {
		assert.Contains(t, string(readme), "(testdata/pictures/"+p.file+")")
		made, kept := size(t, filepath.Join(dir, p.file)), size(t, p.file)
		assert.Equal(t, kept, made, p.file)
		assert.InDelta(t, 297.0/210, float64(made[1])/float64(made[0]), 0.01, p.file)
	}
	for _, p := range pages {
		assert.Contains(t, string(readme), "(testdata/pictures/"+p.file+")")
		assert.Equal(t, size(t, p.file), size(t, filepath.Join(dir, p.file)), p.file)
		info, err := os.Stat(p.file)
		require.NoError(t, err)
		assert.Less(t, info.Size(), int64(120_000), p.file)
	}
	t.Run("a heading that no page has", func(t *testing.T) {
		keep := pictures
		defer func() { pictures = keep }()
		pictures = []picture{{file: "x.png", product: "lip-balm", heading: "No such heading"}}
		assert.ErrorContains(t, run(dir, 100), `no page of lip-balm-pack.pdf is headed "No such heading"`)
		assert.NoFileExists(t, filepath.Join(dir, "x.png"))
	})
}

func size(t *testing.T, file string) [2]int {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	c, err := png.DecodeConfig(f)
	require.NoError(t, err)
	return [2]int{c.Width, c.Height}
}
