package evidence

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"

	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// ReadyState says how an item of the dossier stands.
type ReadyState string

// The states of an item. Nothing is present because nothing speaks against it:
// present means that something was found, and Because says what.
const (
	ReadyPresent   ReadyState = "present"
	ReadyPartly    ReadyState = "partly"
	ReadyMissing   ReadyState = "missing"
	ReadyNotNeeded ReadyState = "not needed"
	ReadyAssessor  ReadyState = "for the assessor" // nobody else can supply it
)

// Answer is what a rule has to say on an item.
type Answer struct {
	State  ReadyState
	Words  string
	Places []string
	From   []string
}

func Present(format string, args ...any) Answer { return saying(ReadyPresent, format, args...) }

func Partly(format string, args ...any) Answer { return saying(ReadyPartly, format, args...) }

func Lacking(format string, args ...any) Answer { return saying(ReadyMissing, format, args...) }

func NotNeeded(format string, args ...any) Answer {
	return saying(ReadyNotNeeded, format, args...)
}

func ForAssessor(format string, args ...any) Answer {
	return saying(ReadyAssessor, format, args...).By(words.Assessor)
}

func saying(state ReadyState, format string, args ...any) Answer {
	return Answer{State: state, Words: fmt.Sprintf(format, args...)}
}

// At returns the answer with the places it rests on; empty ones are left out.
func (x Answer) At(places ...string) Answer {
	for _, p := range places {
		if p != "" {
			x.Places = words.AddOnce(slices.Clone(x.Places), p)
		}
	}
	return x
}

// By returns the answer with those who have to supply what is missing.
func (x Answer) By(whom ...string) Answer {
	for _, w := range whom {
		x.From = words.AddOnce(slices.Clone(x.From), w)
	}
	return x
}

// Open says whether something is still to be supplied.
func (x Answer) Open() bool { return x.State == ReadyMissing || x.State == ReadyPartly }

// Filing is a product with all that its items are judged by.
type Filing struct {
	A    *assess.Assessment
	P    *workshop.Product
	W    *workshop.Workshop
	Law  *table.Tables
	Kind *table.ProductType

	Sheets  []*ingredients.Sheet // in use, by id
	Traits  map[string]Traits    // by sheet id
	Absent  map[string]bool      // papers that are named and not there
	counted map[string]bool      // constituents for which microbial counts are asked
	Rules   map[string]func(*Filing) Answer
	answers map[string]Answer
	Wording []finding.Finding // on claims; see [filing.claims]
	Read    bool              // wording is filled in
}

// Answer judges one item, once.
func (f *Filing) Answer(id string) Answer {
	if x, known := f.answers[id]; known {
		return x
	}
	rule := f.Rules[id]
	if rule == nil {
		panic("no rule for dossier item " + id) // the tests rule this out
	}
	x := rule(f)
	f.answers[id] = x
	return x
}

var daysInText = regexp.MustCompile(`(\d+) calendar days`)

// ReportDays is how many days a report may take, as the table has it.
func (f *Filing) ReportDays() int {
	for _, row := range law.Dossier(f.Law) {
		if row.Key == "X9" {
			if m := daysInText.FindStringSubmatch(row.Needs); m != nil {
				n, _ := strconv.Atoi(m[1])
				return n
			}
		}
	}
	panic("dossier-contents.csv: row X9 names no number of days") // the tests rule this out
}
