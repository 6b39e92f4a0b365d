package evidence

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
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
	// ReadyNotStated is for what nobody has said: unknown, and never taken for a no.
	ReadyNotStated ReadyState = "not stated"
	ReadyAssessor  ReadyState = "for the assessor" // nobody else can supply it
)

// Answer is what a rule has to say on an item. Its words stand in templates/readiness by
// the codes of what it says, and are made when they are printed.
type Answer struct {
	State  ReadyState
	Says   []words.Remark
	Places []string
	From   []Asked
}

// Asked is one who has to supply something.
type Asked struct {
	Who      string // makerWord, assessorWord, laboratoryWord, or a supplier's name
	Material string // the name of the raw material it is about; "" where it is about none
}

func Present(code string, v finding.Values) Answer { return saying(ReadyPresent, code, v) }

func Partly(code string, v finding.Values) Answer { return saying(ReadyPartly, code, v) }

func Lacking(code string, v finding.Values) Answer { return saying(ReadyMissing, code, v) }

// Unstated answers for what no document speaks of.
func Unstated(code string, v finding.Values) Answer { return saying(ReadyNotStated, code, v) }

func NotNeeded(code string, v finding.Values) Answer { return saying(ReadyNotNeeded, code, v) }

func ForAssessor(code string, v finding.Values) Answer {
	return saying(ReadyAssessor, code, v).By(words.AssessorWord)
}

func saying(state ReadyState, code string, v finding.Values) Answer {
	return Answer{State: state}.Also(code, v)
}

// Also returns the answer with one thing more to say.
func (x Answer) Also(code string, v finding.Values) Answer {
	x.Says = append(slices.Clip(x.Says), words.Remark{Code: code, Values: v})
	return x
}

// Only returns the answer with one thing to say instead of all it said.
func (x Answer) Only(code string, v finding.Values) Answer {
	x.Says = nil
	return x.Also(code, v)
}

// Or returns the answer; one that says nothing says code.
func (x Answer) Or(code string) Answer {
	if len(x.Says) > 0 {
		return x
	}
	return x.Also(code, nil)
}

// Saying returns the answer with all that another says.
func (x Answer) Saying(y Answer) Answer {
	x.Says = append(slices.Clip(x.Says), y.Says...)
	return x
}

// Terms are what the answer says as terms, to stand in what another says.
func (x Answer) Terms() (list finding.Values) {
	for _, r := range x.Says {
		list = list.Term("", r.Code, r.Values)
	}
	return list
}

// Wanted is what every raw material is asked for, as terms.
type Wanted struct {
	What    string
	Lacking string // for one line, where it is not there; "": no and what is wanted
}

// At returns the answer with the places it rests on; empty ones are left out.
func (x Answer) At(places ...string) Answer {
	if len(places) == 0 {
		return x
	}
	// those of x stay as they are
	x.Places = append(make([]string, 0, len(x.Places)+len(places)), x.Places...)
	for _, p := range places {
		if p != "" {
			x.Places = words.AddOnce(x.Places, p)
		}
	}
	return x
}

// By returns the answer with those who have to supply what is missing.
func (x Answer) By(whom ...string) Answer {
	x.From = slices.Clip(x.From) // those of x stay as they are
	for _, w := range whom {
		x.From = words.AddOnce(x.From, Asked{Who: w})
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
	Kind *trade.ProductType

	Sheets  []*ingredients.Sheet // in use, by id
	Traits  map[string]Traits    // by sheet id
	Absent  map[string]bool      // papers that are named and not there
	names   *nameMemory
	waters  map[string]bool // see isWater
	scents  map[string]bool // materials used as fragrance in a result
	silent  map[string]bool // materials that a result misses a declaration of
	Rules   map[string]func(*Filing) Answer
	answers map[string]Answer

	substances []*formula.Substance // see Substances; nil: not gathered yet
	Wording    []finding.Finding    // on claims; see [filing.claims]
	Read       bool                 // wording is filled in
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

// Asking returns the answer with those who have to supply what is missing, each
// about a material.
func (x Answer) Asking(whom ...Asked) Answer {
	x.From = slices.Clip(x.From) // those of x stay as they are
	for _, w := range whom {
		x.From = words.AddOnce(x.From, w)
	}
	return x
}

// Party is the one who is asked as findings name him.
func (x Asked) Party() finding.Party {
	switch x.Who {
	case words.MakerWord:
		return finding.TheMaker
	case words.AssessorWord:
		return finding.TheAssessor
	case words.LaboratoryWord:
		return finding.ALaboratory
	case "the supplier":
		return finding.TheSupplier
	}
	return finding.Party{Role: finding.RoleSupplier, Name: x.Who}
}

// ReportDays is how many days a report may take, as the table has it.
func (f *Filing) ReportDays() int { return ReportDays(f.Law) }

// ReportDays is [Filing.ReportDays] for whoever has the tables alone.
func ReportDays(tables *table.Tables) int { return law.DossierItem(tables, "X9").Days }
