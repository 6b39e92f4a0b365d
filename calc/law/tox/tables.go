package tox

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"sync"

	"gallipot/calc/law/rows"
)

//go:embed data/*.csv
var embedded embed.FS

// Tables are the tables of this package, each read when it is first asked for, and never
// changed.
type Tables struct {
	endpoints  func() read[*Endpoint]
	partB      func() read[*Item]
	impurities func() read[*Impurity]
	doses      func() read[*Dose]
	rules      func() read[*rule]
	classRows  func() read[*Class]
	limitRows  func() read[*Limit]

	classes func() map[string]*Class   // by CAS number
	limits  func() map[string][]*Limit // by CAS number
}

// Endpoints are the endpoints of a toxicological profile, in the order of the table.
func (t *Tables) Endpoints() []*Endpoint { return t.endpoints().must() }

// PartB are the items of Part B, in the order of the table.
func (t *Tables) PartB() []*Item { return t.partB().must() }

// state says which state of a table the program holds.
type state struct {
	Name       string
	Rows       int
	Unverified int    // rows not, or not wholly, read in their source
	SHA256     string // of the table's bytes
}

// States says of every table what the program holds.
func (t *Tables) States() []state {
	return []state{t.endpoints().state(), t.impurities().state(), t.classRows().state(), t.limitRows().state(),
		t.partB().state(), t.rules().state(), t.doses().state()}
}

// faults reads every table.
//
// Errors: every fault of every table, each a *rows.TableError.
func (t *Tables) faults() error {
	return errors.Join(t.endpoints().err, t.impurities().err, t.classRows().err, t.limitRows().err,
		t.partB().err, t.rules().err, t.doses().err)
}

// Builtin returns the tables inside the program. Asking for one that cannot be read
// panics, which the tests of this package rule out.
func Builtin() *Tables { return builtin() }

var builtin = sync.OnceValue(func() *Tables {
	return tablesOf(func(file string) ([]byte, error) { return embedded.ReadFile("data/" + file) })
})

// tablesOf are the tables that a function gives by their names.
func tablesOf(give func(file string) ([]byte, error)) *Tables {
	t := &Tables{
		endpoints: once(give, "endpoints.csv", readEndpoints), partB: once(give, "part-b.csv", readPartB),
		impurities: once(give, "expected-impurities.csv", readImpurities),
		doses:      once(give, "sensitisation.csv", readDoses), rules: once(give, "profile-rules.csv", readRules),
		classRows: once(give, "hazard-classes.csv", readClasses),
		limitRows: once(give, "hazard-limits.csv", readLimits),
	}
	t.classes = sync.OnceValue(func() map[string]*Class {
		m := map[string]*Class{}
		for _, c := range t.classRows().must() {
			m[c.CAS] = c
		}
		return m
	})
	t.limits = sync.OnceValue(func() map[string][]*Limit {
		m := map[string][]*Limit{}
		for _, l := range t.limitRows().must() {
			m[l.CAS] = append(m[l.CAS], l)
		}
		return m
	})
	return t
}

// read is a table that was read.
type read[T interface{ TableRow() *rows.Row }] struct {
	name string
	text []byte
	rows []T
	err  error
}

func once[T interface{ TableRow() *rows.Row }](give func(string) ([]byte, error), file string,
	parse func(string, string) ([]T, error)) func() read[T] {
	return sync.OnceValue(func() read[T] {
		r := read[T]{name: file}
		if r.text, r.err = give(file); r.err == nil {
			r.rows, r.err = parse(file, string(r.text))
		}
		return r
	})
}

// must returns the rows; it panics on a table that cannot be read.
func (r read[T]) must() []T {
	if r.err != nil {
		panic(r.err)
	}
	return r.rows
}

func (r read[T]) state() state {
	sum := sha256.Sum256(r.text)
	s := state{Name: r.name, Rows: len(r.must()), SHA256: hex.EncodeToString(sum[:])}
	for _, row := range r.must() {
		if row.TableRow().FromMemory() {
			s.Unverified++
		}
	}
	return s
}
