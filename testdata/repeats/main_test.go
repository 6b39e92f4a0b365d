package main

import (
	"go/parser"
	"go/token"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/testdata/repeats/probe"
)

func TestNoting(t *testing.T) {
	const text = `package p

type of struct{ n int }

func (o *of) twice(a, b int, more ...string) (int, error) { return 2 * o.n, nil }
func (of) unnamed() int            { return 1 }
func nothing()                     {}
func generic[T any](x T) T         { return x }
func (o of) String() string        { return "" }
func plain() int                   { return 1 }
`
	changed, err := noting("calc/p", text, func(string) bool { return true })
	require.NoError(t, err)
	_, err = parser.ParseFile(token.NewFileSet(), "p.go", changed, 0)
	require.NoError(t, err, changed)
	assert.Equal(t, 2, strings.Count(changed, "noted.Start()"))
	assert.Contains(t, changed, `end("calc/p.of.twice", answer0, answer1)`)
	assert.Contains(t, changed, `o.twiceNoted(given0, given1, given2...)`)
	one, err := noting("calc/p", text, func(name string) bool { return name == "plain" })
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(one, "noted.Start()"))
	none, err := noting("calc/p", text, func(string) bool { return false })
	require.NoError(t, err)
	assert.Equal(t, text, none)
}

// Three calls with two different answers, one of them behind a pointer.
func TestCounts(t *testing.T) {
	type answer struct{ Name *string }
	a, alsoA, b := "a", "a", "b"
	probe.Begin()
	for _, x := range []*string{&a, &alsoA, &b} {
		probe.Start()("room.f", answer{x})
	}
	var said strings.Builder
	probe.Print(&said, 2)
	lines := strings.Split(said.String(), "\n")
	assert.Equal(t, []string{"1.50", "2", "1.5"}, strings.Fields(lines[1])[:3], lines[1])
}

// The inner call takes as long as it likes: what goes to an answer given before is all of the
// second outer call and nothing of the first.
func TestGivenBefore(t *testing.T) {
	const long = 20 * time.Millisecond
	probe.Begin()
	for range 2 {
		outer := probe.Start()
		inner := probe.Start()
		time.Sleep(long)
		inner("room.inner", 1)
		outer("room.outer", 1)
	}
	var said strings.Builder
	probe.Print(&said, 1)
	lines := strings.Split(strings.TrimSpace(said.String()), "\n")
	share, err := strconv.Atoi(strings.SplitN(lines[len(lines)-1], "%", 2)[0])
	require.NoError(t, err)
	assert.Greater(t, share, 10)
	assert.Less(t, share, 90)
}
