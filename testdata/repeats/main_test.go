package main

import (
	"go/parser"
	"go/token"
	"regexp"
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
	assert.Equal(t, 2, strings.Count(changed, "noted.Start("))
	assert.Contains(t, changed, `noted.Start("calc/p.of.twice", noted.Of(o), given0, given1, given2)`)
	assert.Contains(t, changed, `end(answer0, answer1)`)
	assert.Contains(t, changed, `o.twiceNoted(given0, given1, given2...)`)
	one, err := noting("calc/p", text, func(name string) bool { return name == "plain" })
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(one, "noted.Start("))
	none, err := noting("calc/p", text, func(string) bool { return false })
	require.NoError(t, err)
	assert.Equal(t, text, none)
}

// Three calls with three questions, two of which are the same behind their pointers, and one
// answer.
func TestCounts(t *testing.T) {
	type question struct{ Name *string }
	a, alsoA, b := "a", "a", "b"
	probe.Begin()
	for _, x := range []*string{&a, &alsoA, &b} {
		probe.Start("room.f", question{x})(1)
	}
	assert.Equal(t, []string{"1.50", "2", "1"}, strings.Fields(printed(2)[1])[:3])
	probe.Begin()
	for _, x := range []*string{&a, &alsoA} { // of receivers it counts which they are
		probe.Start("room.f", probe.Of(x))(x)
	}
	assert.Equal(t, []string{"2.00", "2", "1"}, strings.Fields(printed(1)[1])[:3])
}

func printed(results int) []string {
	var said strings.Builder
	probe.Print(&said, results)
	return strings.Split(strings.TrimSpace(said.String()), "\n")
}

// Of two calls of a function with one inside it, the second is asked before and answered
// before, and the inner one is no further time.
func TestRepeated(t *testing.T) {
	const long = 20 * time.Millisecond
	probe.Begin()
	for range 2 {
		outer := probe.Start("room.outer", 1)
		inner := probe.Start("room.inner", 1)
		time.Sleep(long)
		inner(1)
		outer(1)
	}
	last := printed(1)
	shares := regexp.MustCompile(`(\d+)%`).FindAllStringSubmatch(last[len(last)-1], -1)
	require.Len(t, shares, 2)
	for _, m := range shares {
		share, err := strconv.Atoi(m[1])
		require.NoError(t, err)
		assert.Greater(t, share, 10)
		assert.Less(t, share, 90)
	}
}
