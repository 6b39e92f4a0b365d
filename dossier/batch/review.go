package batch

import (
	"fmt"
	"slices"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/masses"
	"gallipot/dossier/assess"
	"gallipot/dossier/decide"
	"gallipot/dossier/document"
	"gallipot/dossier/stock"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// BatchReview is what there is to say about one batch.
type BatchReview struct {
	Batch      *workshop.Batch
	Product    *workshop.Product // nil: its file is gone
	Variant    *formula.Variant  // nil: it is gone
	Results    []*calc.Result    // of what was weighed, a market each; empty while masses are missing
	planned    []*calc.Result    // of the formula, beside Results
	Lines      []masses.MadeLine
	Deviations []masses.Deviation  // into Lines
	Base       *masses.BaseBalance // of the base that was divided; nil where none is, or masses are missing
	Yield      *masses.Yield       // nil while figures are missing
	Missing    finding.Values      // terms of what is not filled in
	Findings   []finding.Finding
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
func Review(w *workshop.Workshop, b *workshop.Batch, a *assess.Assessment) *BatchReview {
	day := w.LatestRecord()
	if a != nil {
		day = a.Options.Date
	}
	r := review(w, b, a, stock.Of(w, day))
	r.mayRelease()
	return r.out
}

// review is Review without what speaks against the product itself.
func review(w *workshop.Workshop, b *workshop.Batch, a *assess.Assessment, books *stock.Book) *reviewer {
	r := &reviewer{w: w, b: b, a: a, books: books, out: &BatchReview{Batch: b}}
	if a != nil {
		r.law, r.out.Product = a.Options.Law, a.Product
		r.planned = a.ByVariant(b.Variant)
		if len(r.planned) > 0 {
			r.out.Variant = r.planned[0].Input.Variant
		}
	} else {
		r.law = w.Law
	}
	r.otherwise()
	r.fill()
	r.weighed()
	r.assess()
	r.lots()
	r.lotsAgree()
	r.lotsNamed()
	r.sums()
	for _, f := range r.books.OfBatch(b, r.printed()) {
		r.say(f)
	}
	r.dates()
	r.checks()
	r.yield()
	r.sent()
	r.out.Findings = calc.Unique(r.out.Findings)
	r.settle()
	r.release()
	r.assessed()
	r.out.Findings = calc.Unique(append(r.out.Findings, r.settle()...))
	return r
}

// settle marks what is decided in writing about the record, and gives what there is to
// say about those decisions.
func (r *reviewer) settle() (said []finding.Finding) {
	if r.a != nil {
		r.out.Findings, said = decide.SettleBatch(r.a, r.b, r.out.Findings)
	}
	return said
}

// printed is what the labels of the batch have to say.
func (r *reviewer) printed() stock.Printed {
	p := stock.Printed{Lists: map[string]string{}, Sure: r.out.Otherwise == ""}
	if r.out.Product != nil {
		p.Revision = r.out.Product.Revision
	}
	for _, x := range r.planned {
		p.Lists[string(x.Input.Market)] = x.List.Line()
	}
	return p
}

// reviewer looks at one batch.
//
// Findings: ask "batch-incomplete", "batch-off-plan", "batch-unplanned",
// "batch-line-missing", "batch-yield", "batch-underfilled", "batch-check-uncompared"; stop or ask
// "batch-base", "batch-dates", "batch-sent", "batch-sums"; ask "lot-dates",
// "batch-lots-twice", "batch-revision"; stop "batch-own-lot",
// "batch-check-failed", "lot-expired", "batch-label", "batch-released-open"; note
// "lot-ends-early"; ask or stop "batch-not-assessed"; and every stop that the limits raise on what was weighed and
// not on the formula.
type reviewer struct {
	w       *workshop.Workshop
	b       *workshop.Batch
	a       *assess.Assessment
	law     *table.Tables
	planned []*calc.Result
	books   *stock.Book
	out     *BatchReview
}

func (r *reviewer) say(f finding.Finding) {
	if f.Subject == "" {
		f = f.On("batch " + r.b.Code)
		f.About.ID = r.b.Code
	}
	if len(f.Who) == 0 {
		f = f.By(finding.TheMaker)
	}
	r.out.Findings = append(r.out.Findings, f)
}

func (r *reviewer) missing(key string, v finding.Values) {
	r.out.Missing = r.out.Missing.Term("", key, v)
}

// notByLot says whether the sheet of a material says that it is not bought by the lot.
func (r *reviewer) notByLot(ingredient string) bool {
	s := r.w.Sheets[ingredient]
	return s != nil && s.Purchase.NotByLot
}

// fill gathers what the record still lacks.
func (r *reviewer) fill() {
	b := r.b
	var masses, lots []string
	for _, l := range b.Lines {
		if l.WeighedG == nil {
			masses = append(masses, l.Ingredient)
		}
		if !slices.ContainsFunc(l.Lots, func(x workshop.BatchLot) bool {
			return x.Lot != "" ||
				x.SupplierLot != ""
		}) && (l.WeighedG == nil || !l.WeighedG.IsZero()) && !r.notByLot(l.Ingredient) {
			lots = words.AddOnce(lots, l.Ingredient)
		}
	}
	if len(masses) > 0 {
		r.missing("mass-of", workshop.With().Those("materials", r.w.MaterialValues(masses)))
	}
	if len(lots) > 0 {
		r.missing("lot-of", workshop.With().Those("materials", r.w.MaterialValues(lots)))
	}
	for _, p := range b.Portions {
		if p.BaseG == nil {
			r.missing("base-of", workshop.With().Name("portion", p.Name))
		}
	}
	for _, c := range b.Checks {
		if c.Found == "" && c.OK == nil {
			r.missing("result-of", workshop.With().Quote("check", c.What))
		}
	}
	for _, x := range []struct {
		lacks bool
		what  string
	}{
		{b.MadeBy == "", "made-by"},
		{b.StartBy == "", "start-checked-by"},
		{b.Yield.FilledUnits == nil, "filled-units"},
		{r.driesPct().Sign() > 0 && b.Yield.FilledG != nil && b.Yield.Dried == nil, "wet-or-dry"},
		{b.Retained.Units == nil && b.Retained.G == nil, "retained-sample"},
		{b.Release.Decision != "" && b.Release.By == "", "decided-by"},
		{b.Release.Decision != "" && b.Release.Date.IsZero(), "decision-date"},
	} {
		if x.lacks {
			r.missing(x.what, nil)
		}
	}
	if len(r.out.Missing) == 0 {
		return
	}
	r.say(finding.NewFinding(finding.Ask, "batch-incomplete", b.Pos, workshop.With().
		Those("missing", r.out.Missing)).At(b.Source.Name, "", nil))
}

// materials are the raw materials of the batch made ready for computing.
func (r *reviewer) materials() map[string]*formula.Material {
	if r.a != nil && r.a.Options.Session != nil {
		return r.a.Options.Session.Materials
	}
	sheets := map[string]*ingredients.Sheet{}
	for _, l := range r.b.Lines {
		if s := r.w.Sheets[l.Ingredient]; s != nil {
			sheets[l.Ingredient] = s
		}
	}
	return formula.PrepareAll(sheets, r.law.Dictionary())
}

// weighed compares each mass with its plan, and the record with the formula.
func (r *reviewer) weighed() {
	b := r.b
	r.out.Lines, _, _ = b.Made()
	r.out.Deviations = masses.Deviations(r.out.Lines, r.materials(), r.divisionG(), r.law)
	reasons := map[exact.Pos]string{}
	for _, l := range b.Lines {
		reasons[l.Pos] = l.Reason
	}
	for _, d := range r.out.Deviations {
		if d.Within {
			continue
		}
		l := r.out.Lines[d.Line]
		r.say(r.w.OnMaterial(r.planFinding(l.Pos, *l.PlannedG, l.G, d, reasons[l.Pos]), l.Ingredient))
	}
	r.base()
	r.againstFormula()
}

// divisionG is that of the balance which the batch was weighed on; 0 when nobody
// has stated it.
func (r *reviewer) divisionG() (division exact.Num) {
	switch {
	case r.b.DivisionG != nil:
		return *r.b.DivisionG
	case r.w.BalanceDivisionG != nil:
		return *r.w.BalanceDivisionG
	}
	return division
}

// offPlan asks about one mass beside its plan.
func signedG(n exact.Num) string {
	if n.Sign() > 0 {
		return "+" + n.Exact()
	}
	return document.Minus(n.Exact())
}

// otherwise compares the figures of the plan with those of today, at one revision.
func (r *reviewer) otherwise() {
	b := r.b
	if r.a == nil || b.Fingerprint == "" || b.Fingerprint == r.a.Fingerprint ||
		b.Revision != r.out.Product.Revision {
		return
	}
	r.out.Otherwise = fmt.Sprintf("the batch was planned with the figures %s, today's are %s, and both are called revision %d: formula, papers or tables have changed since; a changed formula gets the next revision", b.Fingerprint, r.a.Fingerprint, b.Revision)
}

// sinceThen gives a finding the reason that the figures are no longer those of the
// plan.
func (r *reviewer) sinceThen(f finding.Finding) finding.Finding {
	if r.out.Otherwise == "" {
		return f
	}
	return f.As("since-then").And(workshop.With().Name("planned", r.b.Fingerprint).
		Name("today", r.a.Fingerprint).Count("revision", r.b.Revision).Name("file", r.out.Product.Source.Name))
}

// againstFormula compares the materials of the record with those of the formula
// of the same revision.
func (r *reviewer) againstFormula() {
	if len(r.planned) == 0 || r.b.Revision != 0 && r.b.Revision != r.out.Product.Revision {
		return
	}
	var formula, record []string
	for _, s := range r.planned[0].Recipe.Whole.Shares {
		formula = words.AddOnce(formula, s.Ingredient)
	}
	say := func(code string, pos exact.Pos, id, file, key string) {
		r.say(r.sinceThen(r.w.OnMaterial(finding.NewFinding(finding.Ask, code, pos, workshop.With().
			Name("batch", r.b.Code)), id).At(file, key, nil)))
	}
	for _, l := range r.b.Lines {
		known := slices.Contains(record, l.Ingredient) // a material of several portions is said once
		record = words.AddOnce(record, l.Ingredient)
		if !known && !slices.Contains(formula, l.Ingredient) {
			say("batch-unplanned", l.Pos, l.Ingredient, r.out.Product.Source.Name, "formula")
		}
	}
	for _, id := range formula {
		if !slices.Contains(record, id) {
			say("batch-line-missing", r.b.Pos, id, r.b.Source.Name, "lines")
		}
	}
}

// assess runs limits and allergens on what was really weighed.
func (r *reviewer) assess() {
	lines, portions, complete := r.b.Made()
	if !complete || len(r.planned) == 0 || len(portions) != len(r.b.Portions) || r.out.Base != nil &&
		r.out.Base.TooMuch() {
		return
	}
	recipe, ok := masses.MadeRecipe(lines, portions)
	if !ok {
		return
	}
	var markets inMarkets
	for _, planned := range r.planned {
		in := *planned.Input
		if r.b.Released() && !r.b.Release.Date.IsZero() {
			in.Date = r.b.Release.Date
		}
		made := masses.CheckMade(&in, recipe)
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
	list []finding.Finding
	at   map[string]int // findingKey → index into list
}

// add enters a finding of one market.
func (j *inMarkets) add(f finding.Finding, market rows.Market) {
	if j.at == nil {
		j.at = map[string]int{}
	}
	key := f.CauseKey()
	i, known := j.at[key]
	if !known {
		i = len(j.list)
		j.at[key] = i
		f.Markets = nil
		j.list = append(j.list, f)
	}
	have := j.list[i]
	if have.Grade != nil && have.Grade.Less(*f.Grade) {
		f.Markets = have.Markets
		have, f = f, have
	}
	have = have.JoinSources(f)
	have.Markets = words.AddOnce(have.Markets, string(market))
	j.list[i] = have
}

// joined returns the findings, each with its markets; one of all markets names
// none.
func (j *inMarkets) joined(all int) []finding.Finding {
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
		if f.Severity == finding.Stop {
			known[f.Code+"\x00"+f.Subject] = true
		}
	}
	for _, f := range made.Findings {
		if f.Severity != finding.Stop || known[f.Code+"\x00"+f.Subject] {
			continue
		}
		f = f.And(workshop.With().Name("batch", r.b.Code))
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
		markets.add(finding.NewFinding(finding.Stop, "batch-label", r.b.Pos, workshop.With().
			Name("batch", r.b.Code)).On(words.JoinNames(more)), made.Input.Market)
	}
}

// planFinding asks about one mass beside its plan.
func (r *reviewer) planFinding(pos exact.Pos, plannedG, g exact.Num, d masses.Deviation,
	reason string) finding.Finding {
	v := workshop.With().Num("weighed", g, "g", finding.AsIs).Num("planned", plannedG, "g", finding.AsIs).
		Figure("off", signedG(d.DiffG), "g").
		Num("allowed", d.AllowedG, "g", finding.ThreeDigits).Quote("reason", reason)
	f := finding.NewFinding(finding.Ask, "batch-off-plan", pos, append(v, tolerance(d.Rule)...)).
		At(pos.File, "lines.reason", nil)
	if reason != "" {
		f.Severity = finding.Note
	}
	return f
}
