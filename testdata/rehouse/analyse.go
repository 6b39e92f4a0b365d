//go:build ignore

package main

import (
	"fmt"
	"sort"
	"strings"
)

type edge struct{ from, to string }

// placeTests gives a target to test files whose twin is unknown: the package
// most of whose names they use.
func (w *World) placeTests() {
	for _, f := range w.order {
		if !strings.HasPrefix(f.Target, "?") {
			continue
		}
		dir := f.Target[1:]
		n := map[string]int{}
		for _, u := range f.Units {
			for _, r := range u.Refs {
				if !r.To.Test && r.Qual {
					weight := 1
					if !r.Obj.Exported() {
						weight = 3
					}
					n[r.To.Target] += weight
				}
			}
		}
		best := dir
		most := 0
		var keys []string
		for t := range n {
			keys = append(keys, t)
		}
		sort.Strings(keys)
		for _, t := range keys {
			if strings.HasPrefix(t, strings.Split(dir, "/")[0]) && n[t] > most {
				best, most = t, n[t]
			}
		}
		for _, u := range f.Units {
			if u.Target == f.Target {
				u.Target = best
			}
		}
		f.Target = best
	}
}

func (w *World) edges(tests bool) map[edge][]string {
	out := map[edge][]string{}
	for _, u := range w.units {
		if u.Test != tests {
			continue
		}
		for _, r := range u.Refs {
			if !r.Qual || r.To.Target == u.Target {
				continue
			}
			e := edge{u.Target, r.To.Target}
			out[e] = append(out[e], fmt.Sprintf("%s:%s → %s:%s", u.File.Path, u.name(), r.To.File.Path, nameOf(r)))
		}
		// a converted method needs its receiver type
		if u.FuncConv {
		}
	}
	return out
}

func nameOf(r Ref) string {
	if r.To.Recv != "" {
		return r.To.name()
	}
	return r.Obj.Name()
}

func (w *World) analyse(detail string) {
	w.placeTests()
	es := w.edges(false)
	if detail != "" {
		a, b, _ := strings.Cut(detail, ">")
		for e, l := range es {
			if (a == "*" || e.from == a) && (b == "*" || e.to == b) {
				fmt.Println(e.from, "→", e.to)
				for _, s := range uniq(l) {
					fmt.Println("   ", s)
				}
			}
		}
		return
	}
	lines := map[string]int{}
	nfile := map[string]map[string]bool{}
	for _, u := range w.units {
		if u.Test {
			continue
		}
		lines[u.Target] += strings.Count(string(u.File.Src[u.Start:u.End]), "\n")
		if nfile[u.Target] == nil {
			nfile[u.Target] = map[string]bool{}
		}
		nfile[u.Target][u.File.NewBase] = true
	}
	adj := map[string][]string{}
	for e := range es {
		adj[e.from] = append(adj[e.from], e.to)
	}
	comp := scc(adj)
	// floors
	var names []string
	for t := range lines {
		names = append(names, t)
	}
	sort.Strings(names)
	depth := map[string]int{}
	var d func(string, map[string]bool) int
	d = func(t string, on map[string]bool) int {
		if v, ok := depth[t]; ok {
			return v
		}
		if on[t] {
			return 0
		}
		on[t] = true
		m := 0
		for _, x := range adj[t] {
			if comp[x] != comp[t] || x == t {
				m = max(m, d(x, on)+1)
			}
		}
		depth[t] = m
		return m
	}
	for _, t := range names {
		d(t, map[string]bool{})
	}
	sort.SliceStable(names, func(i, j int) bool { return depth[names[i]] < depth[names[j]] })
	for _, t := range names {
		sort.Strings(adj[t])
		fmt.Printf("%2d %-28s %5d lines %3d files → %s\n", depth[t], t, lines[t], len(nfile[t]), strings.Join(adj[t], " "))
	}
	groups := map[int][]string{}
	for t, c := range comp {
		groups[c] = append(groups[c], t)
	}
	for _, g := range groups {
		if len(g) < 2 {
			continue
		}
		sort.Strings(g)
		fmt.Println("\nCYCLE", g)
		in := map[string]bool{}
		for _, t := range g {
			in[t] = true
		}
		type el struct {
			e edge
			n int
		}
		var l []el
		for e := range es {
			if in[e.from] && in[e.to] {
				l = append(l, el{e, len(uniq(es[e]))})
			}
		}
		sort.Slice(l, func(i, j int) bool { return l[i].n < l[j].n || l[i].n == l[j].n && fmt.Sprint(l[i].e) < fmt.Sprint(l[j].e) })
		for _, x := range l {
			fmt.Printf("  %s → %s (%d)\n", x.e.from, x.e.to, x.n)
			for i, s := range uniq(es[x.e]) {
				if i == 12 {
					fmt.Println("      …")
					break
				}
				fmt.Println("     ", s)
			}
		}
	}
	conv := 0
	for _, u := range w.units {
		if u.FuncConv {
			conv++
		}
	}
	fmt.Println("methods that become functions:", conv)
}

func uniq(l []string) []string {
	seen := map[string]bool{}
	var out []string
	for _, s := range l {
		if !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	sort.Strings(out)
	return out
}

func scc(adj map[string][]string) map[string]int {
	index, low, on := map[string]int{}, map[string]int{}, map[string]bool{}
	comp := map[string]int{}
	var stack []string
	n, c := 0, 0
	var visit func(string)
	visit = func(v string) {
		n++
		index[v], low[v] = n, n
		stack = append(stack, v)
		on[v] = true
		for _, x := range adj[v] {
			if index[x] == 0 {
				visit(x)
				low[v] = min(low[v], low[x])
			} else if on[x] {
				low[v] = min(low[v], index[x])
			}
		}
		if low[v] == index[v] {
			c++
			for {
				x := stack[len(stack)-1]
				stack = stack[:len(stack)-1]
				on[x] = false
				comp[x] = c
				if x == v {
					break
				}
			}
		}
	}
	var keys []string
	for k := range adj {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		if index[k] == 0 {
			visit(k)
		}
	}
	return comp
}
