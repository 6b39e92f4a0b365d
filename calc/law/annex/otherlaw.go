package annex

import (
	"slices"

	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Kinds of a rule outside Annexes II to VI.
const (
	KindLaw      = "law"      // binds from its date
	KindOpinion  = "opinion"  // of a scientific committee or agency: never lifts or sets a legal limit
	KindProposal = "proposal" // drafted or announced: stops nothing
)

// What a rule outside the annexes is about.
const (
	AboutSubstance      = "substance"
	AboutMixture        = "mixture"        // a trade name that may hold the substances of other rows
	AboutImpurity       = "impurity"       // Names as an impurity of ImpurityOf, in the raw material
	AboutClassification = "classification" // a class given or refused; no figure follows from it
	AboutBeads          = "beads"          // solid plastic particles that scrub or cleanse
	AboutParticles      = "particles"      // synthetic polymer microparticles of other use
	AboutCapsules       = "capsules"       // encapsulated fragrance
	AboutGlitter        = "glitter"        // loose plastic glitter
	aboutWipes          = "wipes"          // wipes that contain plastic
	AboutLabel          = "label"          // a statement due on the label
	aboutInformation    = "information"    // no single substance and no figure: listed for the reader
	aboutNothingFound   = "nothing-found"  // looked for and not found
)

// OtherRule is a rule outside Annexes II to VI, an opinion or a proposal.
//
// Source: other-law.csv; the act or opinion of each row stands in Row.Source.
type OtherRule struct {
	rows.Row
	Area    string // body of law: REACH, UK REACH, CLP, UK microbeads, UK waste law, or SCCS for opinions
	Subject string
	Kind    string
	About   string
	Markets []rows.Market

	Names     []string // ingredient names; none where the rule is about particles or wipes
	CAS       []string
	Condition condition.Condition
	Types     []string // product types the rule is for besides its condition; empty: all

	// LimitPct is the figure in % w/w, whatever unit the table prints; nil: no
	// figure. Below says that the content must stay below it, not at it.
	LimitPct *exact.Num
	Limit    string // as printed
	Unit     string // %, ppm or ppb, as printed
	Below    bool
	Basis    string // what the figure counts, such as "as acid"; empty: the substance as it is
	// FigureSeen says that the figure and its date were read in the source.
	FigureSeen bool

	From     exact.Date // first day; zero: in force for long, or no law
	InLimits bool       // the rule stands in limits.csv, which judges it
	// OthersNotJudged says that the opinion judged the products of its rows alone.
	OthersNotJudged bool
	AdultsOnly      bool
	NotIn           string // spray or inhalable: the figure is not for these; empty: none
	ImpurityOf      string

	Keys []string
}

var OtherLawColumns = rows.Columns{
	Meaning: []string{
		"key", "area", "subject", "kind", "about", "names", "cas", "condition", "types", "others_not_judged",
		"limit", "unit",
		"compare", "basis", "figure_seen", "applies_from", "market", "in_limits", "not_in", "impurity_of",
		"age_note", "seen",
	},
	Remarks: []string{"source", "note"},
}

func ReadOtherLaw(file string, text string) ([]*OtherRule, error) {
	return rows.ReadTable(file, text, OtherLawColumns, parseOtherRule)
}

func parseOtherRule(r *rows.Record) *OtherRule {
	o := &OtherRule{
		Row: r.Head(r.Must("key")), Area: r.Must("area"), Subject: r.Must("subject"), Kind: r.Word("kind", KindLaw,
			KindOpinion, KindProposal),
		About: r.Word("about", AboutSubstance, AboutMixture, AboutImpurity, AboutClassification, AboutBeads,
			AboutParticles, AboutCapsules,
			AboutGlitter, aboutWipes, AboutLabel, aboutInformation, aboutNothingFound),
		Markets: r.Markets("market"), Names: r.Bars("names"), CAS: r.Numbers("cas"), Types: r.List("types"),
		Limit: r.Text("limit"), Unit: r.Word("unit", "", "%", "ppm", "ppb"), Below: r.Word("compare", "", "below",
			"at-most") == "below",
		Basis: r.Text("basis"), From: r.Date("applies_from"), InLimits: r.Yes("in_limits"),
		OthersNotJudged: r.Yes("others_not_judged"),
		AdultsOnly:      r.Word("age_note", "", "adults") == "adults", NotIn: r.Word("not_in", "", "spray",
			"inhalable"), ImpurityOf: r.Text("impurity_of"),
		FigureSeen: r.Word("figure_seen", "", "yes", "no") == "yes",
	}
	r.CheckNumbers(o.CAS, nil)
	if c, err := condition.Parse(r.Text("condition")); err != nil {
		r.FailIn("condition", err)
	} else {
		o.Condition = c
	}
	o.LimitPct = parts(r, "limit", o.Unit)
	if (o.LimitPct == nil) != (r.Text("compare") == "") || (o.LimitPct == nil) != (r.Text("figure_seen") == "") {
		r.Fail("limit, compare and figure_seen go together")
	}
	if len(o.Names) == 0 && slices.Contains([]string{AboutSubstance, AboutMixture, AboutImpurity}, o.About) {
		r.Fail("names is empty")
	}
	if (o.ImpurityOf != "") != (o.About == AboutImpurity) {
		r.Fail("impurity_of goes with about impurity")
	}
	for _, n := range o.Names {
		o.Keys = append(o.Keys, ingredients.NameKey(n))
	}
	return o
}

// parts reads a figure in %, ppm or ppb and returns it in %.
func parts(r *rows.Record, col, unit string) *exact.Num {
	n := r.Num(col)
	if n == nil {
		return nil
	}
	var pct exact.Num
	switch unit {
	case "%":
		pct = *n
	case "ppm":
		pct = n.Quo(exact.Int(10_000)) // 1 % is 10,000 ppm
	case "ppb":
		pct = n.Quo(exact.Int(10_000_000)) // 1 % is 10,000,000 ppb
	default:
		r.Fail("%s has no unit", col)
		return nil
	}
	return &pct
}

// For says whether the rule is one of the market: NI follows the EU rows.
func (o *OtherRule) For(m rows.Market) bool { return slices.Contains(o.Markets, m.Annexes()) }

// In says whether the rule is the market's and has begun on a day. Opinions and
// proposals have no day: they are in from the start.
func (o *OtherRule) In(m rows.Market, day exact.Date) bool {
	return o.For(m) && (o.Kind != KindLaw || o.From.IsZero() || !day.Before(o.From))
}
