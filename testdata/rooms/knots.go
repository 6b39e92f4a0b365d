package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
)

// graph says which nodes each node leads to.
type graph map[string][]string

// graph is that of the files of a room.
func (r *room) graph() graph {
	g := graph{}
	for _, f := range r.files {
		g[f.name] = slices.Sorted(maps.Keys(r.needs[f.name]))
	}
	return g
}

// knot is the largest set of files that need each other, none where no two do.
func (r *room) knot() []string { return r.graph().knot() }

func (g graph) knot() []string {
	var largest []string
	for _, c := range g.components() {
		if len(c) > len(largest) {
			largest = c
		}
	}
	if len(largest) < 2 {
		return nil
	}
	return largest
}

// components are the strongly connected components, after Tarjan (1972), each sorted.
func (g graph) components() [][]string {
	t := &tarjan{g: g, index: map[string]int{}, low: map[string]int{}, open: map[string]bool{}}
	for _, n := range slices.Sorted(maps.Keys(g)) {
		if t.index[n] == 0 {
			t.visit(n)
		}
	}
	return t.found
}

type tarjan struct {
	g          graph
	index, low map[string]int
	stack      []string
	open       map[string]bool // on the stack
	found      [][]string
}

func (t *tarjan) visit(n string) {
	t.index[n] = len(t.index) + 1
	t.low[n] = t.index[n]
	t.stack = append(t.stack, n)
	t.open[n] = true
	for _, next := range t.g[n] {
		if t.index[next] == 0 {
			t.visit(next)
			t.low[n] = min(t.low[n], t.low[next])
		} else if t.open[next] {
			t.low[n] = min(t.low[n], t.index[next])
		}
	}
	if t.low[n] != t.index[n] {
		return
	}
	at := slices.Index(t.stack, n)
	part := slices.Clone(t.stack[at:])
	t.stack = t.stack[:at]
	for _, m := range part {
		t.open[m] = false
	}
	slices.Sort(part)
	t.found = append(t.found, part)
}

// edge is what one file needs of another.
type edge struct {
	from, to string
	names    uses
}

func (e edge) String() string {
	return fmt.Sprintf("%s → %s: %s", e.from, e.to, strings.Join(slices.Sorted(maps.Keys(e.names)), " "))
}

// edges are those within the given files.
func (r *room) edges(files []string) []edge {
	var out []edge
	for _, from := range files {
		for _, to := range files {
			if names := r.needs[from][to]; len(names) > 0 {
				out = append(out, edge{from, to, names})
			}
		}
	}
	return out
}

// cuts are edges without which no knot is larger than allowed. They are found one
// after the other, the one that makes the knots smallest for the names it is made of
// first, so that there may be better ones.
func (r *room) cuts() []edge {
	g := r.graph()
	var out []edge
	for knot := g.knot(); len(knot) > mostKnot; knot = g.knot() {
		var best edge
		worth := -1.0
		for _, e := range r.edges(knot) {
			if !slices.Contains(g[e.from], e.to) {
				continue
			}
			gain := float64(len(knot)-len(g.without(e).largestOf(knot))) + 0.01
			if w := gain / float64(len(e.names)); w > worth {
				best, worth = e, w
			}
		}
		g = g.without(best)
		out = append(out, best)
	}
	return out
}

func (g graph) without(e edge) graph {
	out := maps.Clone(g)
	out[e.from] = slices.DeleteFunc(slices.Clone(g[e.from]), func(n string) bool { return n == e.to })
	return out
}

// largestOf is the largest component within some nodes.
func (g graph) largestOf(nodes []string) []string {
	part := graph{}
	for _, n := range nodes {
		part[n] = slices.DeleteFunc(slices.Clone(g[n]), func(m string) bool { return !slices.Contains(nodes, m) })
	}
	return part.knot()
}

func printEdges(w io.Writer, rooms []*room, pkg string) error {
	for _, r := range rooms {
		if r.path != pkg {
			continue
		}
		knot := r.knot()
		_, _ = fmt.Fprintf(w, "%d files need each other: %s\n", len(knot), strings.Join(knot, " "))
		for _, e := range r.edges(knot) {
			_, _ = fmt.Fprintln(w, " ", e)
		}
		_, _ = fmt.Fprintf(w, "cuts that leave no more than %d:\n", mostKnot)
		for _, e := range r.cuts() {
			_, _ = fmt.Fprintln(w, " ", e)
		}
		return nil
	}
	return fmt.Errorf("there is no package %s", pkg)
}
