package workshop

import (
	"gallipot/calc/ageing"
	"gallipot/calc/formula"
	"gallipot/dossier/label/labelsize"
	"gallipot/dossier/photo"
	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
	"strings"
)

// Product is one product file: what figures depend on (the embedded product)
// and what the safety report and the label need beside it. A figure that is nil
// is not given, never 0.
type Product struct {
	*formula.Product
	Source *source.Source

	Function   source.Sentence // what it is, where the name does not say
	Directions source.Sentence
	Warnings   []source.Sentence
	// WarningsPos is where the file speaks of warnings, an empty list among them.
	// Zero: the file says nothing.
	WarningsPos exact.Pos
	Storage     source.Sentence // how to keep it
	MadeIn      string          // two-letter country code; "" when not given
	Packaging   []packPart
	Durability  durability
	Label       *labelsize.Size // nil: not given

	Process       []Step
	Specification Specification
	Stability     []StabilityTest
	Microbiology  []MicroTest
	Documents     []ingredients.Document
	Notifications []Notification
	// two-letter code of the EU state where it is placed on the market first; "" when not given
	FirstPlaced string
	Assessments []Recorded
	Decisions   []Decision
	Costs       Costs
	Pictures    []photo.Named // photographs of the pack, in the order typed
	Complaints  []Complaint
	// ComplaintsPos is where the file speaks of undesirable effects, an empty
	// list among them: that is a nil return. Zero: the file says nothing.
	ComplaintsPos exact.Pos
	Sold          []Sold // units sold so far, for the rate of undesirable effects
}

// Canonical returns the content of the product file for the fingerprint; see
// [ingredients.Source.Canonical].
func (p *Product) Canonical(skip ...string) []byte { return p.Source.Canonical(skip...) }

// packPart is one part of the pack.
type packPart struct {
	Part     string
	Material string
	ML       *exact.Num // ml, brimful volume
	Pos      exact.Pos
}

// durability is what the maker states on the label.
type durability struct {
	PAOMonths        int // months after opening; 0: not given
	BestBeforeMonths int // months from making; 0: not given
	Pos              exact.Pos
}

// Step is one step of making.
type Step struct {
	Phase   string // "" when it concerns all
	Do      string
	TempC   *exact.Num // °C
	Minutes *exact.Num // min
	RPM     *exact.Num // 1/min
	Pos     exact.Pos
}

// property is one thing observed or specified.
type property struct {
	Name string // appearance, odour, …
	Text string
	Pos  exact.Pos
}

// Specification is what the finished product has to be.
type Specification struct {
	PH         *exact.Amount // pH; nil: none given, as for a product without water
	Properties []property    // in the order typed
	Pos        exact.Pos
}

// StabilityTest is one storage test with its readings.
type StabilityTest struct {
	Test     string     // heat, room, cycles, light …
	TempC    *exact.Num // °C
	Weeks    *exact.Num // planned length
	Cycles   int        // freeze and thaw; 0: none
	Pack     string     // what it was stored in
	Batch    string
	Started  exact.Date
	Readings []Reading // in the order typed
	Verdict  string    // pass, fail or open; "" when not given
	File     string
	Variant  string // tested; "": as the record of the batch says
	Covers   []Bridge
	Checks   []exact.Num // weeks at which readings are planned; empty: the usual ones
	Pos      exact.Pos
}

// Reading is what was seen on one day of a storage test.
type Reading struct {
	Week       *exact.Num // weeks from the start
	PH         *exact.Num // pH
	Properties []property // in the order typed
	Pos        exact.Pos
}

// Bridge says why a test of one variant covers another.
type Bridge struct {
	Variant string
	Because string
	Pos     exact.Pos
}

// MicroTest is one microbiological test of the product.
type MicroTest struct {
	Test       string // challenge, count, organisms, water-activity or other
	Method     string
	Verdict    string // A, B or fail for a challenge test, else pass or fail
	Dated      exact.Date
	Laboratory string
	Batch      string
	CFUPerG    *exact.Num              // total count, colonies per g
	Counts     []ageing.OrganismCounts // of a challenge test, by organism and day
	Result     string                  // in words
	Variant    string                  // tested; "": as the record of the batch says
	Covers     []Bridge
	File       string
	Pos        exact.Pos
}

// Notification is the maker's notice to a market before sale.
type Notification struct {
	Market string
	Number string
	Dated  exact.Date
	Pos    exact.Pos
}

// Complaint is an undesirable effect or another complaint.
type Complaint struct {
	Dated    exact.Date
	Text     string
	Serious  bool
	Variant  string
	Batch    string
	Outcome  string
	Reported exact.Date // to the authority; zero: not
	// ReportedPos is where the day of the report stands.
	ReportedPos exact.Pos
	Kind        string // effect on a person, or quality; "" counts as effect
	Causal      string // how likely the product caused it, see causalities; "" when not judged
	Pos         exact.Pos
}

// Sold is how many units of a variant were sold up to a day.
type Sold struct {
	Variant string // "" for all variants together
	Units   int
	Until   exact.Date
	Pos     exact.Pos
}

// ProductDocumentKinds lists the kinds of paper a product can carry, with what
// each is.
var ProductDocumentKinds = map[string]string{
	"gmp":                "declaration of good manufacturing practice",
	"animal-testing":     "own statement on animal tests",
	"label":              "label as printed",
	"photo":              "picture of the pack",
	"claim":              "proof for a claim",
	"packaging":          "statement on the packaging material",
	"compatibility":      "report on pack and product together",
	"stability":          "stability report",
	"microbiology":       "microbiological report",
	"user-test":          "report of a test on volunteers",
	"assessment":         "signed assessment",
	"assessor-diploma":   "proof of the assessor's qualification",
	"responsible-person": "mandate of the responsible person",
	"offer":              "picture of the offer on sale at a distance",
	"other":              "other paper",
}

// papers lists every file the product names as evidence.
func (p *Product) papers() []paper {
	var all []paper
	for _, d := range p.Documents {
		all = append(all, paper{d.File, d.Pos})
	}
	for _, t := range p.Stability {
		all = append(all, paper{t.File, t.Pos})
	}
	for _, t := range p.Microbiology {
		all = append(all, paper{t.File, t.Pos})
	}
	for _, a := range p.Assessments {
		all = append(all, paper{a.File, a.Pos}, paper{a.Figures, a.Pos}, paper{a.Answer.File, a.Pos})
	}
	for _, x := range p.Pictures {
		all = append(all, paper{x.File, x.Pos})
	}
	if c := p.Evidence.LowRisk; c != nil {
		all = append(all, paper{c.File, c.Pos})
	}
	return all
}

// About returns a finding about the product, for the maker to settle.
func (p *Product) About(f finding.Finding) finding.Finding {
	f = f.On(p.ID).By(finding.TheMaker)
	if p.Name != "" {
		f.Subject, f.About.Text = p.Name, p.Name
	}
	f.About.ID = p.ID
	return f
}

// File is the name of the product's file; "" for one that was not read from a file.
func (p *Product) File() string {
	if p.Source == nil {
		return ""
	}
	return p.Source.Name
}

// StatedDensity reads the density of the specification where it is one number in g/ml,
// and says where it stands; nil for words, a range or another unit. The number is as
// typed: whether a product can have it is for others to say.
func StatedDensity(p *Product) (*exact.Num, property) {
	for _, x := range p.Specification.Properties {
		if x.Name != "density" {
			continue
		}
		n, err := exact.ParseNum(strings.TrimSpace(strings.TrimSuffix(x.Text, "g/ml")))
		if err == nil {
			return &n, x
		}
	}
	return nil, property{}
}

// paper is a file named as evidence, with the place that names it.
type paper struct {
	file string
	pos  exact.Pos
}

// Name names a storage test with its temperature.
func (t *StabilityTest) Name() string {
	name := t.Test
	if t.TempC != nil {
		name += ", " + t.TempC.Exact() + " °C"
	}
	if t.Cycles > 0 {
		name += ", " + words.Count(t.Cycles, "cycle", "cycles")
	}
	return name
}
