package transcribe

import (
	"gallipot/dossier/transcribe/declaration"
	"gallipot/dossier/transcribe/lexicon"
)

// starts are the beginnings of all names that running text is searched for, up to three
// bytes, so that most words need not be looked up with all that follow them.
type starts map[string]bool

// startLength is how many bytes of a name its beginning is.
const startLength = 3

// newStarts takes the names of allergens, properties and impurities.
func newStarts(words *lexicon.Lexicon, known *declaration.Known) starts {
	out := starts{}
	for name := range known.Names() {
		out.add(name)
	}
	for _, subject := range []string{"impurity", "property"} {
		for _, e := range words.Each(subject) {
			out.add(e.Word)
		}
	}
	return out
}

func (s starts) add(name string) {
	for n := 1; n <= min(startLength, len(name)); n++ {
		s[name[:n]] = true
	}
}

// may says whether a name may begin with a folded word.
func (s starts) may(word string) bool { return s[word[:min(startLength, len(word))]] }
