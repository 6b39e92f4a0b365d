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
	calls     int
	took      time.Duration // with what it calls
	questions map[uint64]bool
	answers   map[uint64]bool
}

// repeated is how long calls took whose question, or whose answer, was there before.
type repeated struct{ asked, given time.Duration }

// notes are those of a run. Only the build that notes has any.
var notes = struct {
	mu     sync.Mutex
	of     map[string]*noted
	seed   maphash.Seed
	began  time.Time
	noting time.Duration // how long taking notes took
	open   []repeated    // of the calls that go on, what is known of calls within
	all    repeated      // each moment once
}{seed: maphash.MakeSeed()}

// Begin begins a run: what was noted before is forgotten.
func Begin() {
	notes.mu.Lock()
	defer notes.mu.Unlock()
	notes.of, notes.began, notes.noting = map[string]*noted{}, time.Now(), 0
	notes.open, notes.all = nil, repeated{}
}

// Start begins a call of a function with what it is asked, its receiver first; what it
// returns ends the call with its answers.
func Start(name string, question ...any) func(answers ...any) {
	before := time.Now()
	asked := sumOf(question)
	notes.mu.Lock()
	notes.open = append(notes.open, repeated{})
	notes.noting += time.Since(before)
	noting := notes.noting
	notes.mu.Unlock()
	start := time.Now()
	return func(answers ...any) {
		end := time.Now()
		given := sumOf(answers)
		notes.mu.Lock()
		defer notes.mu.Unlock()
		within := notes.open[len(notes.open)-1]
		notes.open = notes.open[:len(notes.open)-1]
		if notes.of == nil { // what is made before a run is none of it
			return
		}
		n := notes.of[name]
		if n == nil {
			n = &noted{questions: map[uint64]bool{}, answers: map[uint64]bool{}}
			notes.of[name] = n
		}
		took := end.Sub(start) - (notes.noting - noting)
		if n.questions[asked] {
			within.asked = took
		}
		if n.answers[given] {
			within.given = took
		}
		outer := &notes.all
		if last := len(notes.open) - 1; last >= 0 {
			outer = &notes.open[last]
		}
		outer.asked, outer.given = outer.asked+within.asked, outer.given+within.given
		n.calls, n.took = n.calls+1, n.took+took
		n.questions[asked], n.answers[given] = true, true
		notes.noting += time.Since(end)
	}
}

func sumOf(values []any) uint64 {
	h := &maphash.Hash{}
	h.SetSeed(notes.seed)
	for _, v := range values {
		write(h, reflect.ValueOf(v), 0)
	}
	return h.Sum64()
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
	fmt.Fprintf(to, "%14s %10s %10s %8s  %s\n", "calls a result", "questions", "answers", "time", "function")
	for _, name := range names {
		n := notes.of[name]
		fmt.Fprintf(to, "%14.2f %10d %10d %7.1f%%  %s\n", float64(n.calls)/float64(results), len(n.questions),
			len(n.answers), 100*float64(n.took)/float64(whole), name)
	}
	fmt.Fprintf(to, "of %d results: %.0f%% of the time went to questions asked before, %.0f%% to answers given before\n",
		results, 100*float64(notes.all.asked)/float64(whole), 100*float64(notes.all.given)/float64(whole))
}

// receivers are told apart by where they are.
type receiver struct{ at uintptr }

// Of is a receiver as part of a question: where it is, if it is a pointer.
func Of(r any) any {
	if v := reflect.ValueOf(r); v.Kind() == reflect.Pointer {
		return receiver{v.Pointer()}
	}
	return r
}
