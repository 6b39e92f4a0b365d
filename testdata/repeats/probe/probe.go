// Package probe notes what functions return, for the build that the command repeats makes.
package probe

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"hash/maphash"
	"io"
	"maps"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"
	"time"
)

// noted is what one function did.
type noted struct {
	calls   int
	took    time.Duration // with what it calls
	answers map[uint64]bool
}

// notes are those of a run. Only the build that notes has any.
var notes = struct {
	mu     sync.Mutex
	of     map[string]*noted
	seed   maphash.Seed
	began  time.Time
	noting time.Duration   // how long taking notes took
	open   []time.Duration // calls that go on: of each, the time of calls within whose answers were given before
	again  time.Duration   // the time of calls whose answers were given before, each moment once
}{seed: maphash.MakeSeed()}

// Begin begins a run: what was noted before is forgotten.
func Begin() {
	notes.mu.Lock()
	defer notes.mu.Unlock()
	notes.of, notes.began, notes.noting = map[string]*noted{}, time.Now(), 0
	notes.open, notes.again = nil, 0
}

// begun notes that a call begins.
func begun() time.Duration {
	notes.mu.Lock()
	defer notes.mu.Unlock()
	notes.open = append(notes.open, 0)
	return notes.noting
}

// Start begins a call; what it returns ends it with the name of the function and its answers.
func Start() func(name string, answers ...any) {
	before, start := begun(), time.Now()
	return func(name string, answers ...any) {
		end := time.Now()
		h := &maphash.Hash{}
		h.SetSeed(notes.seed)
		for _, a := range answers {
			write(h, reflect.ValueOf(a), 0)
		}
		notes.mu.Lock()
		defer notes.mu.Unlock()
		within := notes.open[len(notes.open)-1]
		notes.open = notes.open[:len(notes.open)-1]
		if notes.of == nil { // what is made before a run is none of it
			return
		}
		n := notes.of[name]
		if n == nil {
			n = &noted{answers: map[uint64]bool{}}
			notes.of[name] = n
		}
		took, answer := end.Sub(start)-(notes.noting-before), h.Sum64()
		if n.answers[answer] {
			within = took
		}
		if last := len(notes.open) - 1; last >= 0 {
			notes.open[last] += within
		} else {
			notes.again += within
		}
		n.calls++
		n.took += took
		n.answers[answer] = true
		notes.noting += time.Since(end)
	}
}

// deepest is how many steps an answer is looked into.
const deepest = 7

// write writes what an answer holds.
func write(h *maphash.Hash, v reflect.Value, deep int) {
	var number [8]byte
	put := func(n uint64) {
		binary.LittleEndian.PutUint64(number[:], n)
		_, _ = h.Write(number[:])
	}
	if !v.IsValid() {
		put(0)
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() || deep > deepest || isGiven(v.Type().Elem()) {
			put(uint64(v.Pointer()))
			return
		}
		write(h, v.Elem(), deep+1)
	case reflect.Interface:
		write(h, v.Elem(), deep+1)
	case reflect.Struct:
		for i := range v.NumField() {
			write(h, v.Field(i), deep+1)
		}
	case reflect.Slice, reflect.Array:
		put(uint64(v.Len()))
		for i := range v.Len() {
			write(h, v.Index(i), deep+1)
		}
	case reflect.Map: // memories: what they hold has no order
		put(uint64(v.Len()))
	case reflect.String:
		put(uint64(v.Len()))
		_, _ = h.WriteString(v.String())
	case reflect.Bool:
		put(map[bool]uint64{true: 1}[v.Bool()])
	case reflect.Float32, reflect.Float64:
		put(math.Float64bits(v.Float()))
	default:
		switch {
		case v.CanInt():
			put(uint64(v.Int()))
		case v.CanUint():
			put(v.Uint())
		}
	}
}

// isGiven says whether a type is of what the calculation is given and does not change.
func isGiven(t reflect.Type) bool {
	return strings.Contains(t.PkgPath(), "/law") || strings.HasSuffix(t.PkgPath(), "/source") || t.Name() == "Input" ||
		t.Name() == "Session" || t.Name() == "Workshop"
}

// Print prints what was noted, the most time first.
func Print(to io.Writer, results int) {
	notes.mu.Lock()
	defer notes.mu.Unlock()
	whole := time.Since(notes.began) - notes.noting
	names := slices.SortedFunc(maps.Keys(notes.of), func(a, b string) int {
		return cmp.Or(cmp.Compare(notes.of[b].took, notes.of[a].took), strings.Compare(a, b))
	})
	fmt.Fprintf(to, "%14s %10s %12s %8s  %s\n", "calls a result", "answers", "calls each", "time", "function")
	for _, name := range names {
		n := notes.of[name]
		fmt.Fprintf(to, "%14.2f %10d %12.1f %7.1f%%  %s\n", float64(n.calls)/float64(results), len(n.answers),
			float64(n.calls)/float64(len(n.answers)), 100*float64(n.took)/float64(whole), name)
	}
	fmt.Fprintf(to, "%.0f%% of the time went to answers given before\n", 100*float64(notes.again)/float64(whole))
}
