package dossier

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// BatchReview is what there is to say about one batch.
type BatchReview struct {
	Batch      *Batch
	Product    *Product       // nil: its file is gone
	Variant    *calc.Variant  // nil: it is gone
	Results    []*calc.Result // of what was weighed, a market each; empty while masses are missing
	planned    []*calc.Result // of the formula, beside Results
	Lines      []calc.MadeLine
	Deviations []calc.Deviation  // into Lines
	Base       *calc.BaseBalance // of the base that was divided; nil where none is, or masses are missing
	Yield      *calc.Yield       // nil while figures are missing
	Missing    []string          // what is not filled in
	Findings   []ingredients.Finding
	// Open says why the batch may not be released as far as files can tell;
	// empty: nothing in the files speaks against it.
	Open []string
	// OpenInRecord is how many of them are about the record itself, and not about the
	// product or its assessment.
	OpenInRecord int
	// Otherwise says that the figures are no longer those that the batch was planned
	// with although the revision is the same; "" where they are.
	Otherwise string
}

// Review looks at a batch: what was weighed against its plan, limits and
// allergens on what was really weighed, lots, checks and yield.
//
// a is the assessment of the product on the day; nil where the product is gone.
// Findings: see reviewer.
func (w *Workshop) Review(b *Batch, a *Assessment) *BatchReview {
	r := w.review(b, a)
	r.mayRelease()
	return r.out
}

// review is Review without what speaks against the product itself.
func (w *Workshop) review(b *Batch, a *Assessment) *reviewer {
	r := &reviewer{w: w, b: b, a: a, out: &BatchReview{Batch: b}}
	if a != nil {
		r.law, r.out.Product = a.Options.Law, a.Product
		r.planned = a.ByVariant(b.Variant)
		if len(r.planned) > 0 {
			r.out.Variant = r.planned[0].Input.Variant
		}
	} else {
		r.law = w.law
	}
	r.otherwise()
	r.fill()
	r.weighed()
	r.assess()
	r.lots()
	r.lotsAgree()
	r.dates()
	r.checks()
	r.yield()
	r.sent()
	r.out.Findings = calc.Unique(r.out.Findings)
	r.release()
	r.assessed()
	r.out.Findings = calc.Unique(r.out.Findings)
	return r
}

// reviewer looks at one batch.
//
// Findings: ask "batch-incomplete", "batch-off-plan", "batch-unplanned",
// "batch-line-missing", "batch-yield", "batch-underfilled"; stop or ask
// "batch-base", "batch-dates", "batch-sent"; ask "lot-dates"; stop
// "batch-check-failed", "lot-expired", "batch-label", "batch-released-open"; note
// "lot-ends-early"; ask or stop "batch-not-assessed"; and every stop that the limits raise on what was weighed and
// not on the formula.
type reviewer struct {
	w       *Workshop
	b       *Batch
	a       *Assessment
	law     *law.Tables
	planned []*calc.Result
	out     *BatchReview
}

func (r *reviewer) say(f ingredients.Finding) {
	if f.Subject == "" {
		f = f.On(r.b.Code)
	}
	r.out.Findings = append(r.out.Findings, f)
}

func (r *reviewer) missing(format string, args ...any) {
	r.out.Missing = append(r.out.Missing, fmt.Sprintf(format, args...))
}

// fill gathers what the record still lacks.
func (r *reviewer) fill() {
	b := r.b
	var masses, lots []string
	for _, l := range b.Lines {
		if l.WeighedG == nil {
			masses = append(masses, l.Ingredient)
		}
		if !slices.ContainsFunc(l.Lots, func(x BatchLot) bool { return x.Lot != "" || x.SupplierLot != "" }) && (l.WeighedG == nil || !l.WeighedG.IsZero()) {
			lots = addOnce(lots, l.Ingredient)
		}
	}
	if len(masses) > 0 {
		r.missing("mass of %s", joinNames(masses))
	}
	if len(lots) > 0 {
		r.missing("lot of %s", joinNames(lots))
	}
	for _, p := range b.Portions {
		if p.BaseG == nil {
			r.missing("base weighed into %s", p.Name)
		}
	}
	for _, c := range b.Checks {
		if c.Found == "" && c.OK == nil {
			r.missing("result of the check of %s", c.What)
		}
	}
	for _, x := range []struct {
		lacks bool
		what  string
	}{
		{b.MadeBy == "", "who made it"},
		{b.StartBy == "", "who checked papers, materials, equipment and area before the start"},
		{b.Yield.FilledUnits == nil, "how many packs were filled"},
		{r.driesPct().Sign() > 0 && b.Yield.FilledG != nil && b.Yield.Dried == nil, "whether the mass filled was weighed wet or after drying (dried: false or true)"},
		{b.Retained.Units == nil && b.Retained.G == nil, "the sample that is kept"},
		{b.Release.Decision != "" && b.Release.By == "", "who took the decision"},
		{b.Release.Decision != "" && b.Release.Date.IsZero(), "the day of the decision"},
	} {
		if x.lacks {
			r.missing("%s", x.what)
		}
	}
	if len(r.out.Missing) == 0 {
		return
	}
	r.say(ingredients.Findingf(ingredients.Ask, "batch-incomplete", b.Pos, "the record of batch %s lacks: %s", b.Code, strings.Join(r.out.Missing, "; ")).
		WithWhy("a batch record names each material with lot and mass, checks, yield and release; ISO 22716 7.2 and 9 (stability-micro.csv, rows B3, B9 to B12)").
		WithFix("fill it in, in %s", b.Source.Name))
}

// materials are the raw materials of the batch made ready for computing.
func (r *reviewer) materials() map[string]*calc.Material {
	if r.a != nil && r.a.Options.Session != nil {
		return r.a.Options.Session.materials
	}
	sheets := map[string]*ingredients.Sheet{}
	for _, l := range r.b.Lines {
		if s := r.w.Sheets[l.Ingredient]; s != nil {
			sheets[l.Ingredient] = s
		}
	}
	return calc.PrepareAll(sheets, r.law.Dictionary())
}

// weighed compares each mass with its plan, and the record with the formula.
func (r *reviewer) weighed() {
	b := r.b
	r.out.Lines, _, _ = b.made()
	r.out.Deviations = calc.Deviations(r.out.Lines, r.materials(), r.divisionG(), r.law)
	reasons := map[ingredients.Pos]string{}
	for _, l := range b.Lines {
		reasons[l.Pos] = l.Reason
	}
	for _, d := range r.out.Deviations {
		if d.Within {
			continue
		}
		l := r.out.Lines[d.Line]
		r.offPlan(l.Pos, l.Ingredient, l.Ingredient, *l.PlannedG, l.G, d, reasons[l.Pos])
	}
	r.base()
	r.againstFormula()
}

// divisionG is that of the balance which the batch was weighed on; 0 when nobody
// has stated it.
func (r *reviewer) divisionG() (division ingredients.Num) {
	switch {
	case r.b.DivisionG != nil:
		return *r.b.DivisionG
	case r.w.BalanceDivisionG != nil:
		return *r.w.BalanceDivisionG
	}
	return division
}

// offPlan asks about one mass beside its plan.
func (r *reviewer) offPlan(pos ingredients.Pos, subject, what string, plannedG, g ingredients.Num, d calc.Deviation, reason string) {
	f := ingredients.Findingf(ingredients.Ask, "batch-off-plan", pos, "%s g of %s was weighed, planned %s g: %s g off, allowed %s g", g.Exact(), what, plannedG.Exact(), signedG(d.DiffG), d.AllowedG.Sig(3)).
		On(subject).WithFix("write the reason on the line (reason: …) after deciding that the batch can be kept, or reject it").
		WithWhy("one division of the balance, which is wider here than the working tolerance")
	if d.Rule != nil {
		f = f.WithWhy("working tolerance of %s %s; %s (facts.csv, row %s)", d.Rule.Value, d.Rule.Unit, d.Rule.Source, d.Rule.Key)
	}
	if reason != "" {
		f.Severity = ingredients.Note
		f.Fix = "reason given: " + reason
	}
	r.say(f)
}

func signedG(n ingredients.Num) string {
	if n.Sign() > 0 {
		return "+" + n.Exact()
	}
	return minus(n.Exact())
}

// otherwise compares the figures of the plan with those of today, at one revision.
func (r *reviewer) otherwise() {
	b := r.b
	if r.a == nil || b.Fingerprint == "" || b.Fingerprint == r.a.Fingerprint || b.Revision != r.out.Product.Revision {
		return
	}
	r.out.Otherwise = fmt.Sprintf("the batch was planned with the figures %s, today's are %s, and both are called revision %d: formula, papers or tables have changed since; a changed formula gets the next revision", b.Fingerprint, r.a.Fingerprint, b.Revision)
}

// sinceThen gives a finding the reason that the figures are no longer those of the
// plan.
func (r *reviewer) sinceThen(f ingredients.Finding) ingredients.Finding {
	if r.out.Otherwise == "" {
		return f
	}
	return f.WithWhy("%s", r.out.Otherwise).WithFix("compare the batch with the formula it was made by; count up revision in %s where that has changed", r.out.Product.Source.Name)
}

// againstFormula compares the materials of the record with those of the formula
// of the same revision.
func (r *reviewer) againstFormula() {
	if len(r.planned) == 0 || r.b.Revision != 0 && r.b.Revision != r.out.Product.Revision {
		return
	}
	var formula, record []string
	for _, s := range r.planned[0].Recipe.Whole.Shares {
		formula = addOnce(formula, s.Ingredient)
	}
	for _, l := range r.b.Lines {
		known := slices.Contains(record, l.Ingredient) // a material of several portions is said once
		record = addOnce(record, l.Ingredient)
		if !known && !slices.Contains(formula, l.Ingredient) {
			r.say(r.sinceThen(ingredients.Findingf(ingredients.Ask, "batch-unplanned", l.Pos, "%s went into batch %s and is not in the formula", l.Ingredient, r.b.Code).On(l.Ingredient).
				WithFix("if it belongs there, put it into the formula and raise its revision; if not, this batch is another product")))
		}
	}
	for _, id := range formula {
		if !slices.Contains(record, id) {
			r.say(r.sinceThen(ingredients.Findingf(ingredients.Ask, "batch-line-missing", r.b.Pos, "%s is in the formula and has no line in batch %s", id, r.b.Code).On(id).
				WithFix("add the line with its mass and lot; where it was left out, this batch is another product")))
		}
	}
}

// assess runs limits and allergens on what was really weighed.
func (r *reviewer) assess() {
	lines, portions, complete := r.b.made()
	if !complete || len(r.planned) == 0 || len(portions) != len(r.b.Portions) || r.out.Base != nil && r.out.Base.TooMuch() {
		return
	}
	recipe, ok := calc.MadeRecipe(lines, portions)
	if !ok {
		return
	}
	var markets inMarkets
	for _, planned := range r.planned {
		in := *planned.Input
		if r.b.Released() && !r.b.Release.Date.IsZero() {
			in.Date = r.b.Release.Date
		}
		made := calc.CheckMade(&in, recipe)
		r.out.Results, r.out.planned = append(r.out.Results, made), append(r.out.planned, planned)
		r.newStops(&markets, planned, made)
		r.newAllergens(&markets, planned, made)
	}
	for _, f := range markets.joined(len(r.planned)) {
		r.say(f)
	}
}

// inMarkets joins findings that several markets raise alike.
type inMarkets struct {
	list []ingredients.Finding
	at   map[string]int // findingKey → index into list
}

// add enters a finding of one market.
func (j *inMarkets) add(f ingredients.Finding, market law.Market) {
	if j.at == nil {
		j.at = map[string]int{}
	}
	key := findingKey(f)
	i, known := j.at[key]
	if !known {
		i = len(j.list)
		j.at[key] = i
		f.Markets = nil
		j.list = append(j.list, f)
	}
	j.list[i].Markets = addOnce(j.list[i].Markets, string(market))
}

// joined returns the findings, each with its markets; one of all markets names
// none.
func (j *inMarkets) joined(all int) []ingredients.Finding {
	for i := range j.list {
		if len(j.list[i].Markets) == all {
			j.list[i].Markets = nil
		}
	}
	return j.list
}

// newStops reports what stops the batch and not the formula.
func (r *reviewer) newStops(markets *inMarkets, planned, made *calc.Result) {
	known := map[string]bool{}
	for _, f := range planned.Findings {
		if f.Severity == ingredients.Stop {
			known[f.Code+"\x00"+f.Subject] = true
		}
	}
	for _, f := range made.Findings {
		if f.Severity != ingredients.Stop || known[f.Code+"\x00"+f.Subject] {
			continue
		}
		f.Message = "batch " + r.b.Code + ": " + f.Message
		if f.Pos.File != r.b.Source.Name {
			f.Pos = r.b.Pos
		}
		markets.add(f, made.Input.Market)
	}
}

// newAllergens reports names that the batch would have to declare and the label
// of the formula does not.
func (r *reviewer) newAllergens(markets *inMarkets, planned, made *calc.Result) {
	var more []string
	for _, t := range made.Allergens {
		if t.OnLabel() && !onLabel(planned, t.LabelName) {
			more = append(more, t.LabelName)
		}
	}
	if len(more) > 0 {
		markets.add(ingredients.Findingf(ingredients.Stop, "batch-label", r.b.Pos, "as weighed, batch %s has to declare %s, and the label of the formula does not", r.b.Code, joinNames(more)).
			On(joinNames(more)).WithWhy("each allergen above its threshold in the finished product is named; Regulation (EC) 1223/2009 Annex III").
			WithFix("label this batch with those names, or reject it"), made.Input.Market)
	}
}
