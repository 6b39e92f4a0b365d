package table

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/require"
)

// started sets the collector as the program does for its start, at which nothing is collected.
func started(b *testing.B) {
	const more = 1200
	old := debug.SetGCPercent(more)
	b.Cleanup(func() { debug.SetGCPercent(old) })
}

// BenchmarkRead is what a start of the program pays for the tables.
func BenchmarkRead(b *testing.B) {
	started(b)
	dir := Files()
	for b.Loop() {
		if _, err := Read(dir); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPrepare is what it pays for the look-ups over them, tables included.
func BenchmarkPrepare(b *testing.B) {
	started(b)
	dir := Files()
	for b.Loop() {
		t, err := Read(dir)
		if err != nil {
			b.Fatal(err)
		}
		t.Prepare()
	}
}

// Reading the tables and building the look-ups stays within a number of allocations: a
// copy of each cell or of each name would show.
func TestAllocationsOfAStart(t *testing.T) {
	const mostRead, mostPrepared = 21_000, 47_500
	dir := Files()
	read := testing.AllocsPerRun(2, func() {
		_, err := Read(dir)
		require.NoError(t, err)
	})
	require.LessOrEqual(t, read, float64(mostRead))
	prepared := testing.AllocsPerRun(2, func() {
		tables, err := Read(dir)
		require.NoError(t, err)
		tables.Prepare()
	})
	t.Logf("%.0f allocations to read, %.0f with the look-ups", read, prepared)
	require.LessOrEqual(t, prepared, float64(mostPrepared))
}
