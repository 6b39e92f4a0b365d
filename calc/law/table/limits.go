package table

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Limit is one rule of Annexes II to VI for one or both markets: it holds for
// the named substances under its condition.
//
// Source: limits.csv; the instrument of each row stands in Row.Source.
type Limit struct {
	Row
	Annex   string   // II prohibited, III restricted, IV colourants, V preservatives, VI UV filters
	Entry   string   // entry of the annex, such as 98 or 12a
	Markets []Market // whose annexes hold the rule

	Names []string // names of the entry: INCI names, other names, class names
	CAS   []string // CAS numbers of the entry, not in the order of Names
	EC    []string // EC numbers of the entry, not in the order of Names

	Condition Condition // when the rule holds

	// MaxPct is the highest content in % w/w of the ready-to-use product,
	// counted on Basis. 0: not permitted under the condition. nil: the rule
	// sets no figure; see LabelText, Spec and Note.
	MaxPct *exact.Num
	Basis  Basis

	SumGroup string // rows whose contents are added before comparing; empty: none
	SumRule  string // how they are added, as worded in the table
	Sum      Sum    // the same, typed

	LabelText string // statutory wording; when it is due stands in Note

	// ColourantField is 1 all products, 2 not in the eye area, 3 not on mucous
	// membranes, 4 rinse-off only; 0 where the row is no colourant.
	ColourantField int
	Colour         string // shade of a colourant, such as Red

	From     exact.Date // first day a newly placed product must comply; zero: long in force
	Until    exact.Date // last day of an old rule; zero: open
	OffShelf exact.Date // end of sale of stock placed earlier; zero: not stated
	Spec     []string   // criteria for the raw material or product, one each
	Excepted []string   // entries that lift a prohibition where they hold, such as III/14

	Own   bool   // the row comes from the maker's own table, not from the law
	table string // hash of the maker's own table
}

// Basis says what a limit counts.
type Basis struct {
	Text    string   // such as "as benzoic acid"; empty: the substance as it is
	Factors []Factor // mass factors: counted amount = content × factor
	// Other says that the figure counts something else than the content of the
	// named substances: a residue, an impurity, a share of another ingredient.
	// It must then be asked for and not be compared with the content.
	Other bool
}

// Factor converts the content of one ingredient to the basis of the limit.
type Factor struct {
	Name   string    // INCI name, without the form
	Form   string    // hydrate or formula the factor is for; empty: as named
	Factor exact.Num // g of the basis substance in 1 g
}

// Of returns the factor of the named ingredient. Where the table has several
// forms of it, the highest counts, the cautious side. stated is false where the
// table has none; the factor is then 1, which counts the ingredient whole.
func (b Basis) Of(name string) (factor exact.Num, stated bool) {
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

var limitColumns = []string{
	"key", "annex", "entry", "market", "inci_names", "cas", "ec", "condition", "max_pct", "basis", "sum_group", "sum_rule",
	"required_label_text", "colorant_field", "applies_from", "applies_until", "source", "seen", "note",
}

func readLimits(file string, data []byte) ([]*Limit, error) {
	return readTable(file, data, limitColumns, func(r *record) *Limit { return parseLimitIn(r) })
}

// parseLimitIn reads a row whose annex is one of the law's or of the others
// given.
func parseLimitIn(r *record, others ...string) *Limit {
	l := &Limit{
		Row: r.head(r.text("key")), Annex: r.word("annex", append([]string{"II", "III", "IV", "V", "VI"}, others...)...), Entry: r.must("entry"), Markets: r.markets(),
		Names: r.list("inci_names"), CAS: r.list("cas"), EC: r.list("ec"),
		MaxPct: r.pct("max_pct"), Basis: r.basis(), SumGroup: r.text("sum_group"), SumRule: r.text("sum_rule"),
		LabelText: r.text("required_label_text"), From: r.date("applies_from"), Until: r.date("applies_until"),
	}
	if len(l.Names) == 0 {
		r.fail("inci_names is empty")
	}
	r.checkNumbers(l.CAS, l.EC)
	l.Sum = r.sum(l.MaxPct)
	cond, err := Parse(r.text("condition"))
	if err != nil {
		r.fail("condition: %v", err)
	}
	l.Condition = cond
	if f := r.text("colorant_field"); f != "" {
		l.ColourantField = slices.Index([]string{"", "1", "2", "3", "4"}, r.word("colorant_field", "1", "2", "3", "4"))
	}
	if !l.Until.IsZero() && l.Until.Before(l.From) {
		r.fail("applies_until %s lies before applies_from %s", l.Until, l.From)
	}
	if m := offShelf.FindStringSubmatch(l.Note); m != nil {
		d, err := exact.ParseDate(m[1])
		if err != nil {
			r.fail("note: offshelf: %v", err)
		}
		l.OffShelf = d
	}
	l.Spec, l.Colour = specOf(l.Note)
	if _, after, ok := strings.Cut(strings.ToLower(l.Note), "except"); ok && l.Annex == "II" {
		l.Excepted = entryRef.FindAllString(strings.ToUpper(after), -1)
	}
	return l
}

func (r *record) checkNumbers(cas, ec []string) {
	for _, c := range cas {
		if err := exact.CheckCAS(c); err != nil {
			r.fail("cas: %v", err)
		}
	}
	for _, e := range ec {
		if err := exact.CheckEC(e); err != nil {
			r.fail("ec: %v", err)
		}
	}
}

var (
	offShelf   = regexp.MustCompile(`offshelf(?: for [^:;.]*)?: ?(\d{4}-\d\d-\d\d)`)
	entryRef   = regexp.MustCompile(`\b(?:III|IV|V|VI)/\d+`)
	otherBasis = regexp.MustCompile(`^(as peanut protein|as percentage of|as released|residual|secondary amine content)`)
	sameFactor = regexp.MustCompile(`Factors as (\w+/\w+)`)
	factorItem = regexp.MustCompile(`^([^=]+)=(\d+\.\d+)$`)
	factorForm = regexp.MustCompile(`^(.+?) \((.+)\)$`)
)

// basis reads "as x; factors: A=0.5, B (form)=0.4".
func (r *record) basis() Basis {
	text, factors, ok := strings.Cut(r.text("basis"), "; factor")
	b := Basis{Text: strings.TrimSpace(text), Other: otherBasis.MatchString(text)}
	if !ok {
		return b
	}
	for item := range strings.SplitSeq(strings.TrimLeft(factors, "s: "), ", ") {
		m := factorItem.FindStringSubmatch(strings.TrimSpace(item))
		if m == nil {
			r.fail("basis: %q is no factor, write NAME=0.1234", item)
			continue
		}
		n, err := exact.ParseNum(m[2])
		if err != nil {
			r.fail("basis: %v", err)
			continue
		}
		f := Factor{Name: m[1], Factor: n}
		if p := factorForm.FindStringSubmatch(m[1]); p != nil {
			f.Name, f.Form = p[1], p[2]
		}
		b.Factors = append(b.Factors, f)
	}
	return b
}

// specOf takes the criteria behind "spec:" and the shade behind "colour:" out
// of a note. A criterion ends at a semicolon; the last one at a full stop or at
// a closing bracket before a new sentence.
func specOf(note string) (spec []string, colour string) {
	_, after, found := strings.Cut(note, "spec:")
	if nano, tail, ok := strings.Cut(note, "spec nano:"); ok && !found {
		after, found = tail, nano == "" || true
	}
	for item := range strings.SplitSeq(note, ";") {
		if c, ok := strings.CutPrefix(strings.TrimSpace(item), "colour:"); ok {
			colour = c
		}
	}
	if !found {
		return nil, colour
	}
	for item := range strings.SplitSeq(after, ";") {
		item = strings.TrimSpace(item)
		if strings.HasPrefix(item, "colour:") || strings.HasPrefix(item, "EU only") || strings.HasSuffix(item, "from memory") {
			continue
		}
		cut, last := sentenceEnd(item)
		if cut != "" {
			spec = append(spec, cut)
		}
		if last {
			break
		}
	}
	return spec, colour
}

var newSentence = regexp.MustCompile(`\. [A-Zo]|\) [A-Z]`)

func sentenceEnd(item string) (string, bool) {
	if i := newSentence.FindStringIndex(item); i != nil {
		return strings.TrimRight(item[:i[0]+1], "."), true
	}
	return strings.TrimSuffix(item, "."), false
}

// In says whether the rule is in force for a newly placed product on a day.
func (l *Limit) In(m Market, day exact.Date) bool {
	return l.For(m) && (l.From.IsZero() || !day.Before(l.From)) && (l.Until.IsZero() || !l.Until.Before(day))
}

// For says whether the market's annexes hold the rule at any time.
func (l *Limit) For(m Market) bool { return slices.Contains(l.Markets, m.Annexes()) }

// Prohibited says whether the row allows nothing under its condition.
func (l *Limit) Prohibited() bool { return l.MaxPct != nil && l.MaxPct.IsZero() }

// Class says whether the entry names a class of substances by examples: a miss
// by name or number is then no proof that it does not apply.
func (l *Limit) Class() bool { return strings.Contains(strings.ToLower(l.Note), "class entry") }
