package annex

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// state says whether an entry of Annex II binds.
type state string

// The states of an entry of Annex II.
const (
	StateLaw       state = "law"       // in force from its date
	StateDraft     state = "draft"     // notified or announced, not known to be made: it stops nothing
	StateEmpty     state = "empty"     // a number without a ban: moved or deleted
	StateElsewhere state = "elsewhere" // no ban in this market; its condition stands in another annex
)

// The uses a prohibition may be limited to.
const (
	UseAny       = ""
	UseHairDye   = "hair-dye"  // as a substance in hair dye products
	UseLashDye   = "lash-dye"  // as a substance in hair and eyelash dye products
	UseFragrance = "fragrance" // as a fragrance ingredient
)

// The forms a prohibition may be limited to.
const (
	FormAny           = ""
	formNano          = "nano"
	formNanoOrMassive = "nano-or-massive" // particles up to 100 nm, or of 1 mm and more
	formFibre         = "fibre"
	formNanotube      = "nanotube"
)

// The exceptions that an entry of Annex II may make.
const (
	ExceptNone    = "none"
	ExceptListed  = "listed"  // what other entries or the entry itself let out
	ExceptNatural = "natural" // the normal content of natural essences
	ExceptPurity  = "purity"  // banned only where BannedIf holds of the raw material
	ExceptTrace   = "trace"   // banned only above a trace, or but for a trace that another entry rules
)

// marker is a fact of the raw material or product that makes a prohibition
// apply, such as butadiene at or above 0.1 %.
type marker struct {
	// Constituent is butadiene, dmso-extract, benzo[a]pyrene, benzene,
	// releasable-formaldehyde, or refining-history-unknown, which has no figure.
	Constituent string
	Pct         exact.Num // % w/w
	AtLeast     bool      // holds at Pct already; else only above it
}

// refiningUnknown is the marker that holds unless the full refining history is
// documented and shows that the feed is no carcinogen.
const refiningUnknown = "refining-history-unknown"

// Met says whether a content in % w/w makes the prohibition apply. It is of no
// use for [refiningUnknown].
func (m marker) Met(pct exact.Num) bool {
	if m.AtLeast {
		return !pct.Less(m.Pct)
	}
	return m.Pct.Less(pct)
}

// Prohibition is one entry of Annex II for one or both markets.
//
// Source: prohibited.csv; the instrument of each row stands in Row.Source.
type Prohibition struct {
	rows.Row
	Entry   string        // number in the market's annex; GB-unseen where the GB number was not read
	EUEntry string        // number of the same substance in the EU annex where it differs
	Markets []rows.Market // whose annexes hold the entry
	State   state

	// Names are ingredient names of the substance. Linked are names that an
	// official list ties to a class entry: a hit is to be looked at, not a stop.
	// ChemicalNames are the name in the law, its synonyms and member substances.
	Names, Linked, ChemicalNames []string
	CAS, EC                      []string
	MisprintedEC                 []string // as printed in the law, failing the check digit
	NamesUnseen                  []string // those of Names that were not read in a source
	Carriers                     []string // plants that contain the substance and are not themselves banned

	Use          string // UseAny or what the ban is limited to
	Form         string // FormAny or what the ban is limited to
	Group        bool   // class entry: its names and numbers are examples
	SharedNumber bool   // its numbers stand for other parts, preparations or forms too
	Salts        bool   // the entry is for the salts of what it names too

	Exception        string
	BannedIf         []marker // any of them; empty: no such condition
	ExceptEntries    []string // Entries that lift the ban where they hold, such as III/14
	ExceptNames      []string // substances the entry itself lets out
	ExceptPigments   bool     // lakes, salts and pigments of listed colourants are let out
	ExceptImpurityOf string   // allowed as an impurity of this substance; empty: no such rule

	Limits   []string   // Keys of limits.csv that hold the same rule
	From     exact.Date // first day a newly placed product must comply; zero: long in force
	Until    exact.Date // last day of an older text; zero: open
	OffShelf exact.Date // last day of sale of stock placed earlier; zero: not stated
	// DatesUnseen says that the dates were not read in the act.
	DatesUnseen bool
	Scope       string // what is banned and what is left out, in words for a reader
	OnlyForm    string // the form or grade that alone is banned, in words; empty: any
}

var ProhibitedColumns = rows.Columns{
	Meaning: []string{
		"key", "entry", "market", "state", "eu_entry", "inci_names", "linked_names", "chemical_names", "cas",
		"ec", "ec_misprinted", "use", "form", "group", "exception", "banned_if", "except_entries",
		"except_names", "except_pigments", "except_impurity_of", "carriers", "shared_number", "salts", "names_unseen",
		"limits", "applies_from", "applies_until", "off_shelf", "dates_seen", "seen",
	},
	Remarks: []string{"only_form", "scope", "source", "note"},
}

// Markers a prohibition may name, the one without a figure last.
var markerWords = []string{"butadiene", "dmso-extract", "benzo[a]pyrene", "benzene",
	"releasable-formaldehyde", refiningUnknown}

func ReadProhibited(file string, text string) ([]*Prohibition, error) {
	return rows.ReadTable(file, text, ProhibitedColumns, parseProhibition)
}

// ReadProhibitedLater reads each row when it is asked for.
func ReadProhibitedLater(file, text string) (*rows.Later[*Prohibition], error) {
	return rows.ReadLater(file, text, ProhibitedColumns, parseProhibition)
}

func parseProhibition(r *rows.Record) *Prohibition {
	p := &Prohibition{
		Row: r.Head(r.Must("key")), Entry: r.Must("entry"), EUEntry: r.Text("eu_entry"), Markets: r.Markets("market"),
		State: state(r.Word("state", string(StateLaw), string(StateDraft), string(StateEmpty),
			string(StateElsewhere))),
		Names: r.Bars("inci_names"), Linked: r.Bars("linked_names"), ChemicalNames: r.Bars("chemical_names"),
		CAS: r.Numbers("cas"), EC: r.Numbers("ec"), MisprintedEC: r.List("ec_misprinted"),
		NamesUnseen: r.Bars("names_unseen"),
		Carriers:    r.Bars("carriers"), Use: r.Word("use", UseAny, UseHairDye, UseLashDye, UseFragrance),
		Form:  r.Word("form", FormAny, formNano, formNanoOrMassive, formFibre, formNanotube),
		Group: r.Yes("group"), SharedNumber: r.Yes("shared_number"), Salts: r.Yes("salts"),
		Exception: r.Word("exception", ExceptNone, ExceptListed, ExceptNatural, ExceptPurity,
			ExceptTrace), BannedIf: markers(r, "banned_if"),
		ExceptEntries: r.List("except_entries"), ExceptNames: r.Bars("except_names"),
		ExceptPigments:   r.Yes("except_pigments"),
		ExceptImpurityOf: r.Text("except_impurity_of"), Limits: r.List("limits"),
		From: r.Date("applies_from"), Until: r.Date("applies_until"),
		OffShelf: r.Date("off_shelf"), DatesUnseen: !r.Yes("dates_seen"), Scope: r.Text("scope"),
		OnlyForm: r.Text("only_form"),
	}
	r.CheckNumbers(p.CAS, p.EC)
	for _, e := range p.MisprintedEC {
		if exact.CheckEC(e) == nil {
			r.Fail("ec_misprinted: %s has the right check digit: move it to ec", e)
		}
	}
	if !p.Until.IsZero() && p.Until.Before(p.From) {
		r.Fail("applies_until %s lies before applies_from %s", p.Until, p.From)
	}
	lets := len(p.ExceptEntries)+len(p.ExceptNames) > 0 || p.ExceptPigments || p.ExceptImpurityOf != ""
	switch {
	case p.Exception == ExceptNone && (lets || len(p.BannedIf) > 0), p.Exception == ExceptPurity &&
		(lets || len(p.BannedIf) == 0):
		r.Fail("exception: %q does not go with what the row lets out", p.Exception)
	}
	if named := len(p.Names)+len(p.Linked)+len(p.ChemicalNames)+len(p.CAS) > 0; named == (p.State == StateEmpty) {
		r.Fail("state empty and a row without names go together")
	}
	if (p.Exception == ExceptPurity) && len(p.BannedIf) == 0 {
		r.Fail("exception purity without banned_if")
	}
	for _, n := range p.NamesUnseen {
		if !slices.Contains(p.Names, n) {
			r.Fail("names_unseen: %s is not among inci_names", n)
		}
	}
	return p
}

// markers reads "benzo[a]pyrene>0.005|benzene>=0.1".
func markers(r *rows.Record, col string) []marker {
	var out []marker
	for _, item := range r.Bars(col) {
		word, figure, found := strings.Cut(item, ">")
		m := marker{Constituent: word, AtLeast: strings.HasPrefix(figure, "=")}
		if !slices.Contains(markerWords, word) || found == (word == refiningUnknown) {
			r.FailIn(col, fmt.Errorf("%q is no marker, write for example butadiene>=0.1", item))
			continue
		}
		if found {
			n, err := exact.ParseNum(strings.TrimPrefix(figure, "="))
			if err != nil {
				r.FailIn(col, err)
				continue
			}
			m.Pct = n
		}
		out = append(out, m)
	}
	return out
}

// For says whether the market's Annex II holds the entry at any time.
func (p *Prohibition) For(m rows.Market) bool { return slices.Contains(p.Markets, m.Annexes()) }

// In says whether the entry binds a newly placed product on a day.
func (p *Prohibition) In(m rows.Market, day exact.Date) bool {
	return p.State == StateLaw && p.For(m) && (p.From.IsZero() || !day.Before(p.From)) &&
		(p.Until.IsZero() || !p.Until.Before(day))
}

// Numbered says whether an entry is a number of the annex.
func Numbered(entry string) bool { return entry != "" && entry[0] >= '0' && entry[0] <= '9' }
