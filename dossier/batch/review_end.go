package batch

import (
	"fmt"
	"slices"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/calc/masses"
	"gallipot/calc/soap"
	"gallipot/dossier/assess"
	"gallipot/dossier/parallel"
	"gallipot/dossier/stock"
	"gallipot/dossier/wanted"
	"gallipot/dossier/weigh"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// lots checks dates of the materials against the day of making and against the
// durability of the product.
func (r *reviewer) lots() {
	end := r.endOfLife()
	var early []finding.Finding
	for _, l := range r.b.Lines {
		for _, lot := range l.Lots {
			say := func(sev finding.Severity, code string) finding.Finding {
				return r.w.OnMaterial(finding.NewFinding(sev, code, lot.Pos, workshop.With().
					Name("lot", workshop.LotName(lot)).Day("until", lot.BestBefore)), l.Ingredient)
			}
			switch {
			case lot.BestBefore.IsZero() || r.b.Date.IsZero():
			case lot.BestBefore.Before(r.b.Date):
				r.say(say(finding.Stop, "lot-expired").And(workshop.With().Day("made", r.b.Date)).
					At(r.b.Source.Name, "lines.lots.best_before", nil))
			case !end.IsZero() && lot.BestBefore.Before(end):
				early = append(early, say(finding.Note, "lot-ends-early"))
			}
		}
	}
	if len(early) == 0 {
		return
	}
	f := finding.NewFinding(finding.Note, "lot-ends-early", early[0].Pos, workshop.With().Day("product", end)).
		By(finding.TheAssessor)
	for _, x := range early {
		f.Things = f.Things.Term("", "lot-until", append(workshop.With().Is("material", x.About), x.Values...))
		f.Things = words.UniqueValues(f.Things)
	}
	r.say(f)
}

// endOfLife is the day up to which the product is said to keep, by its best
// before; zero where none is stated.
func (r *reviewer) endOfLife() exact.Date {
	if r.out.Product == nil || r.out.Product.Durability.BestBeforeMonths == 0 || r.b.Date.IsZero() {
		return 0
	}
	return exact.DateOf(r.b.Date.Time().AddDate(0, r.out.Product.Durability.BestBeforeMonths, 0))
}

// checks judges what was found while making.
func (r *reviewer) checks() {
	for _, c := range r.b.Checks {
		form := "not-in-order"
		failed := c.OK != nil && !*c.OK
		if !failed && wanted.Of(c.Found, c.Wanted) == wanted.Outside {
			failed, form = true, "outside"
		}
		if failed {
			r.say(finding.NewFinding(finding.Stop, "batch-check-failed", c.Pos, workshop.With().Quote("check", c.What).
				Quote("found", c.Found).Quote("wanted", c.Wanted)).As(form))
		} else if uncompared(c) {
			r.say(finding.NewFinding(finding.Ask, "batch-check-uncompared", c.Pos, workshop.With().
				Quote("check", c.What).Quote("found", c.Found).Quote("wanted", c.Wanted)))
		}
	}
}

// uncompared says whether a figure is wanted and what was found cannot be held to it: a tick beside
// it does not make it one.
func uncompared(c workshop.BatchCheck) bool {
	return c.Found != "" && wanted.Figure(c.Wanted) && wanted.Of(c.Found, c.Wanted) == wanted.Unknown
}

// yield reconciles what was weighed in with what came out.
func (r *reviewer) yield() {
	b := r.b
	r.meanFill()
	_, _, complete := b.Made()
	out, known := r.outG()
	if !complete || !known {
		return
	}
	dried, known := r.dried()
	if !known {
		return
	}
	y, ok := masses.YieldOf(b.WeighedG(), out, dried, r.stepsG(), r.law)
	if !ok {
		return
	}
	r.out.Yield = &y
	if y.Usual {
		return
	}
	low := law.Fact(r.law, "yield-usual-low")
	form := ""
	v := workshop.With().Num("yield", y.Pct, "%", finding.OneDecimal).
		Num("out", y.OutG, "g", workshop.SixDigits).Num("in", y.WeighedG, "g", finding.AsIs)
	if dried.Sign() > 0 {
		v = v.Num("dried", dried, "%", finding.AsIs)
	}
	if y.OverG.Sign() > 0 {
		form = "over"
		v = v.Num("over", y.OverG, "g", finding.FourDigits).Num("steps", r.stepsG(), "g", finding.AsIs).
			Flag(b.Retained.G != nil || b.Retained.Units != nil, "sample")
	} else {
		v = v.Num("low", y.LowPct, "", finding.ThreeDigits).Num("high", y.HighPct, "%", finding.ThreeDigits).
			Source("law", finding.Values{{Kind: finding.KindQuote, Text: low.Source}})
	}
	f := finding.NewFinding(finding.Ask, "batch-yield", b.Yield.Pos, v.Quote("reason", b.Yield.Reason)).As(form).
		At(b.Source.Name, "yield.reason", nil)
	if b.Yield.Reason != "" {
		f.Severity = finding.Note
	}
	r.say(f)
}

// driesPct is what of the product dries off between filling and sale, % of the
// mass filled.
func (r *reviewer) driesPct() (pct exact.Num) {
	if r.out.Product != nil {
		pct = soap.DriesPct(r.out.Product.Product)
	}
	return pct
}

// dried is what had dried off when the packs were weighed, %; known is false where
// nobody has said which it was. Packs that were only counted hold what is sold.
func (r *reviewer) dried() (pct exact.Num, known bool) {
	y := r.b.Yield
	switch loss := r.driesPct(); {
	case loss.IsZero() || y.FilledG != nil && y.Dried != nil && !*y.Dried:
		return pct, true
	case y.FilledG == nil || y.Dried != nil:
		return loss, true
	}
	return pct, false
}

// stepsG is what the steps of the balance explain, g: one for each line, for each
// pack filled and for the sample.
func (r *reviewer) stepsG() exact.Num {
	weighings := len(r.b.Lines) + 1
	if n := r.b.Yield.FilledUnits; n != nil {
		weighings += *n
	} else {
		weighings++
	}
	return exact.Int(int64(weighings)).Mul(r.divisionG())
}

// outG is what was filled and kept, in g; false where it cannot be worked out. A
// sample of whole packs that was not weighed holds what the others hold.
func (r *reviewer) outG() (out exact.Num, ok bool) {
	b, pack := r.b, r.netG()
	if dried, known := r.dried(); known && pack != nil && dried.IsZero() {
		wet := masses.Filling{NetG: *pack, DryPct: r.driesPct()}.PackG()
		pack = &wet
	}
	switch {
	case b.Yield.FilledG != nil:
		out = *b.Yield.FilledG
	case b.Yield.FilledUnits != nil && pack != nil:
		out = pack.Mul(exact.Int(int64(*b.Yield.FilledUnits)))
	default:
		return out, false
	}
	switch {
	case b.Retained.G != nil:
		out = out.Add(*b.Retained.G)
	case b.Retained.Units != nil && pack != nil:
		out = out.Add(pack.Mul(exact.Int(int64(*b.Retained.Units))))
	}
	return out, true
}

func (r *reviewer) netG() *exact.Num {
	if r.out.Product == nil {
		return nil
	}
	net, err := weigh.NetGrams(r.out.Product, nil, r.w.Law)
	if err != nil {
		return nil
	}
	return net
}

// meanFill holds the mean content of the packs, as sold, to the nominal one. Of a
// mass that may be wet or dry the better reading is taken: what is below even so
// is below.
func (r *reviewer) meanFill() {
	y, net := r.b.Yield, r.netG()
	if y.FilledG == nil || y.FilledUnits == nil || *y.FilledUnits == 0 || net == nil {
		return
	}
	mean := y.FilledG.Quo(exact.Int(int64(*y.FilledUnits)))
	v := workshop.With()
	if loss := r.driesPct(); loss.Sign() > 0 && y.Dried != nil && !*y.Dried {
		v = v.Num("loss", loss, "%", finding.AsIs).Num("filled", mean, "g", workshop.FiveDigits)
		mean = mean.Pct(exact.Int(100).Sub(loss))
	}
	if mean.Less(*net) {
		r.say(finding.NewFinding(finding.Ask, "batch-underfilled", y.Pos,
			v.Num("mean", mean, "g", workshop.FiveDigits).Num("label", *net, "g", workshop.FiveDigits)).
			At(r.b.Source.Name, "yield.filled_g", nil))
	}
}

// release says what speaks against letting the batch go, and stops one that was
// let go all the same.
func (r *reviewer) release() {
	open := &r.out.Open
	incomplete := func(f finding.Finding) bool {
		return f.Code == "batch-incomplete" && f.Severity == finding.Decided
	}
	if len(r.out.Missing) > 0 && !slices.ContainsFunc(r.out.Findings, incomplete) {
		*open = append(*open, words.Term("not-filled-in", workshop.With().Those("missing", r.out.Missing),
			words.Terminal))
	}
	for _, s := range words.SayAll(r.out.Findings, words.Terminal) {
		if s.Severity != finding.Note && s.Severity != finding.Decided && s.Code != "batch-incomplete" {
			*open = append(*open, s.Line())
		}
	}
	if d := r.b.Release.Decision; d == "rejected" || d == "rework" {
		*open = append(*open, words.Term("decided", workshop.With().Name("decision", d), words.Terminal))
	}
	r.out.OpenInRecord = len(*open)
	if r.b.Released() && len(*open) > 0 {
		r.say(finding.NewFinding(finding.Stop, "batch-released-open", r.b.Release.Pos, workshop.With().
			Count("open", len(*open))).
			With(finding.Action{Kind: finding.ActionBatch, Batch: r.b.Code}))
	}
}

// mayRelease adds what speaks against selling the product at all.
func (r *reviewer) mayRelease() {
	open := &r.out.Open
	switch {
	case r.out.Product == nil:
		*open = append(*open, words.Term("product-gone", nil, words.Terminal))
	case r.out.Variant == nil:
		*open = append(*open, words.Term("variant-gone", nil, words.Terminal))
	default:
		*open = append(*open, r.productOpen()...)
	}
}

func pointsAre(n int) string {
	if n == 1 {
		return "1 point is"
	}
	return fmt.Sprintf("%d points are", n)
}

// productOpen says what speaks against selling the product at all.
func (r *reviewer) productOpen() (open []string) {
	stops := 0
	for _, f := range r.a.Only([]string{r.b.Variant}).Findings {
		if f.Severity == finding.Stop {
			stops++
		}
	}
	if stops > 0 {
		open = append(open, words.Term("product-stops", workshop.With().Count("stops", stops).
			Name("product", productName(r.b)), words.Terminal))
	}
	return open
}

func productName(b *workshop.Batch) string {
	if b.Variant == "" {
		return b.Product
	}
	return b.Product + "/" + b.Variant
}

// BatchFindings reviews every batch of the assessed products that is in the
// making or done. A batch whose product is gone has been asked about on reading.
func BatchFindings(w *workshop.Workshop, as []*assess.Assessment) []finding.Finding {
	var jobs []func() []finding.Finding
	if len(as) == 0 {
		return nil
	}
	books := stock.Of(w, as[0].Options.Date)
	for _, a := range as {
		for _, b := range w.BatchesOf(a.Product.ID) {
			if b.State() != "planned" && len(a.ByVariant(b.Variant)) > 0 {
				jobs = append(jobs, func() []finding.Finding { return review(w, b, a, books).out.Findings })
			}
		}
	}
	found := make([][]finding.Finding, len(jobs))
	parallel.Each(len(jobs), func(i int) { found[i] = jobs[i]() })
	var all []finding.Finding
	for _, fs := range found {
		all = append(all, fs...)
	}
	return calc.Unique(all)
}
