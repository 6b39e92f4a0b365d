package tox

import (
	"slices"
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// Class is the hazard classification of one substance.
//
// Source: hazard-classes.csv; CLP Annex VI Table 3 or, where List is [supplierList], the
// common classification of suppliers, which differs between them.
type Class struct {
	rows.Row
	INCI          string
	CAS           string
	List          string // EUList or supplierList
	Classes       []string
	HPhrases      []string
	NotClassified bool
	Letters       []string   // notes of the entry, such as N
	Question      bool       // Note L or N, or annulled: a question, no CMR finding
	Adaptation    int        // of the list that the entry is in; 0: not stated
	From          exact.Date // applies from that day; zero: not stated
	OtherLimits   string     // estimates of acute toxicity, M-factors: of no use for a cosmetic product
}

// The lists that a class can stand on.
const (
	EUList       = "eu"
	supplierList = "supplier"
)

// Limit is a specific concentration limit of a class: it applies at and above one content,
// below another.
//
// Source: hazard-limits.csv.
type Limit struct {
	rows.Row
	CAS           string
	Class         string
	From, To      *exact.Num // % of the mixture; nil: no such bound
	FromOpen      bool       // the bound itself does not count
	ToOpen        bool
	SomeSuppliers bool
}

func readClasses(file string, text string) ([]*Class, error) {
	columns := rows.Columns{Meaning: []string{"key", "inci", "cas", "list", "classes", "h_phrases",
		"not_classified", "letters", "question", "adaptation", "applies_from", "seen"},
		Remarks: []string{"other_limits", "source", "note"}}
	return rows.ReadTable(file, text, columns, func(r *rows.Record) *Class {
		c := &Class{
			Row: r.Head(r.Must("key")), INCI: r.Must("inci"), CAS: r.Must("cas"), List: r.Word("list", EUList,
				supplierList),
			Classes: r.List("classes"), HPhrases: r.List("h_phrases"),
			NotClassified: r.Mark("not_classified"), Letters: r.List("letters"),
			Question: r.Mark("question"), Adaptation: r.Whole("adaptation"), From: r.Date("applies_from"),
			OtherLimits: r.Text("other_limits"),
		}
		r.CheckNumbers([]string{c.CAS}, nil)
		if c.NotClassified != (len(c.Classes) == 0) {
			r.Fail("classes are named, or not_classified is yes, one of the two")
		}
		return c
	})
}

func readLimits(file string, text string) ([]*Limit, error) {
	columns := rows.Columns{Meaning: []string{"key", "cas", "hazard_class", "from_pct", "from_open",
		"to_pct", "to_open", "some_suppliers", "seen"}, Remarks: []string{"source", "note"}}
	return rows.ReadTable(file, text, columns, func(r *rows.Record) *Limit {
		l := &Limit{Row: r.Head(r.Must("key")), CAS: r.Must("cas"), Class: r.Must("hazard_class"),
			From: r.Pct("from_pct"), FromOpen: r.Mark("from_open"), To: r.Pct("to_pct"),
			ToOpen: r.Mark("to_open"), SomeSuppliers: r.Mark("some_suppliers")}
		if l.From == nil && l.To == nil {
			r.Fail("a limit needs from_pct or to_pct")
		}
		return l
	})
}

// ClassOf returns the classification of a substance by its CAS numbers, nil where the
// table has none.
func (t *Tables) ClassOf(cas ...string) *Class {
	classes := t.classes()
	for _, n := range cas {
		if c := classes[n]; c != nil {
			return c
		}
	}
	return nil
}

// LimitsOf returns the specific limits of a substance.
func (t *Tables) LimitsOf(c *Class) []*Limit { return slices.Clone(t.limits()[c.CAS]) }

// Reaches says whether a content in % lies where the limit applies.
func (l *Limit) Reaches(pct exact.Num) bool {
	if l.From != nil && (pct.Less(*l.From) || l.FromOpen && pct.Cmp(*l.From) == 0) {
		return false
	}
	return l.To == nil || pct.Less(*l.To) || !l.ToOpen && pct.Cmp(*l.To) == 0
}

// Words is the range in % of the mixture in which the limit applies.
func (l *Limit) Words() string {
	var parts []string
	if l.From != nil {
		sign := "≥ "
		if l.FromOpen {
			sign = "> "
		}
		parts = append(parts, sign+l.From.Exact()+" %")
	}
	if l.To != nil {
		sign := "≤ "
		if l.ToOpen {
			sign = "< "
		}
		parts = append(parts, sign+l.To.Exact()+" %")
	}
	return strings.Join(parts, ", ")
}

// cmr are the statements of substances that cause cancer, change genes or harm
// reproduction; statements have letters behind them, such as H361f.
var cmr = []string{"H340", "H341", "H350", "H351", "H360", "H361", "H362"}

// sensitising are the statements of substances that sensitise skin or airways.
var sensitising = []string{"H317", "H334"}

// IsCMR says whether a class of the list is one of those that Article 15 speaks of and no
// question.
func (c *Class) IsCMR() bool { return !c.Question && c.Has(cmr...) }

// IsSensitising says whether the substance is classified as a sensitiser.
func (c *Class) IsSensitising() bool { return c.Has(sensitising...) }

// IsFirstCMR says whether it is category 1A or 1B of those: what a notice to the authorities
// names. The statements of category 2 are others (H341, H351, H361).
func (c *Class) IsFirstCMR() bool { return !c.Question && c.Has("H340", "H350", "H360") }

// Has says whether one of the statements is among those of the class; letters behind a
// statement do not matter.
func (c *Class) Has(statements ...string) bool {
	return slices.ContainsFunc(c.HPhrases, func(h string) bool {
		return slices.ContainsFunc(statements, func(s string) bool { return strings.HasPrefix(h, s) })
	})
}
