package main

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func rng() *rand.Rand { return rand.New(rand.NewPCG(3, 4)) }

func TestMakers(t *testing.T) {
	col := []string{"EU", "GB", "EU+GB", ""}
	for _, c := range []struct{ kind, cell string }{
		{"figure", "0.5"}, {"figure", "12"}, {"figure", "0"}, {"date", "2026-05-01"}, {"market", "EU"},
		{"number", "7732-18-5"},
		{"number", "231-791-2;200-128-9"}, {"condition", "rinse-off & area=hair"}, {"condition", "product=shampoo|oral"},
		{"within", "as acid; factors: A=0.8475, B=0.76"},
	} {
		t.Run(c.kind+" "+c.cell, func(t *testing.T) {
			r := rng()
			for range 50 {
				got := makers[c.kind](c.cell, col, r)
				require.NotEqual(t, c.cell, got)
				require.NotEmpty(t, got)
			}
		})
	}
	for _, kind := range []string{"figure", "date", "number", "within"} {
		require.Empty(t, makers[kind]("", col, rng()), kind)
	}
}

func TestCorrectedCheckDigits(t *testing.T) {
	for _, n := range []string{"7732-18-5", "64-17-5", "231-791-2", "200-578-6"} { // water, ethanol
		b := []byte(n)
		b[len(b)-1] = 'x'
		require.True(t, correct(b))
		require.Equal(t, n, string(b))
	}
}

func TestDrawIsRepeatable(t *testing.T) {
	tables := []*table{{name: "t.csv", header: []string{"key", "pct", "seen"},
		rows:  [][]string{{"a", "1", "seen"}, {"b", "2", "memory"}, {"c", "3", "seen"}},
		kinds: map[int]string{1: "figure"}, unjudge: map[int]bool{1: true}}}
	first, second := draw(tables, 2, rng()), draw(tables, 2, rng())
	require.Equal(t, len(first), len(second))
	for i := range first {
		require.Equal(t, first[i].line(), second[i].line())
	}
}

func TestTextChangesOneCell(t *testing.T) {
	tb := &table{header: []string{"a", "b"}, rows: [][]string{{"1", "x, y"}, {"2", "z"}}}
	require.Equal(t, "a,b\n1,\"x, y\"\n2,w\n", string(tb.text(1, 1, "w")))
	require.Equal(t, "z", tb.rows[1][1], "the table itself stays")
}

// Each test that counts stands in the package that tests.csv names.
func TestTestsAreThere(t *testing.T) {
	rows, err := readCSV("tests.csv")
	require.NoError(t, err)
	require.Greater(t, len(rows), 1)
	for _, r := range rows[1:] {
		files, err := filepath.Glob(filepath.Join("..", "..", r[0], "*_test.go"))
		require.NoError(t, err)
		there := false
		for _, f := range files {
			text, err := os.ReadFile(f)
			require.NoError(t, err)
			there = there || bytes.Contains(text, []byte("func "+r[1]+"(t *testing.T)"))
		}
		require.True(t, there, "%s has no %s", r[0], r[1])
	}
}
