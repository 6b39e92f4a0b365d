package annex

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// Limit is one rule of Annexes II to VI for one or both markets: it holds for
// the named substances under its condition.
//
// Source: limits.csv; the instrument of each row stands in Row.Source.
type Limit struct {
	rows.Row
	Annex string // II prohibited, III restricted, IV colourants, V preservatives, VI UV filters
	Entry string // entry of the annex, such as 98 or 12a
	// EntryUnread says that the number of the entry was not read; Entry stands in
	// for it.
	EntryUnread bool
	Markets     []rows.Market // whose annexes hold the rule

	Names []string // names of the entry: INCI names, other names, class names
	CAS   []string // CAS numbers of the entry; in the order of Names where Paired
	EC    []string // EC numbers of the entry; likewise

	Paired      bool     // each name has the CAS and the EC number at its place
	TradeNames  []string // those of Names under which a colourant is traded and nothing else
	Plants      []string // plants of which every preparation counts: genus and species, or genus, in lower case
	Elements    []string // chemical elements of which every compound may count, in lower case as names have them
	ElementSelf bool     // the element itself counts too
	Class       class    // whether the entry is wider than its names

	Condition condition.Condition // when the rule holds
	OnlyForm  string              // form of the substance that alone counts, in words; empty: any

	// MaxPct is the highest content in % w/w of the ready-to-use product,
	// counted on Basis. 0: not permitted under the condition. nil: the rule
	// sets no figure; see LabelText and Spec.
	MaxPct *exact.Num
	Basis  Basis

	SumGroup string // rows whose contents are added before comparing; empty: none
	SumRule  string // how they are added, in words
	Sum      Sum    // how they are added

	LabelText string // statutory wording
	Label     LabelDuty

	// ColourantField is 1 all products, 2 not in the eye area, 3 not on mucous
	// membranes, 4 rinse-off only; 0 where the row is no colourant.
	ColourantField int
	Colour         string // shade of a colourant, such as Red

	From     exact.Date // first day a newly placed product must comply; zero: long in force
	Until    exact.Date // last day of an old rule; zero: open
	OffShelf exact.Date // last day of sale of stock placed earlier; zero: not stated
	// Replaced is the day from which the row no longer binds in the markets of
	// ReplacedIn; zero: none.
	Replaced   exact.Date
	ReplacedIn []rows.Market

	Spec        []string // criteria for the raw material, one each
	SpecForNano bool     // the criteria concern the nano form alone
	PH          *PHBand  // criterion for the pH of the product; nil: none

	Excepted    []string // Entries that lift a prohibition where they hold, such as III/14
	Traces      string   // entry that rules what of a prohibited substance is there as a trace; empty: none
	Exempt      []string // entries, or whole annexes, whose substances a class entry leaves out
	ExemptNames []string // substances that a class entry leaves out by name

	Instrument Instrument // whether the instrument was read as made
	// CMR says that the row rests on a regulation that carries classifications as
	// carcinogenic, mutagenic or toxic to reproduction over into the annexes.
	CMR bool

	// SharedNumber says that its numbers stand for other parts, preparations or
	// forms too: a number alone does not settle that the row is meant.
	SharedNumber bool

	// Salts says that a prohibition is for the salts of what it names too. Of other
	// entries, whose names list the usual salts, the rest are asked about.
	Salts bool

	// States are those of the markets: how each cites what holds in several of them.
	States []*LawState

	Own   bool   // the row comes from the maker's own table, not from the law
	Table string // hash of the maker's own table
}

// class says whether an entry is wider than the names it lists: a miss by name
// or number is then no proof that it does not apply.
type class string

// The kinds of entry.
const (
	NoClass       class = ""         // its names are all of it
	ClassNames    class = "class"    // its names are those of a class, not of substances
	ClassExamples class = "examples" // its names are examples of a class, each that of a substance
)

// Instrument says how the instrument behind a row stands.
type Instrument string

// The states of an instrument.
const (
	instrumentMade      Instrument = ""          // made, as far as the source says
	InstrumentDraft     Instrument = "draft"     // not confirmed as made
	InstrumentSecondary Instrument = "secondary" // told by secondary reports alone
)

// LabelDuty says when the wording of a row belongs on the label. Its zero value:
// wherever the row holds.
type LabelDuty struct {
	AbovePct *exact.Num // due above this content alone, % w/w on the row's basis
	// NotUpToPct frees up to this content, itself included, where a further
	// condition holds that no file states: there the duty is open.
	NotUpToPct *exact.Num
	Condition  *condition.Condition // due where this holds too; nil: no further condition
	// Alone says that Condition alone decides, whether the row's own holds or not.
	Alone bool
	Open  bool   // when it is due is beyond these columns
	When  string // when it is due, in words; empty: nothing beside the row's condition
}

// PHBand is a criterion for the pH of the finished product.
type PHBand struct {
	Min, Max         *exact.Num // nil: no bound
	MinOpen, MaxOpen bool       // the bound itself does not keep it
}

// BasisKind says what a limit counts.
type BasisKind string

// The kinds of basis. All but the first count something else than the content of
// the named substances: it must be asked for and not be compared with the content.
const (
	BasisSubstance BasisKind = ""        // the substance, or what it is worth of another
	BasisResidue   BasisKind = "residue" // a residue inside the substance, which is never more than it
	BasisMixture   BasisKind = "mixture" // the mixture that the user makes before use
	BasisShare     BasisKind = "share"   // a share of another substance
	BasisTrigger   BasisKind = "trigger" // no limit: a content that asks for wording
)

// Basis says what a limit counts.
type Basis struct {
	Text string // such as "as benzoic acid"; empty: the substance as it is
	Kind BasisKind
	// As names what the figure is expressed as: substances by name, *acid for every
	// name that ends so, * for whatever the row names. It counts with a factor of 1.
	As      []string
	Factors []Factor // mass factors: counted amount = content × factor
	Whole   bool     // every substance is counted whole, the cautious reading of the row
}

// Factor converts the content of one ingredient to the basis of the limit.
type Factor struct {
	Name   string    // INCI name, without the form
	Form   string    // hydrate or formula the factor is for; empty: as named
	Factor exact.Num // g of the basis substance in 1 g
}

// Is says whether a substance is what the limit is expressed as.
func (b Basis) Is(name string) bool {
	key := ingredients.NameKey(name)
	for _, n := range b.As {
		if tail, any := strings.CutPrefix(n, "*"); any && strings.HasSuffix(key, tail) ||
			key == ingredients.NameKey(n) {
			return true
		}
	}
	return false
}

// Of returns the factor of the named ingredient. Where the table has several
// forms of it, the highest counts, the cautious side. stated is false where the
// Table has none; the factor is then 1, which counts the ingredient whole.
func (b Basis) Of(name string) (factor exact.Num, stated bool) {
	if len(b.Factors) == 0 {
		return exact.Int(1), false
	}
	k := ingredients.NameKey(name)
	for _, f := range b.Factors {
		full := ingredients.NameKey(f.Name + " (" + f.Form + ")")
		if k == full {
			return f.Factor, true
		}
		if k == ingredients.NameKey(f.Name) && (!stated || factor.Less(f.Factor)) {
			factor, stated = f.Factor, true
		}
	}
	if !stated {
		return exact.Int(1), false
	}
	return factor, true
}

var LimitColumns = rows.Columns{
	Meaning: []string{
		"key", "annex", "entry", "entry_read", "market", "inci_names", "cas", "ec", "paired", "trade_names",
		"plants", "elements", "element_self",
		"class", "condition", "only_form", "max_pct", "basis", "counts", "counted_as", "factors", "whole",
		"sum_group", "sum", "sum_pct", "sum_groups", "sum_entries", "sum_conditions",
		"required_label_text", "label_above_pct", "label_not_up_to_pct", "label_condition", "label_alone", "label_open",
		"colorant_field", "colour", "spec", "spec_for", "ph", "applies_from", "applies_until",
		"off_shelf_until", "replaced_from", "replaced_in",
		"excepted", "traces", "exempt", "exempt_names", "instrument", "cmr", "seen",
	},
	Remarks: []string{"sum_rule", "label_when", "source", "note"},
}

func ReadLimits(file string, text string) ([]*Limit, error) {
	read := conditions{}
	return rows.ReadTable(file, text, LimitColumns, func(r *rows.Record) *Limit { return read.parseLimit(r) })
}

var annexes = []string{"II", "III", "IV", "V", "VI"}

// conditions are those of a table that were read before, by their text: most rows share
// one of a few.
type conditions map[string]condition.Condition

// parseLimit reads a row whose annex is one of the law's or of the others
// given.
func (read conditions) parseLimit(r *rows.Record, others ...string) *Limit {
	known := annexes
	if len(others) > 0 {
		known = append(slices.Clone(annexes), others...)
	}
	l := &Limit{
		Row: r.Head(r.Text("key")), Annex: r.Word("annex", known...), Entry: r.Must("entry"),
		EntryUnread: r.Word("entry_read", "", "no") == "no", Markets: r.Markets("market"),
		Names: r.List("inci_names"), CAS: r.Numbers("cas"), EC: r.Numbers("ec"), Paired: r.Mark("paired"),
		TradeNames: r.List("trade_names"),
		Plants:     r.List("plants"), Elements: r.List("elements"), ElementSelf: r.Mark("element_self"),
		Class:    class(r.Word("class", string(NoClass), string(ClassNames), string(ClassExamples))),
		OnlyForm: r.Text("only_form"), MaxPct: r.Pct("max_pct"), Basis: basis(r),
		SumGroup: r.Text("sum_group"), SumRule: r.Text("sum_rule"),
		LabelText: r.Text("required_label_text"), Colour: r.Text("colour"),
		From: r.Date("applies_from"), Until: r.Date("applies_until"), OffShelf: r.Date("off_shelf_until"),
		Replaced: r.Date("replaced_from"),
		Spec:     r.List("spec"), SpecForNano: r.Word("spec_for", "", "nano") == "nano", PH: phBand(r, "ph"),
		Excepted: Entries(r, "excepted"), Exempt: Entries(r, "exempt",
			annexes...), ExemptNames: r.List("exempt_names"),
		Instrument: Instrument(r.Word("instrument", string(instrumentMade), string(InstrumentDraft),
			string(InstrumentSecondary))), CMR: r.Mark("cmr"),
	}
	if len(l.Names) == 0 {
		r.Fail("inci_names is empty")
	}
	r.CheckNumbers(l.CAS, l.EC)
	if l.Paired && (len(l.CAS) != len(l.Names) || len(l.EC) != len(l.Names)) {
		r.FailIn("paired", errors.New("each name needs a CAS and an EC number"))
	}
	l.Sum, l.Label = sum(r, l), read.labelDuty(r)
	l.Condition = read.in(r, "condition")
	if f := r.Text("colorant_field"); f != "" {
		l.ColourantField = slices.Index([]string{"", "1", "2", "3", "4"},
			r.Word("colorant_field", "1", "2", "3", "4"))
	}
	if !l.Until.IsZero() && l.Until.Before(l.From) {
		r.Fail("applies_until %s lies before applies_from %s", l.Until, l.From)
	}
	if r.Text("replaced_in") != "" {
		l.ReplacedIn = r.Markets("replaced_in")
	}
	if l.Replaced.IsZero() != (l.ReplacedIn == nil) {
		r.Fail("replaced_from and replaced_in go together")
	}
	if list := Entries(r, "traces"); len(list) > 0 {
		l.Traces = list[0]
	}
	return l
}

// in reads a cell in the vocabulary of conditions.
func (read conditions) in(r *rows.Record, col string) condition.Condition {
	text := r.Text(col)
	if c, known := read[text]; known {
		return c
	}
	c, err := condition.Parse(text)
	if err != nil {
		r.FailIn(col, err)
		return c
	}
	read[text] = c
	return c
}

var entryForm = pattern.New(`^(II|III|IV|V|VI)/(\d+[a-z]?|preamble-\d+)$`)

// Entries reads a list of entries such as III/14, or of the further words given.
func Entries(r *rows.Record, col string, others ...string) []string {
	list := r.List(col)
	for _, e := range list {
		if !entryForm.MatchString(e) && !slices.Contains(others, e) {
			r.FailIn(col, &exact.ValueError{What: strconv.Quote(e) + " is no entry",
				Fix: "write annex and number, such as III/14"})
		}
	}
	return list
}

// basis reads what a limit counts, with its factors written name|form|factor.
func basis(r *rows.Record) Basis {
	b := Basis{Text: r.Text("basis"), As: r.List("counted_as"), Whole: r.Mark("whole"),
		Kind: BasisKind(r.Word("counts", string(BasisSubstance), string(BasisResidue), string(BasisMixture),
			string(BasisShare), string(BasisTrigger)))}
	for _, item := range r.List("factors") {
		p := strings.Split(item, "|")
		if len(p) != 3 || strings.TrimSpace(p[0]) == "" {
			r.FailIn("factors", &exact.ValueError{What: strconv.Quote(item) + " is no factor",
				Fix: "write NAME|FORM|0.1234, FORM empty where there is none"})
			continue
		}
		n, err := exact.ParseNum(strings.TrimSpace(p[2]))
		if err == nil && n.Sign() <= 0 {
			err = errors.New(item + " is no factor above 0")
		}
		if err != nil {
			r.FailIn("factors", err)
			continue
		}
		b.Factors = append(b.Factors, Factor{Name: strings.TrimSpace(p[0]), Form: strings.TrimSpace(p[1]),
			Factor: n})
	}
	return b
}

// labelDuty reads when the wording of a row is due.
func (read conditions) labelDuty(r *rows.Record) LabelDuty {
	d := LabelDuty{AbovePct: r.Pct("label_above_pct"), NotUpToPct: r.Pct("label_not_up_to_pct"),
		Alone: r.Mark("label_alone"), Open: r.Mark("label_open"),
		When: r.Text("label_when")}
	if r.Text("label_condition") != "" {
		c := read.in(r, "label_condition")
		d.Condition = &c
	}
	if d.Alone && d.Condition == nil {
		r.FailIn("label_alone", errors.New("it needs a label_condition"))
	}
	return d
}

var phForm = pattern.New(`^(<=|<|>=|>)?(\d+(?:\.\d+)?)(?:-(\d+(?:\.\d+)?))?$`)

// phBand reads a criterion such as 7-9.5, <11, <=12.7 or >6; nil for an empty
// cell.
func phBand(r *rows.Record, col string) *PHBand {
	s := r.Text(col)
	if s == "" {
		return nil
	}
	m := phForm.FindStringSubmatch(s)
	if m == nil || m[1] != "" && m[3] != "" || m[1] == "" && m[3] == "" {
		r.FailIn(col, &exact.ValueError{What: strconv.Quote(s) + " is no pH",
			Fix: "write for example 7-9.5, <11, <=12.7 or >6"})
		return nil
	}
	n, err := exact.ParseNum(m[2])
	if err != nil {
		r.FailIn(col, err)
		return nil
	}
	switch m[1] {
	case "<", "<=":
		return &PHBand{Max: &n, MaxOpen: m[1] == "<"}
	case ">", ">=":
		return &PHBand{Min: &n, MinOpen: m[1] == ">"}
	}
	high, err := exact.ParseNum(m[3])
	if err == nil && high.Less(n) {
		err = errors.New(s + " ends before it begins")
	}
	if err != nil {
		r.FailIn(col, err)
		return nil
	}
	return &PHBand{Min: &n, Max: &high}
}

// DyesHair says whether the row rules the use as a hair or eyelash dye and nothing
// else: other uses of the substance are beyond it.
func (l *Limit) DyesHair() bool {
	for _, c := range l.Condition.Clauses {
		if c.Except {
			continue
		}
		dye := len(c.Terms) > 0
		for _, t := range c.Terms {
			dye = dye && t.Kind == "product" &&
				slices.Contains([]string{"hair-dye", "hair-dye-oxidative", "hair-dye-nonoxidative", "eyelash-tint"},
					t.Value)
		}
		if dye {
			return true
		}
	}
	return false
}

// In says whether the rule is in force for a newly placed product on a day.
func (l *Limit) In(m rows.Market, day exact.Date) bool {
	if !l.Replaced.IsZero() && slices.Contains(l.ReplacedIn, m.Annexes()) && !day.Before(l.Replaced) {
		return false
	}
	return l.For(m) && (l.From.IsZero() || !day.Before(l.From)) && (l.Until.IsZero() || !l.Until.Before(day))
}

// For says whether the market's annexes hold the rule at any time.
func (l *Limit) For(m rows.Market) bool { return slices.Contains(l.Markets, m.Annexes()) }

// EntryName is annex and entry, such as III/98.
func (l *Limit) EntryName() string { return l.Annex + "/" + l.Entry }

// SourceIn is what the row rests on in a market: its source, or where that is the
// text of another market, the entry in this one's.
func (l *Limit) SourceIn(m rows.Market) string {
	if l.Own || len(l.Markets) < 2 {
		return l.Source
	}
	for _, s := range l.States {
		if s.Market == m.Annexes() && s.entryCited != "" {
			return s.fill(s.entryCited, l.EntryName())
		}
	}
	return l.Source
}

// SourcesIn is what the row rests on in those of the markets that have it, each once.
func (l *Limit) SourcesIn(markets []rows.Market) []string {
	var out []string
	for _, m := range markets {
		if source := l.SourceIn(m); l.For(m) && !slices.Contains(out, source) {
			out = append(out, source)
		}
	}
	return out
}

// UntilIn is the last day of the row in a market; zero: open.
func (l *Limit) UntilIn(m rows.Market) exact.Date {
	if l.Replaced.IsZero() || !slices.Contains(l.ReplacedIn, m.Annexes()) ||
		!l.Until.IsZero() && l.Until.Before(l.Replaced) {
		return l.Until
	}
	return l.Replaced.AddDays(-1)
}

// Prohibited says whether the row allows nothing under its condition.
func (l *Limit) Prohibited() bool { return l.MaxPct != nil && l.MaxPct.IsZero() }
