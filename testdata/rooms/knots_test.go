package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestComponents(t *testing.T) {
	for name, c := range map[string]struct {
		g    graph
		want []string
	}{
		"nothing":                  {graph{}, nil},
		"a chain":                  {graph{"a": {"b"}, "b": {"c"}, "c": nil}, nil},
		"a file that calls itself": {graph{"a": {"a"}}, nil},
		"two by turns":             {graph{"a": {"b"}, "b": {"a"}}, []string{"a", "b"}},
		"two rings with one file in both": {
			graph{"a": {"b"}, "b": {"a", "c"}, "c": {"b"}, "d": {"a"}}, []string{"a", "b", "c"},
		},
		"the larger of two": {
			graph{"a": {"b"}, "b": {"a"}, "c": {"d"}, "d": {"e"}, "e": {"c", "a"}}, []string{"c", "d", "e"},
		},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, c.g.knot()) })
	}
}

func TestCuts(t *testing.T) {
	names := []string{"a", "b", "c", "d", "e", "f", "g"}
	r := &room{needs: map[string]map[string]uses{}}
	for i, n := range names { // a ring of seven; g needs one name of a, the others two each
		r.files = append(r.files, &file{name: n})
		r.needs[n] = map[string]uses{names[(i+1)%7]: {"x": 1, "y": 1}}
	}
	r.needs["g"]["a"] = uses{"only": 3}
	assert.Equal(t, []edge{{"g", "a", uses{"only": 3}}}, r.cuts())
	r.files = r.files[:6]
	assert.Empty(t, (&room{files: r.files, needs: map[string]map[string]uses{}}).cuts())
}
