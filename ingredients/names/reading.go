package names

import (
	"slices"
	"strings"

	"gallipot/ingredients/namelist"
)

// sourceKind says which list a name was found in, the surest first.
type sourceKind int

// The lists.
const (
	inLaw       sourceKind = iota // a name of the tables of law, or another name they give
	customary                     // a name of the trade: customary-names.csv
	inInventory                   // an official name
	otherName                     // another name an official list gives it
	inNone
)

// Named is one substance that a printed name stands for.
type Named struct {
	// Name is the one it is merged, looked up and printed under; as printed where it
	// is in no list.
	Name string
	// Official is the name of the inventory, in its spelling; "" for none.
	Official string
	Source   sourceKind
	// Also are further names of the same substance, printed beside it or given by
	// the lists; every table is to be asked for these too.
	Also       []string
	Nano       bool
	CI         string   // colour index number printed in it, such as "CI 77891"
	Plant      *Plant   // nil where it names no part or preparation of a plant
	Qualifiers []string // words that say how, not what: organic, 99 %, monohydrate
}

// Names are all names of the substance, the one it is merged under first.
func (n Named) Names() []string { return append([]string{n.Name}, n.Also...) }

// Known says whether any list has the name.
func (n Named) Known() bool { return n.Source != inNone }

// Reading is what a printed name is understood as.
type Reading struct {
	Printed string
	// Names are the substances it stands for: one for nearly all; several where it
	// joins them, and then each counts with the whole content until the paper is split.
	Names []Named
	// Within are names found inside a text that is understood only in part. They count
	// for limits; the text stays a name of its own.
	Within []Named
	Asks   []Ask
}

// First is the substance, or the first of several.
func (r Reading) First() Named { return r.Names[0] }

// Several says whether the value joins substances.
func (r Reading) Several() bool { return len(r.Names) > 1 }

// Asked returns the first ask of a code, if there is one.
func (r Reading) Asked(code Code) (Ask, bool) {
	for _, a := range r.Asks {
		if a.Code == code {
			return a, true
		}
	}
	return Ask{}, false
}

// Code says what must be asked about a printed name.
type Code string

// The codes.
const (
	// AskUnknown: in no list; [Resolver.Nearest] has the nearest names.
	AskUnknown Code = "name-unknown"
	// AskSeveral: two or more substances in one value; Others are their names.
	AskSeveral Code = "name-several"
	// AskWhich: a customary or other name of several substances; Others are their names.
	AskWhich Code = "name-ambiguous"
	// AskBracket: a bracket names another substance; Others is it.
	AskBracket Code = "bracket-contradicts"
	// AskBracketUnknown: a bracket says what no list has; Others is its text.
	AskBracketUnknown Code = "bracket-unknown"
	// AskPart: only parts of the text are names; Others are they.
	AskPart Code = "name-in-part"
	// AskByBracket: the name is in no list, the one in the bracket is; Others is it.
	AskByBracket Code = "named-by-bracket"
	// AskByNumber: the name is in no list; by its number it is Others.
	AskByNumber Code = "named-by-number"
	// AskNumberFits: the name is in no list, and its number is given to several: Others.
	AskNumberFits Code = "number-fits-several"
	// AskPlantNumber: the name is in no list, and its number is that of a plant: Others
	// are the materials it is given to.
	AskPlantNumber Code = "plant-number"
)

// Ask is one thing to be asked: a code, the name it is about, and other names.
type Ask struct {
	Code   Code
	Name   string
	Others []string
	Number string
}

// attempt is the outcome of reading one name that joins nothing.
type attempt struct {
	names  []Named // one, or several of which it is one
	all    bool    // it is all of them
	within []Named // what a bracket names besides
	asks   []Ask
}

// byBracket says whether the bracket alone makes it a name.
func (a attempt) byBracket() bool {
	return slices.ContainsFunc(a.asks, func(k Ask) bool { return k.Code == AskByBracket })
}

func namesOf(list []Named) []string {
	var out []string
	for _, n := range list {
		out = appendNew(out, n.Name)
	}
	return out
}

// inside is what the text of a bracket is read as.
type inside struct {
	one   attempt
	isOne bool    // one substance, or one of several
	list  []Named // the substances it names
	known bool    // every part of the text is a name
}

func textOf(pieces []piece) string {
	var b strings.Builder
	for _, p := range pieces {
		b.WriteString(p.Text)
	}
	return b.String()
}

func isLetters(w string) bool {
	return strings.Trim(strings.ToLower(w), "abcdefghijklmnopqrstuvwxyzàâäéèêëîïôöûüç-'’.,") == ""
}

// merged makes one reading of several names of one substance.
func merged(list []attempt) attempt {
	a := attempt{names: list[0].names[:1]}
	for _, o := range list {
		a.asks, a.within = append(a.asks, o.asks...), append(a.within, o.within...)
		for _, n := range o.names {
			a.names[0].alsoAll(n.Name)
			a.names[0].alsoAll(n.Also...)
			a.names[0].Nano = a.names[0].Nano || n.Nano
			if a.names[0].CI == "" {
				a.names[0].CI = n.CI
			}
		}
	}
	return a
}

// rename gives the substance another name that is its own; the one that it had stays one of
// its further names.
func (n *Named) rename(name string) {
	old := n.Name
	n.Name = name
	n.alsoAll(old)
}

// alsoAll adds names of the same substance.
func (n *Named) alsoAll(names ...string) {
	own := namelist.Key(n.Name)
	for _, s := range names {
		if k := namelist.Key(s); k != "" && k != own &&
			!slices.ContainsFunc(n.Also, func(o string) bool { return namelist.Key(o) == k }) {
			n.Also = append(n.Also, s)
		}
	}
}
