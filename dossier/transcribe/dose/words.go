package dose

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/pattern"
)

var (
	phWord     = pattern.New(`(?i)(^|[^a-z])ph([^a-z]|$)`)
	hundred    = lexicon.Pattern(`\b100( 0+)?( <<percent>>| g g)?$`)
	aroundIn   = lexicon.Pattern(`(?i)(?:<<about>>|~)\s*([\d.,]+)`)
	atMostIn   = lexicon.Pattern(`(?i)^(?:<<at most>>|<=?|≤)\s*([\d.,]+)\s*%?`)
	percentEnd = lexicon.Pattern(` <<percent>>$`)
	braced     = pattern.New(`\s*[(\[].*$`)
)

// words reads the words that stand for an amount.
func (r *Reader) words(a *Amount, s string) bool {
	folded := lexicon.Fold(s)
	head := lexicon.Fold(braced.ReplaceAllString(s, ""))
	note := ""
	if i := strings.IndexAny(s, "(["); i > 0 {
		note = strings.Trim(s[i:], "()[] ")
	}
	switch {
	case r.toPH(folded, s):
		a.QS, a.Note = ToPH, s
		if m := aroundIn().FindStringSubmatch(s); m != nil {
			a.Around = m[1]
		}
		if m := atMostIn().FindStringSubmatch(s); m != nil {
			if n, open, _, ok := r.number(m[1], true); ok && !open {
				a.High = n
			}
		}
	case r.rest(head) || r.rest(folded):
		a.QS, a.Note = To100, note
	case r.toMass(a, s):
		a.Note = note
	case r.Words.Starts("formula qs", "open", head):
		a.QS = Open
		a.Note = strings.TrimSpace(strings.TrimPrefix(s, s[:min(len(s), r.length("formula qs", "open", s))]))
		a.Note = strings.Trim(a.Note, " ,;()[]-")
		if m := aroundIn().FindStringSubmatch(s); m != nil {
			a.Around = m[1]
		}
	case r.Words.Holds("formula qs", "as-needed", folded) && !strings.ContainsAny(folded, "0123456789"):
		a.QS, a.Note = AsNeeded, s
	default:
		return false
	}
	return true
}

// toPH says whether a text is about bringing a pH.
func (r *Reader) toPH(folded, s string) bool {
	if !phWord.MatchString(s) {
		return false
	}
	return strings.HasPrefix(folded, "ph ") || r.Words.Holds("formula to", "ph", folded)
}

// MeansPH says whether a remark says that a pH decides the amount.
func (r *Reader) MeansPH(text string) bool { s := Plain(text); return r.toPH(lexicon.Fold(s), s) }

// MeansRest says whether a remark says that the line is the rest to 100.
func (r *Reader) MeansRest(text string) bool {
	s := Plain(text)
	return r.rest(lexicon.Fold(braced.ReplaceAllString(s, "")))
}

// AroundIn finds "about 0.1" in a remark.
func AroundIn(text string) string {
	if m := aroundIn().FindStringSubmatch(Plain(text)); m != nil {
		return strings.TrimRight(m[1], ".,")
	}
	return ""
}

func (r *Reader) rest(folded string) bool {
	folded = hundred().ReplaceAllString(folded, "100")
	return r.Words.Is("formula qs", "to-100", percentEnd().ReplaceAllString(folded, ""))
}

// toMass reads "to 500 g", "make up to 1 kg".
func (r *Reader) toMass(a *Amount, s string) bool {
	i := strings.IndexAny(s, "0123456789")
	if i <= 0 {
		return false
	}
	word := lexicon.Fold(s[:i])
	for _, e := range r.Words.All("formula bound", word) {
		if e.Key == "high" {
			return false
		}
	}
	if len(r.Words.All("formula fill", word)) == 0 {
		return false
	}
	n, open, rest, ok := r.number(s[i:], true)
	u, rest := r.unit(rest)
	if !ok || open || n == "" || strings.Trim(braced.ReplaceAllString(rest, ""), " .") != "" {
		return false
	}
	switch u {
	case "g", "kg", "ml", "l", "parts":
		a.QS, a.ToMass = To100, n+" "+u
		return true
	case "%", "":
		if n == "100" {
			a.QS = To100
			return true
		}
	}
	return false
}

// length is how many bytes of a text the word takes with which it begins.
func (r *Reader) length(subject, key, s string) int {
	for i := len(s); i > 0; i-- {
		f := lexicon.Fold(s[:i])
		for _, e := range r.Words.All(subject, f) {
			if e.Key == key {
				for i < len(s) && s[i] == '.' {
					i++
				}
				return i
			}
		}
	}
	return 0
}
