package names

import (
	_ "embed"
	"slices"
	"strings"

	"gallipot/ingredients/namelist"
)

//go:embed data/function-words.csv
var functionWordsCSV string

// Function is what a word for what a material does means.
//
// Source: function-words.csv; the official words are those of the inventory.
type Function struct {
	Word     string
	Official []string // official function words
	Turns    []string // what turns on it, such as "limits=preservative" (data/README.md)
	Source   string   // "official" for an official word
}

// Turn returns the values of one thing that turns on the function: of "limits",
// the functions in the conditions of the limits.
func (f Function) Turn(what string) []string {
	var out []string
	for _, t := range f.Turns {
		if v, ok := strings.CutPrefix(t, what+"="); ok {
			out = append(out, v)
		}
	}
	return out
}

// functionTable holds the customary and the official words by key.
type functionTable struct {
	byKey map[string]*Function
	list  []*Function // customary words in the order of the table, then official ones
}

func (r *Resolver) readFunctions() *functionTable {
	t := &functionTable{byKey: map[string]*Function{}}
	rows, err := rowsOf("function-words.csv", functionWordsCSV, "word", "functions", "turns", "source", "note")
	if err != nil {
		panic(err) // embedded, and tested
	}
	add := func(f *Function) {
		if k := namelist.Key(f.Word); t.byKey[k] == nil {
			t.byKey[k] = f
			t.list = append(t.list, f)
		}
	}
	for _, row := range rows {
		add(&Function{Word: row[0], Official: split(row[1]), Turns: split(row[2]), Source: row[3]})
	}
	for _, f := range r.inventory.Functions() {
		add(&Function{Word: f.Word, Official: []string{f.Word}, Source: "official"})
	}
	return t
}

func split(cell string) []string {
	if cell == "" {
		return nil
	}
	return strings.Split(cell, "|")
}

// Function returns what a word for what a material does means: as it stands, or
// part by part where it joins several (moisturising and conditioning), the first
// part leading. It fails for a word that is in no table.
func (r *Resolver) Function(wording string) (Function, bool) {
	t := r.functions()
	if f := t.byKey[namelist.Key(wording)]; f != nil {
		return *f, true
	}
	if colourIndex(wording) != "" { // the trade gives the number for the function
		return Function{Word: wording, Official: []string{"colorant"}, Turns: []string{"limits=colorant"}}, true
	}
	parts := strings.FieldsFunc(strings.NewReplacer(" and ", "/", " & ", "/", ",", "/", ";", "/", "(", "/", ")",
		"/").Replace(wording), func(c rune) bool { return c == '/' })
	if len(parts) < 2 {
		return t.described(wording)
	}
	out := Function{Word: wording}
	for _, p := range parts {
		if strings.TrimSpace(p) == "" {
			continue
		}
		f := t.byKey[namelist.Key(p)]
		if f == nil {
			return Function{}, false
		}
		for _, o := range f.Official {
			out.Official = appendNew(out.Official, o)
		}
		for _, v := range f.Turns {
			out.Turns = appendNew(out.Turns, v)
		}
	}
	return out, len(out.Official) > 0
}

// described reads a function with words before it that say how: mild preservative.
// A word that denies it makes another word of it.
func (t *functionTable) described(wording string) (Function, bool) {
	words := strings.Fields(strings.ToLower(wording))
	for i := 1; i < len(words); i++ {
		if slices.Contains([]string{"no", "not", "non", "without", "free", "never", "un"}, words[i-1]) {
			return Function{}, false
		}
		if f := t.byKey[namelist.Key(strings.Join(words[i:], " "))]; f != nil {
			return *f, true
		}
	}
	return Function{}, false
}

// Functions returns every function word of the tables: the customary ones in the
// order of their table, then the official ones that are not among them.
func (r *Resolver) Functions() []*Function { return slices.Clone(r.functions().list) }

// NearestFunctions returns at most n function words that may be meant by one that
// is in no table.
func (r *Resolver) NearestFunctions(wording string, n int) []string {
	var words []string
	for _, f := range r.functions().list {
		words = append(words, f.Word)
	}
	var out []string
	for _, h := range listOf(words).Nearest(wording, n) {
		out = append(out, h.Name)
	}
	return out
}
