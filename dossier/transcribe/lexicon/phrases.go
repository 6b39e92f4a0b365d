package lexicon

import "strings"

// mostWords is how many words the longest entry has that Holds and Starts look for.
const mostWords = 6

// Is says whether a folded text as a whole is a word of a subject with the key.
func (l *Lexicon) Is(subject, key, folded string) bool {
	for _, e := range l.bySubject[subject][folded] {
		if e.Key == key {
			return true
		}
	}
	return false
}

// Starts says whether a folded text begins with a word of a subject with the key.
func (l *Lexicon) Starts(subject, key, folded string) bool {
	_, ok := l.Leading(subject, key, folded)
	return ok
}

// Leading gives the longest word of a subject with the key with which a folded text
// begins.
func (l *Lexicon) Leading(subject, key, folded string) (word string, ok bool) {
	end := 0
	for n := 0; n < mostWords && end < len(folded); n++ {
		next := strings.IndexByte(folded[end:], ' ')
		if next < 0 {
			end = len(folded)
		} else {
			end += next
		}
		if l.Is(subject, key, folded[:end]) {
			word, ok = folded[:end], true
		}
		end++
	}
	return word, ok
}

// Holds says whether a word of a subject with the key stands in a folded text, from
// blank to blank.
func (l *Lexicon) Holds(subject, key, folded string) bool {
	for from := 0; from < len(folded); {
		if l.Starts(subject, key, folded[from:]) {
			return true
		}
		next := strings.IndexByte(folded[from:], ' ')
		if next < 0 {
			return false
		}
		from += next + 1
	}
	return false
}
