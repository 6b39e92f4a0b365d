package names

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Plant is what a name says of a plant material.
type Plant struct {
	Of          string   // the plant as named before part and preparation, in small letters
	Parts       []string // classes of the parts named, in order; none where the name gives none
	Preparation []string // classes of the preparation; two for "oil/extract"
	won         []string // the words for it, each in the singular
}

// Latin returns genus and species where the name begins with two words that
// could be them; "" otherwise.
func (p *Plant) Latin() string {
	if p == nil {
		return ""
	}
	w := strings.Fields(p.Of)
	if len(w) < 2 {
		return ""
	}
	return w[0] + " " + w[1]
}

// plantIn reads plant, part and preparation from a name; nil where it names neither
// part nor preparation, and for a refinery stream: Distillates (petroleum) are of no plant.
func (v *vocabulary) plantIn(name string) *Plant {
	if !v.mayBePlant(name) {
		return nil
	}
	if strings.ContainsRune(name, '(') {
		low := strings.ToLower(name)
		if slices.ContainsFunc(v.origins, func(o string) bool { return strings.Contains(low, o) }) {
			return nil
		}
	}
	return v.plantOf(withoutBrackets(name))
}

// mayBePlant says whether a name may hold a word for a part or a preparation, brackets
// counted in: most names of the law hold none, and need not be cut into pieces.
func (v *vocabulary) mayBePlant(name string) bool {
	var room [32]byte // for the words of most names
	word := room[:0]
	for i := range len(name) + 1 {
		b := byte(' ')
		if i < len(name) {
			b = name[i]
		}
		switch {
		case b >= utf8.RuneSelf:
			return true // let the reader of all letters decide
		case 'A' <= b && b <= 'Z':
			word = append(word, b+'a'-'A')
		case 'a' <= b && b <= 'z':
			word = append(word, b)
		default:
			if _, ok := v.plant[string(word)]; ok {
				return true
			}
			word = room[:0]
		}
	}
	return false
}

// plantOf reads plant, part and preparation from a name without brackets; nil
// where it names neither part nor preparation.
func (v *vocabulary) plantOf(name string) *Plant {
	p := &Plant{}
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return !unicode.IsLetter(r) && r != '-' && r != '\'' && r != '’' && r != '.'
	})
	var of []string
	for i, w := range words {
		bare := strings.Trim(w, ".")
		known, ok := v.plant[bare]
		switch {
		case !ok || i == 0:
			of = append(of, w)
		case known.part:
			p.Parts = appendNew(p.Parts, known.class)
		default:
			p.Preparation = appendNew(p.Preparation, known.class)
			p.won = appendNew(p.won, strings.TrimSuffix(bare, "s"))
		}
	}
	if len(of) == 0 || len(p.Parts)+len(p.Preparation) == 0 {
		return nil
	}
	p.Of = strings.Join(of, " ")
	slices.Sort(p.Parts)
	slices.Sort(p.Preparation)
	return p
}

func appendNew(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

// Fit says whether a plant material can be what an entry names.
type Fit int

// The answers.
const (
	Fits   Fit = iota // same part and preparation, or the entry asks for none
	Open              // the name does not say what the entry asks for
	Unfits            // another part or another preparation
)

// FitsEntry compares a material with the name an entry of the law gives: part by
// part and preparation by preparation. Whoever asks has settled that both are of
// the same plant. A nil material says nothing; a nil entry asks for nothing.
func FitsEntry(material, entry *Plant) Fit {
	if entry == nil {
		return Fits
	}
	if material == nil {
		return Open
	}
	fit := max(overlap(material.Parts, entry.Parts), overlap(material.Preparation, entry.Preparation))
	if fit == Fits && overlap(material.won, entry.won) != Fits {
		return Open // of one class, under another word: an extract need not be an absolute
	}
	return fit
}

func overlap(have, asked []string) Fit {
	switch {
	case len(asked) == 0:
		return Fits
	case len(have) == 0, slices.Contains(have, "whole"):
		return Open
	case slices.ContainsFunc(have, func(s string) bool { return slices.Contains(asked, s) }):
		return Fits
	}
	return Unfits
}

func withoutBrackets(name string) string {
	if !strings.ContainsAny(name, brackets) {
		return strings.Join(strings.Fields(name), " ")
	}
	var out strings.Builder
	for _, p := range Read(name) {
		if p.Kind != Bracket {
			out.WriteString(p.Text)
		}
	}
	return strings.Join(strings.Fields(out.String()), " ")
}
