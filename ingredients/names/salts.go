package names

import "strings"

// saltKind says what a word of salt-words.csv makes of the name beside it.
type saltKind string

// The kinds, as in the table.
const (
	saltItself   saltKind = "salt"          // salt, Salz, sel
	saltLink     saltKind = "link"          // of, von, de
	cation       saltKind = "cation"        // sodium
	amine        saltKind = "amine"         // MEA: makes a salt before a name, behind it only with the word
	anion        saltKind = "anion"         // hydrochloride
	organicAnion saltKind = "organic anion" // acetate: a salt of a base, an ester of an alcohol
)

// saltWord is a word that makes a salt of the substance beside it.
type saltWord struct {
	kind     saltKind
	official string // as it stands in names of the inventory
}

// saltWords are the words of salt-words.csv, in small letters.
type saltWords map[string]saltWord

// salt is a name read as that of a salt.
type salt struct {
	base    string
	cation  string // official word, "" for none
	anion   string
	organic bool // the anion is that of an organic acid
	several bool // it names more cations than the one: carbonic acid, nickel salt, sodium salt
}

// read reads a name as that of a salt; false where no word of it says so, where
// nothing but such words is left, or where it names both ions: that is a salt of an
// ester, as sodium laureth sulfate.
func (v saltWords) read(name string) (salt, bool) {
	words := strings.FieldsFunc(name, func(c rune) bool { return strings.ContainsRune(" \t\u00a0()[],;", c) })
	var s salt
	said, word, behind := false, false, false // an ion, the word salt, an amine behind the name
	take := func(w string, after bool) bool {
		ion, salts := v.word(w)
		switch ion.kind {
		case cation, amine:
			s.several = s.several || s.cation != "" && s.cation != ion.official
			s.cation = ion.official
			behind = behind || after && ion.kind == amine
		case anion, organicAnion:
			if !after {
				return false
			}
			s.anion, s.organic = ion.official, ion.kind == organicAnion
		case saltItself:
			word = true
		default:
			return said && ion.kind == saltLink
		}
		said, word = true, word || salts
		return true
	}
	for len(words) > 0 && take(words[0], false) {
		words = words[1:]
	}
	var last []string // the word of the anion
	for len(words) > 0 {
		n := len(words) - 1
		before := s.anion
		if take(words[n], true) {
			if s.anion != before {
				last = words[n:]
			}
			words = words[:n]
			continue
		}
		i := strings.LastIndex(words[n], "-")
		if i <= 0 || !take(words[n][i+1:], true) { // Salicylsäure-Natriumsalz
			break
		}
		words[n] = words[n][:i]
	}
	if len(words) == 0 && s.cation != "" && s.anion != "" { // sodium salicylate: all of it says salt
		words, s.anion, s.organic = last, "", false
	}
	s.base = strings.Join(words, " ")
	return s, said && s.base != "" && (word || !behind) && (s.cation == "" || s.anion == "")
}

// word reads one word: a word of the table, or an ion with the word for salt
// behind it, as in Natriumsalz and Na-salt.
func (v saltWords) word(word string) (ion saltWord, salts bool) {
	low := strings.ToLower(word)
	if w, ok := v[low]; ok {
		return w, false
	}
	for _, end := range []string{"salz", "salt"} {
		if stem, cut := strings.CutSuffix(low, end); cut {
			if w, ok := v[strings.TrimRight(stem, "-")]; ok {
				return w, true
			}
		}
	}
	return saltWord{}, false
}

// german returns the official form of a German name of a salt, which is one word:
// zinc sulfate of Zinksulfat, sodium benzoate of Natriumbenzoat; "" for other words.
func (v saltWords) german(word string) string {
	low := strings.ToLower(word)
	if strings.ContainsAny(low, " (,") || !strings.HasSuffix(low, "at") && !strings.HasSuffix(low, "id") &&
		!strings.HasSuffix(low, "it") {
		return ""
	}
	for i := len(low) - shortestIon; i >= shortestIon; i-- {
		if ion, ok := v[low[:i]]; ok && ion.kind == cation {
			return ion.official + " " + low[i:] + "e"
		}
	}
	return ""
}

// shortestIon is how many letters the words of both ions have at least.
const shortestIon = 4

// acidEndings are the endings of salts and of their acids.
var acidEndings = []struct{ salt, acid string }{{"ate", "ic acid"}, {"ite", "ous acid"}, {"ate", "oic acid"},
	{"olate", "ol"}, {"at", "ic acid"}}

// bases are the names that the substance of a salt may have: itself, or for the word
// of an anion its acid.
func (s salt) bases() []string {
	var acids []string
	if s.cation != "" {
		for _, end := range acidEndings {
			if stem, cut := strings.CutSuffix(strings.ToLower(s.base), end.salt); cut {
				acids = append(acids, stem+end.acid)
			}
		}
	}
	if acids != nil {
		return acids
	}
	return []string{s.base}
}

// with makes the names that the inventory may have for a salt of a substance.
func (s salt) with(substance string) []string {
	if s.cation == "" {
		return []string{substance + " " + s.anion}
	}
	out := []string{s.cation + " " + substance, s.cation + "-" + substance}
	for _, end := range acidEndings {
		if stem, cut := strings.CutSuffix(strings.ToLower(substance), end.acid); cut {
			out = append(out, s.cation+" "+stem+end.salt, s.cation+"-"+stem+end.salt)
		}
	}
	return out
}
