package condition

import (
	"bytes"
	"cmp"
	_ "embed"
	"encoding/csv"
	"strings"
	"sync"
)

// Words says where a rule holds, to follow "allowed" or "not permitted": "in leave-on
// products for the skin, except lip products".
func (c Condition) Words() string {
	var w phrase
	for _, cl := range c.Clauses {
		w.add(cl)
	}
	return w.String()
}

// phrase gathers the parts of a condition by their place in the sentence.
type phrase struct {
	function []string // as a preservative
	form     []string // as the nano form
	kind     []string // rinse-off, leave-on
	nouns    []string // shampoos or body lotions
	purpose  []string // for the skin
	except   []string
}

func (w *phrase) add(c Clause) {
	var words []string
	for _, t := range c.Terms {
		words = append(words, t.words())
	}
	joined := joinOr(words)
	t := c.Terms[0]
	switch {
	case c.Except:
		w.except = append(w.except, words...)
	case t.Kind == "all":
	case t.Kind == "rinse-off", t.Kind == "leave-on":
		w.kind = append(w.kind, strings.TrimSuffix(joined, " products"))
	case t.Kind == "product":
		w.nouns = append(w.nouns, joined)
	case t.Kind == "spray", t.Kind == "aerosol", t.Kind == "propellant-spray", t.Kind == "pump-spray",
		t.Kind == "loose-powder", t.Kind == "claim":
		if len(w.nouns) > 0 {
			w.purpose = append(w.purpose, "that are "+joined)
		} else {
			w.nouns = append(w.nouns, joined)
		}
	case t.Kind == "area", t.Kind == "population":
		w.purpose = append(w.purpose, "for "+strings.ReplaceAll(strings.ReplaceAll(joined, "products for ", ""),
			"for ", ""))
	case t.Kind == "function":
		w.function = append(w.function, strings.TrimPrefix(joined, "use "))
	case t.Kind == "inhalable":
		w.purpose = append(w.purpose, "that users can breathe in")
	case t.Kind == "professional":
		w.purpose = append(w.purpose, "for professional use")
	case t.Kind == "released-formaldehyde>":
		w.purpose = append(w.purpose, "that release "+strings.ReplaceAll(joined, " released", ""))
	default:
		w.form = append(w.form, "as "+joined)
	}
}

// String puts the parts into one phrase.
func (w *phrase) String() string {
	nouns := "products"
	if len(w.nouns) > 0 {
		nouns = strings.Join(w.nouns, " that are also ")
	}
	text := "in " + strings.Join(append(append(append([]string{}, w.kind...), nouns), w.purpose...), " ")
	switch plain := text == "in products"; {
	case plain && len(w.except) == 0:
		text = "in any product"
	case plain:
		text = "in products other than " + those(joinAnd(w.except))
	case len(w.except) > 0:
		text += ", except " + joinAnd(w.except)
	}
	return strings.Join(append(append(append([]string{}, w.function...), w.form...), text), " ")
}

// those avoids saying products twice.
func those(words string) string {
	if rest, ok := strings.CutPrefix(words, "products "); ok {
		return "those " + rest
	}
	return words
}

func joinOr(words []string) string  { return join(words, " or ") }
func joinAnd(words []string) string { return join(words, " and ") }

func join(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + last + words[len(words)-1]
}

// Words says what one clause asks for, such as "for rinse-off products" or "not for
// oral products".
func (c Clause) Words() string {
	var items []string
	for _, t := range c.Terms {
		items = append(items, t.words())
	}
	if c.Except {
		return "not for " + joinOr(items)
	}
	return "for " + joinOr(items)
}

// wordTable words the terms: kind, value and words; a term that stands alone has no value.
//
//go:embed words.csv
var wordTable []byte

// term is what words.csv has a line for.
type term struct{ kind, value string }

// inWords are the lines of words.csv.
var inWords = sync.OnceValue(func() map[term]string {
	all, err := csv.NewReader(bytes.NewReader(wordTable)).ReadAll()
	if err != nil {
		panic("words.csv: " + err.Error()) // it is part of the program
	}
	m := map[term]string{}
	for _, r := range all[1:] {
		m[term{r[0], r[1]}] = r[2]
	}
	return m
})

// words is a term in words; one that the table does not have reads as it stands.
func (t Term) words() string {
	said := inWords()[term{t.Kind, t.Value}]
	switch t.Kind {
	case "released-formaldehyde>":
		return "more than " + t.Over.Exact() + " % released formaldehyde"
	case "butadiene>=":
		return "material with " + t.Over.Exact() + " % butadiene or more"
	case "area", "population":
		return "products for " + cmp.Or(said, t.Value)
	}
	if t.Value == "" {
		return cmp.Or(said, t.Kind)
	}
	return cmp.Or(said, strings.ReplaceAll(t.Value, "-", " ")+t.plural())
}

// plural makes a product code plural.
func (t Term) plural() string {
	if t.Kind != "product" || strings.HasSuffix(t.Value, "s") {
		return ""
	}
	return "s"
}
