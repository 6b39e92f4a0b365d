package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"gallipot/testdata"
)

// BenchmarkProcess runs the built program, start to end: --help, a check and a
// pack of a product with 12 variants. `--help` is the floor the others are
// compared with.
func BenchmarkProcess(b *testing.B) {
	program := filepath.Join(b.TempDir(), "gallipot")
	out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput()
	require.NoError(b, err, string(out))
	dir := b.TempDir()
	require.NoError(b, os.CopyFS(dir, testdata.Large(testdata.Size{Sheets: 20, Products: 1, Variants: 12})))
	timed := func(b *testing.B, args ...string) time.Duration {
		start := time.Now()
		out, err := exec.Command(program, args...).CombinedOutput()
		require.NoError(b, err, string(out))
		return time.Since(start)
	}
	for name, args := range map[string][]string{
		"help": {"--help"}, "check": {"check", "--workshop", dir}, "pack": {"pack", "--all", "--workshop", dir},
	} {
		b.Run(name, func(b *testing.B) {
			var least, took time.Duration
			for b.Loop() {
				least += timed(b, "--help")
				took += timed(b, args...)
			}
			b.ReportMetric(float64(took)/float64(least), "×help")
			b.ReportMetric(float64(took.Milliseconds())/float64(b.N), "ms")
			b.ReportMetric(0, "ns/op")
		})
	}
}
