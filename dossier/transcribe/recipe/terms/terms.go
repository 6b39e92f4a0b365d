package terms

import (
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/ingredients/pattern"
)

// Terms reads the words of formulas in one document.
type Terms struct {
	Words  *lexicon.Lexicon
	Dose   *dose.Reader // of text: by the document's decimal sign
	stored *dose.Reader // of numbers as stored
}

// New reads the words of a document with these texts.
func New(words *lexicon.Lexicon, texts []string) *Terms {
	return &Terms{Words: words, Dose: &dose.Reader{Words: words, Habit: figure.LearnHabit(texts)},
		stored: &dose.Reader{Words: words, Habit: figure.Point}}
}

// Is says whether a folded text is a word of a subject with a key.
func (d *Terms) Is(subject, key, folded string) bool { return d.Words.Is(subject, key, folded) }

// Holds says whether a word of a subject with a key stands in a folded text.
func (d *Terms) Holds(subject, key, folded string) bool { return d.Words.Holds(subject, key, folded) }

// Starts says whether a folded text begins with a word of a subject with a key.
func (d *Terms) Starts(subject, key, folded string) bool { return d.Words.Starts(subject, key, folded) }

// WithoutBraces is a text without what stands in brackets.
func WithoutBraces(s string) string { return headBraces.ReplaceAllString(s, " ") }

// IsLabel says whether a text is the label of a statement beside the formula:
// "Batch size", "Version".
func (d *Terms) IsLabel(s string) bool {
	return len(d.Words.All("formula label", lexicon.Fold(WithoutBraces(s)))) > 0
}

// LabelKey is what a label is about, empty for what is none.
func (d *Terms) LabelKey(s string) string {
	for _, e := range d.Words.All("formula label", lexicon.Fold(WithoutBraces(s))) {
		return e.Key
	}
	return ""
}

// TypeOf finds the type of product that a folded text names.
func (d *Terms) TypeOf(folded string) string {
	e, _, ok := d.Words.Find("formula type", folded)
	if !ok {
		e, _, ok = d.Words.Find("formula type", strings.TrimSuffix(folded, "s"))
	}
	if !ok {
		return ""
	}
	return e.Key
}

// StartsStep says whether a text begins like a sentence of the work or a letter.
func (d *Terms) StartsStep(s string) bool {
	words := strings.Fields(lexicon.Fold(s))
	if len(words) == 0 {
		return false
	}
	return d.isStep(words[0]) || len(words) > 1 && d.isStep(words[0]+" "+words[1])
}

func (d *Terms) isStep(word string) bool { return d.Is("formula word", "step", word) }

// Amount reads a cell as an amount. A number as stored has its point whatever the
// language.
func (d *Terms) Amount(c raw.Cell) (dose.Amount, bool) {
	if c.Text == "" {
		return dose.Amount{None: true}, true
	}
	if c.Number {
		a, ok := d.stored.Parse(c.Text)
		a.Printed = c.Text
		return a, ok
	}
	return d.Dose.Parse(c.Text)
}

var phValue = lexicon.Pattern(`(?i)\bpH\b[^\d]{0,24}?` +
	`(\d{1,2}(?:[.,]\d+)?(?:\s*(?:-|–|<<to>>)\s*\d{1,2}(?:[.,]\d+)?)?)`)

// PHIn finds the pH that a text names, or its range.
func PHIn(s string) string {
	if m := phValue().FindStringSubmatch(s); m != nil {
		return m[1]
	}
	return ""
}

// IsLetter says whether a cell holds the letter or the number of a phase alone.
func IsLetter(s string) bool { return letter.MatchString(s) }

var letter = pattern.New(`^[A-Ha-h1-9]$|^[IV]{1,3}$`)

// IsDigits says whether a text is figures alone.
func IsDigits(s string) bool { return digitsOnly.MatchString(s) }

var digitsOnly = pattern.New(`^[\d ]+$`)
