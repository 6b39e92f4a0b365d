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

// Tables are the tables of this package, read once and never changed.
type Tables struct {
	Endpoints  []*Endpoint
	PartB      []*Item
	impurities []*Impurity
	doses      []*Dose
	rules      []*rule

	classes map[string]*Class   // by CAS number
	limits  map[string][]*Limit // by CAS number
	States  []state
}

// state says which state of a table the program holds.
type state struct {
	Name       string
	Rows       int
	Unverified int    // rows not, or not wholly, read in their source
	SHA256     string // of the table's bytes
}

// Builtin returns the tables inside the program, read at the first call. It panics where
// one cannot be read, which the tests of this package rule out.
func Builtin() *Tables {
	t, err := builtin()
	if err != nil {
		panic(err)
	}
	return t
}

var builtin = sync.OnceValues(func() (*Tables, error) {
	return read(func(file string) ([]byte, error) { return embedded.ReadFile("data/" + file) })
})

// read reads the tables that a function gives by their names.
//
// Errors: those of the function, and every fault of every table, each a *rows.TableError.
func read(give func(file string) ([]byte, error)) (*Tables, error) {
	t := &Tables{classes: map[string]*Class{}, limits: map[string][]*Limit{}}
	var classes []*Class
	var limits []*Limit
	err := errors.Join(
		load(t, give, "endpoints.csv", readEndpoints, &t.Endpoints),
		load(t, give, "expected-impurities.csv", readImpurities, &t.impurities),
		load(t, give, "hazard-classes.csv", readClasses, &classes),
		load(t, give, "hazard-limits.csv", readLimits, &limits),
		load(t, give, "part-b.csv", readPartB, &t.PartB),
		load(t, give, "profile-rules.csv", readRules, &t.rules),
		load(t, give, "sensitisation.csv", readDoses, &t.doses),
	)
	for _, c := range classes {
		t.classes[c.CAS] = c
	}
	for _, l := range limits {
		t.limits[l.CAS] = append(t.limits[l.CAS], l)
	}
	return t, err
}

func load[T interface{ TableRow() *rows.Row }](t *Tables, give func(string) ([]byte, error), file string,
	read func(string, string) ([]T, error), into *[]T) error {
	data, err := give(file)
	if err != nil {
		return err
	}
	list, err := read(file, string(data))
	*into = list
	sum := sha256.Sum256(data)
	state := state{Name: file, Rows: len(list), SHA256: hex.EncodeToString(sum[:])}
	for _, row := range list {
		if row.TableRow().FromMemory() {
			state.Unverified++
		}
	}
	t.States = append(t.States, state)
	return err
}
