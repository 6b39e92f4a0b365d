// Package phrases words what the reading of papers and formulas has to say: questions,
// warnings, rules and remarks by their code, from the tables in templates/papers.
package phrases

import (
	"encoding/csv"
	"fmt"
	"strings"
	"sync"

	"gallipot/templates"
)

// Phrase is what a code says. Kind is "ask" or "warning" where the code alone decides
// that, "part" for a part of a sentence; Fix is the one thing to do.
type Phrase struct{ Kind, Text, Fix string }

// Table holds phrases by code. It does not change.
type Table map[string]Phrase

// The tables, each read when it is first needed.
var (
	files     = sync.OnceValue(func() Table { return read("files.csv") })
	questions = sync.OnceValue(func() Table { return read("questions.csv") })
	formulas  = sync.OnceValue(func() Table { return read("formulas.csv") })
	told      = sync.OnceValue(func() Table { return read("told.csv") })
)

// Files words what is wrong with a file.
func Files() Table { return files() }

// Questions words what is asked and said about a paper, and the rules by which a value
// was read.
func Questions() Table { return questions() }

// Formulas words what is asked and said about an old formula.
func Formulas() Table { return formulas() }

// Told words what is printed beside a reading, written into a new sheet, or said of a
// value that was typed.
func Told() Table { return told() }

func read(name string) Table {
	f, err := templates.Papers().Open(name)
	if err != nil {
		panic(err) // built in
	}
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("%s: %v", name, err)) // built in
	}
	out := Table{}
	for _, r := range rows[1:] {
		if _, twice := out[r[0]]; twice {
			panic(fmt.Sprintf("%s: %s stands there twice", name, r[0]))
		}
		out[r[0]] = Phrase{Kind: r[1], Text: r[2], Fix: r[3]}
	}
	return out
}

// Say puts values into the text of a code: name, value, name, value … A code without
// words says itself.
func (t Table) Say(code string, values ...string) string {
	p, ok := t[code]
	if !ok {
		return strings.TrimSpace(code + " " + strings.Join(values, " "))
	}
	pairs := make([]string, len(values))
	for i := 0; i+1 < len(values); i += 2 {
		pairs[i], pairs[i+1] = "{"+values[i]+"}", values[i+1]
	}
	return strings.NewReplacer(pairs...).Replace(p.Text)
}
