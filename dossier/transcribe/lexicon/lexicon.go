package lexicon

import (
	"cmp"
	_ "embed"
	"encoding/csv"
	"fmt"
	"iter"
	"maps"
	"slices"
	"strings"
)

// The two long tables are in the program as they come out of Pack; testdata/ready packs them.
var (
	//go:embed words.csv.gz
	packedWords []byte
	//go:embed formulas.csv.gz
	packedFormulas []byte
)

//go:embed allergens.csv
var allergensTable string

//go:embed units.csv
var unitsTable string

// Entry is a word with what it means.
type Entry struct {
	Subject, Key, Language string
	Word                   string // folded
	Printed                string // as it stands in the table
}

// Lexicon answers what words mean. It does not change after Load.
type Lexicon struct {
	bySubject map[string]map[string][]Entry // subject → folded word → entries
	longest   map[string][]Entry            // subject → entries, the longest word first
	allergens map[string]Allergen
	units     []Unit
}

// Allergen is the key of a declarable allergen; Member names the substance of a
// group that a printed name means, empty where it means the whole.
type Allergen struct{ Key, Member string }

// Unit is a unit of measure; Divisor turns a figure into per cent of mass, 0 where
// it is none.
type Unit struct {
	Name    string
	Printed string
	Divisor int64
}

// Load reads the tables that are built in.
func Load() (*Lexicon, error) {
	l := &Lexicon{bySubject: map[string]map[string][]Entry{}, longest: map[string][]Entry{},
		allergens: map[string]Allergen{}}
	// of other subjects each
	for name, text := range map[string]string{"words.csv": unpacked(packedWords), "formulas.csv": unpacked(packedFormulas)} {
		if err := l.loadWords(name, text); err != nil {
			return nil, err
		}
	}
	for _, entries := range l.longest {
		slices.SortStableFunc(entries, func(a, b Entry) int { return cmp.Compare(len(b.Word), len(a.Word)) })
	}
	if err := l.loadAllergens(); err != nil {
		return nil, err
	}
	return l, l.loadUnits()
}

func (l *Lexicon) loadWords(name, text string) error {
	rows, err := table(text, 5)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	for _, r := range rows {
		for _, w := range strings.Split(r[3], "|") {
			e := Entry{Subject: r[0], Key: r[1], Language: r[2], Word: Fold(w), Printed: w}
			if e.Word == "" && w != "%" {
				return fmt.Errorf("%s: empty word at %s %s", name, r[0], r[1])
			}
			if l.bySubject[e.Subject] == nil {
				l.bySubject[e.Subject] = map[string][]Entry{}
			}
			l.bySubject[e.Subject][e.Word] = append(l.bySubject[e.Subject][e.Word], e)
			l.longest[e.Subject] = append(l.longest[e.Subject], e)
		}
	}
	return nil
}

func table(text string, columns int) ([][]string, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = columns
	rows, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	return rows[1:], nil
}

func (l *Lexicon) loadAllergens() error {
	rows, err := table(allergensTable, 4)
	if err != nil {
		return fmt.Errorf("allergens.csv: %w", err)
	}
	for _, r := range rows {
		for _, w := range strings.Split(r[2], "|") {
			a := Allergen{r[0], r[1]}
			if old, ok := l.allergens[Fold(w)]; ok && old != a {
				return fmt.Errorf("allergens.csv: %q means %v and %v", w, old, a)
			}
			l.allergens[Fold(w)] = a
		}
	}
	return nil
}

func (l *Lexicon) loadUnits() error {
	rows, err := table(unitsTable, 5)
	if err != nil {
		return fmt.Errorf("units.csv: %w", err)
	}
	for _, r := range rows {
		var divisor int64
		if r[2] != "" {
			if _, err := fmt.Sscan(r[2], &divisor); err != nil {
				return fmt.Errorf("units.csv: %s: %w", r[0], err)
			}
		}
		for _, w := range strings.Split(r[3], "|") {
			l.units = append(l.units, Unit{r[0], w, divisor})
		}
	}
	slices.SortStableFunc(l.units, func(a, b Unit) int { return cmp.Compare(len(b.Printed), len(a.Printed)) })
	return nil
}

// Exact finds what a text as a whole means in a subject; ok is false where the
// text is not a word of it.
func (l *Lexicon) Exact(subject, text string) (e Entry, ok bool) {
	es := l.bySubject[subject][Fold(text)]
	if len(es) == 0 {
		return e, false
	}
	return es[0], true
}

// All gives every meaning of a text in a subject.
func (l *Lexicon) All(subject, text string) []Entry { return l.bySubject[subject][Fold(text)] }

// Find gives the longest word of a subject that stands in the folded text as whole
// words, and where.
func (l *Lexicon) Find(subject, folded string) (e Entry, at int, ok bool) {
	for _, e := range l.longest[subject] {
		if i := wordAt(folded, e.Word); i >= 0 {
			return e, i, true
		}
	}
	return e, -1, false
}

// Prefix gives the longest word of a subject with which the folded text begins.
func (l *Lexicon) Prefix(subject, folded string) (e Entry, ok bool) {
	for _, e := range l.longest[subject] {
		if folded == e.Word || strings.HasPrefix(folded, e.Word+" ") {
			return e, true
		}
	}
	return e, false
}

// Each gives the words of a subject, the longest first.
func (l *Lexicon) Each(subject string) []Entry { return l.longest[subject] }

// Holds says whether a word or words stand in a folded text, from blank to blank.
func Holds(folded, word string) bool { return wordAt(folded, word) >= 0 }

// wordAt finds a word or words in a folded text, from blank to blank.
func wordAt(folded, word string) int {
	for from := 0; ; {
		i := strings.Index(folded[from:], word)
		if i < 0 {
			return -1
		}
		i += from
		end := i + len(word)
		if (i == 0 || folded[i-1] == ' ') && (end == len(folded) || folded[end] == ' ') {
			return i
		}
		from = i + 1
	}
}

// Allergen says which allergen a printed name means.
func (l *Lexicon) Allergen(name string) (Allergen, bool) {
	a, ok := l.allergens[Fold(name)]
	return a, ok
}

// AllergenNames gives the names that [Lexicon.Allergen] knows, folded.
func (l *Lexicon) AllergenNames() iter.Seq[string] { return maps.Keys(l.allergens) }

// Units lists the units, the longest spelling first.
func (l *Lexicon) Units() []Unit { return l.units }

// Language guesses the language of a text from its commonest words and from words
// that papers use; empty where nothing tells.
func (l *Lexicon) Language(text string) string {
	counts := map[string]int{}
	for _, w := range strings.Fields(Fold(text)) {
		for _, e := range l.bySubject["common"][w] {
			counts[e.Language] += 2
		}
		for _, s := range []string{"label", "head", "property", "status"} {
			one := ""
			for _, e := range l.bySubject[s][w] {
				if one != "" && one != e.Language || e.Language == "*" {
					one = "*"
					break
				}
				one = e.Language
			}
			if one != "" && one != "*" {
				counts[one]++
			}
		}
	}
	folded := Fold(text)
	for _, s := range []string{"kind", "section", "label", "property"} {
		for _, e := range l.longest[s] {
			if e.Language != "*" && strings.Contains(e.Word, " ") && wordAt(folded, e.Word) >= 0 {
				counts[e.Language] += 3
			}
		}
	}
	best, most := "", 0
	for _, lang := range []string{"en", "de", "fr", "it", "es", "nl", "pl"} {
		if counts[lang] > most {
			best, most = lang, counts[lang]
		}
	}
	return best
}
