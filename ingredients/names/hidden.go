package names

import (
	"slices"
	"strings"
	"unicode"

	"gallipot/ingredients/namelist"
	"gallipot/ingredients/pattern"
)

// Limits of the search for names inside a text that no list has.
const (
	longestHidden  = 7 // words of one name
	shortestHidden = 4 // letters of one name
	mostHidden     = 60
	mostOfHidden   = 400 // bytes of one name; none of so few words in the tables has as many
)

// hidden returns the substances of the law whose names stand among the words of a
// text that is no name: Glycerin preserved xyz Phenoxyethanol. The longest names
// lead, and a word counts once. They may be in the material or not; what the law
// says of them is asked about.
func (r *Resolver) hidden(text string) []Named {
	words := strings.FieldsFunc(text, func(c rune) bool {
		return unicode.IsSpace(c) || strings.ContainsRune(";/:=+&|()[]{}<>\"“”«»?!~_", c)
	})
	words = words[:min(len(words), mostHidden)]
	used := make([]bool, len(words))
	var found []Named
	for n := min(longestHidden, len(words)); n > 0; n-- {
		for i := 0; i+n <= len(words); i++ {
			if slices.Contains(used[i:i+n], true) {
				continue
			}
			name := strings.Trim(strings.Join(words[i:i+n], " "), ".,'’‘*")
			if len(name) > mostOfHidden {
				continue
			}
			list := r.ofLaw(name)
			for _, one := range list {
				if !slices.ContainsFunc(found, func(o Named) bool { return r.same(o, one) }) {
					found = append(found, one)
				}
			}
			for k := i; len(list) > 0 && k < i+n; k++ {
				used[k] = true
			}
		}
	}
	return found
}

// ofLaw returns the substances of the law that a few words name, none for words
// that say how or in what form.
func (r *Resolver) ofLaw(text string) []Named {
	folded := foldWords(text)
	if _, prepared := r.words.plant[folded]; prepared || len(folded) < shortestHidden ||
		r.words.isQualifier(text) {
		return nil
	}
	if name, ok := r.inLaw(text); ok {
		return []Named{r.named(name, inLaw)}
	}
	var list []Named
	if c := r.customary.find(text); c != nil && c.Scope != "general" {
		for _, n := range c.Names {
			list = append(list, r.named(n, customary))
		}
	}
	if f, ok := r.prohibited(text); ok {
		list = append(list, f.names...)
	}
	return list
}

// printedNumber matches a CAS or EC number that stands behind a name or alone in a
// bracket, with what introduces it: CAS 50-00-0, EC No. 200-001-8, CAS: 50-00-0.
var printedNumber = pattern.New(`(?i)^(.*?)[\s,;:/(\[–—-]*(?:\b(?:cas|ec|eg|einecs|elincs)\b[\s-]*` +
	`(?:nummer|number|no|nr|rn)?[\s.:#]*)?\b(?:(\d{2,7}-\d{2}-\d)|(\d{3}-\d{3}-\d))[\s)\]]*$`)

// number is a CAS or an EC number.
type number struct{ cas, ec string }

func (n number) String() string { return n.cas + n.ec }

// mostNumbers is how many numbers behind one name are read.
const mostNumbers = 8

// withNumbers parts the numbers from the end of a text, in their order: CAS 56-81-5,
// EC 200-289-5. A row of more of them is no name, and has none.
func withNumbers(text string) (name string, list []number) {
	name = text
	for {
		rest, n, ok := withNumber(name)
		switch {
		case !ok:
			slices.Reverse(list)
			return name, list
		case len(list) == mostNumbers:
			return text, nil
		}
		name, list = rest, append(list, n)
	}
}

// withNumber parts a number from the end of a text; false where there is none.
func withNumber(text string) (name string, n number, ok bool) {
	if end := strings.TrimRight(text, " \t\n\f\r)]"); strings.TrimRight(end, digits) == end {
		return text, number{}, false // as most are
	}
	head, tail := "", text
	if from := len(text) - farthestNumber; from > 0 { // a number stands at the end, wherever a long text begins
		if space := strings.IndexByte(text[from:], ' '); space >= 0 {
			head, tail = text[:from+space], text[from+space:]
		}
	}
	m := printedNumber.FindStringSubmatch(tail)
	if m == nil {
		return text, number{}, false
	}
	return strings.TrimSpace(head + m[1]), number{m[2], m[3]}, true
}

// farthestNumber is how many bytes from the end of a text a number in it begins at most, with
// what introduces it.
const farthestNumber = 200

// byPrintedNumber reads a name with its numbers behind it.
func (r *Resolver) byPrintedNumber(pieces []piece) (attempt, bool) {
	name, list := withNumbers(textOf(pieces))
	if len(list) == 0 {
		return attempt{}, false
	}
	a, ok := r.one(Read(name))
	if ok {
		r.checkNumbers(&a, list)
	}
	return a, ok
}

// checkNumbers compares a name with numbers printed in it: one that belongs to
// other substances contradicts it.
func (r *Resolver) checkNumbers(a *attempt, list []number) {
	n := &a.names[0]
	for _, number := range list {
		others := r.numbered(number)
		n.Qualifiers = append(n.Qualifiers, number.String())
		switch {
		case len(others) == 0, r.anySame(*n, others), slices.Contains(r.numbersOf(*n), number.cas):
		case n.Plant != nil && r.plantNumber(number.cas):
		default:
			a.asks = append(a.asks, Ask{Code: AskBracket, Name: n.Name, Others: namesOf(others),
				Number: number.String()})
			for _, o := range others {
				if !r.anySame(o, a.within) {
					a.within = append(a.within, o)
				}
			}
		}
	}
}

// SaltBase is a substance of the law that a name says it is a salt of.
type SaltBase struct {
	Name string
	// MaybeEster says that the name is one of a salt only where the substance is a base:
	// an acetate of an alcohol is its ester, and another substance.
	MaybeEster bool
}

// SaltOf returns the substances of the law that a name says it is a salt of:
// Salicylic Acid of Sodium Salicylate, Naphazoline of Naphazoline HCL. Whether an
// entry covers the salts of what it names is for the entry to say.
func (r *Resolver) SaltOf(name string) []SaltBase {
	s, ok := r.words.salts.read(name)
	if !ok {
		return nil
	}
	own := namelist.Key(name)
	var out []SaltBase
	for _, base := range s.bases() {
		list := r.ofLaw(base)
		if len(list) != 1 || namelist.Key(list[0].Name) == own {
			continue // a word for several, such as paraben, says which of them no more
		}
		if b := (SaltBase{list[0].Name, s.organic}); !slices.Contains(out, b) {
			out = append(out, b)
		}
	}
	return out
}

// salted reads a name of a salt that no list has in this form, by the official name
// made of its parts: Sodium Salicylate for sodium salt of salicylic acid.
func (r *Resolver) salted(pieces []piece) (attempt, bool) {
	text := textOf(pieces)
	s, ok := r.words.salts.read(text)
	if !ok || s.several || len(s.base) < shortestHidden {
		return attempt{}, false
	}
	base, ok := r.one(Read(s.base))
	if !ok || len(base.names) != 1 || len(base.asks) > 0 {
		return attempt{}, false
	}
	for _, name := range base.names[0].Names() {
		for _, made := range s.with(name) {
			if a, ok := r.lookUp(made); ok {
				for i := range a.names {
					a.names[i].alsoAll(text)
					a.names[i].Nano = a.names[i].Nano || base.names[0].Nano
				}
				return a, true
			}
		}
	}
	return attempt{}, false
}

// rememberedInside bounds the memory of brackets, which are up to longestRead bytes long.
const rememberedInside = 2000

// readInside reads the text of a bracket, each text once: the reader comes to a bracket again
// for each way to part the name that it stands in, and to one in that bracket for each of those
// again. Without a memory the work would grow by a factor for each bracket in a bracket.
func (r *Resolver) readInside(text string) inside {
	r.mu.Lock()
	in, met := r.brackets[text]
	r.mu.Unlock()
	if !met {
		in = r.newInside(text)
		r.mu.Lock()
		if len(r.brackets) >= rememberedInside {
			clear(r.brackets)
		}
		r.brackets[text] = in
		r.mu.Unlock()
	}
	in.one.names = slices.Clone(in.one.names) // the reader of the name around it adds to them
	return in
}

func (r *Resolver) newInside(text string) inside {
	var in inside
	pieces := Read(text)
	if in.one, in.isOne = r.one(pieces); in.isOne {
		in.one = in.one.fixed()
		in.list, in.known = in.one.names, true
		return in
	}
	parts, ok := r.segments(pieces)
	in.known = ok
	for _, a := range parts {
		in.list = append(in.list, a.fixed().names...)
	}
	return in
}

// fixed is the attempt with lists of its own that have no room behind: what is appended to a
// copy of it no other sees.
func (a attempt) fixed() attempt {
	fixed := func(list []Named) []Named {
		list = slices.Clip(slices.Clone(list))
		for i := range list {
			list[i].Also, list[i].Qualifiers = slices.Clip(list[i].Also), slices.Clip(list[i].Qualifiers)
		}
		return list
	}
	a.names, a.within, a.asks = fixed(a.names), fixed(a.within), slices.Clip(a.asks)
	return a
}
