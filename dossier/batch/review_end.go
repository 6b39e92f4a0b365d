package batch

import (
	"fmt"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/calc/masses"
	"gallipot/calc/soap"
	"gallipot/dossier/assess"
	"gallipot/dossier/parallel"
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
	var items []string
	for _, l := range r.b.Lines {
		for _, lot := range l.Lots {
			name := lotWords(lot, l.Ingredient)
			switch {
			case lot.BestBefore.IsZero() || r.b.Date.IsZero():
			case lot.BestBefore.Before(r.b.Date):
				r.say(finding.Findingf(finding.Stop, "lot-expired", lot.Pos, "%s was good until %s, the batch is of %s", name, lot.BestBefore, r.b.Date).On(l.Ingredient).
					WithFix("correct the date if it is wrong; else a named person decides on the batch, with a new test of the lot in hand (ISO 22716 10)"))
			case !end.IsZero() && lot.BestBefore.Before(end):
				early = append(early, finding.Findingf(finding.Note, "lot-ends-early", lot.Pos, "%s is good until %s, the product until %s", name, lot.BestBefore, end).On(l.Ingredient).
					WithWhy("advice differs on whether the shortest date of a material caps that of the product; stability-micro.csv, row D11").
					WithFix("decide with the assessor whether it does"))
				items = words.AddOnce(items, name+" until "+lot.BestBefore.String())
			}
		}
	}
	switch len(items) {
	case 0:
	case 1:
		r.say(early[0])
	default:
		f := early[0].On(r.b.Code)
		f.Message, f.Items = fmt.Sprintf("the product is good until %s, and these materials of batch %s end before it", end, r.b.Code), items
		r.say(f)
	}
}

// lotWords names a lot of a material.
func lotWords(lot workshop.BatchLot, ingredient string) string {
	if name := workshop.LotName(lot); name != "" {
		return "lot " + name + " of " + ingredient
	}
	return "a lot of " + ingredient + " without a number"
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
		failed := c.OK != nil && !*c.OK
		why := "marked as not in order"
		if !failed && outside(c) {
			failed, why = true, "outside what is wanted"
		}
		if failed {
			r.say(finding.Findingf(finding.Stop, "batch-check-failed", c.Pos, "the check of %s found %s, wanted %s: %s", c.What, words.OrWord(c.Found, "nothing written"), words.OrWord(c.Wanted, "nothing stated"), why).On(c.What).
				WithFix("a named person decides: reject, or rework by a defined way and test again (ISO 22716 10)"))
		}
	}
}

// outside compares a number with a wanted number or range; words are left to
// people.
func outside(c workshop.BatchCheck) bool {
	found, err := exact.ParseNum(strings.TrimSpace(c.Found))
	if err != nil {
		return false
	}
	wanted, err := exact.ParseAmount(c.Wanted)
	if err != nil || wanted.Rest || strings.ContainsAny(c.Wanted, "%pm") {
		return false
	}
	return found.Less(wanted.Min) || wanted.Max.Less(found)
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
	low, high := law.Fact(r.law, "yield-usual-low"), law.Fact(r.law, "yield-usual-high")
	f := finding.Findingf(finding.Ask, "batch-yield", b.Yield.Pos, "the yield of batch %s is %s %% (%s g of %s g), usual is %s to %s %%", b.Code, y.Pct.Fixed(1), y.OutG.Sig(6), y.WeighedG.Exact(), y.LowPct.Sig(3), y.HighPct.Sig(3)).
		WithWhy("filled and kept mass by weighed mass; %s (facts.csv, rows %s and %s)", low.Source, low.Key, high.Key).
		WithFix("find the weighing error before release, or write the reason under yield (reason: …)")
	if y.OverG.Sign() > 0 {
		f.Message = fmt.Sprintf("%s g more came out of batch %s than was weighed in: %s g filled and kept, of %s g (%s %%)", y.OverG.Sig(4), b.Code, y.OutG.Sig(6), y.WeighedG.Exact(), y.Pct.Fixed(1))
		f.Why = fmt.Sprintf("no more comes out than went in; the steps of the balance explain %s g", r.stepsG().Exact())
		if b.Retained.G != nil || b.Retained.Units != nil {
			f.Fix = "is the sample that is kept one of the packs filled? Then count it once: leave it out of filled_units and filled_g; else find the weighing error before release, or write the reason under yield (reason: …)"
		}
	}
	if dried.Sign() > 0 {
		f.Message += fmt.Sprintf(", after %s %% has dried off", dried.Exact())
	}
	if b.Yield.Reason != "" {
		f.Severity, f.Fix = finding.Note, "reason given: "+b.Yield.Reason
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
	net, err := weigh.NetGrams(r.out.Product, nil)
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
	mean, words := y.FilledG.Quo(exact.Int(int64(*y.FilledUnits))), "on average"
	if loss := r.driesPct(); loss.Sign() > 0 && y.Dried != nil && !*y.Dried {
		words = fmt.Sprintf("on average once %s %% of the %s g they were filled with has dried off", loss.Exact(), mean.Sig(5))
		mean = mean.Pct(exact.Int(100).Sub(loss))
	}
	if mean.Less(*net) {
		r.say(finding.Findingf(finding.Ask, "batch-underfilled", y.Pos, "the packs of batch %s hold %s g %s, the label says %s g", r.b.Code, mean.Sig(5), words, net.Sig(5)).
			WithWhy("the packs of a batch hold on average no less than the nominal content; the packers' rules of 76/211/EEC and SI 2006/659").
			WithFix("check figures and filling; top up, or label with what is in"))
	}
}

// release says what speaks against letting the batch go, and stops one that was
// let go all the same.
func (r *reviewer) release() {
	open := &r.out.Open
	if n := len(r.out.Missing); n > 0 {
		*open = append(*open, "the record is not filled in: "+strings.Join(r.out.Missing, "; "))
	}
	for _, f := range r.out.Findings {
		if f.Severity != finding.Note && f.Code != "batch-incomplete" {
			*open = append(*open, f.Message)
		}
	}
	if d := r.b.Release.Decision; d == "rejected" || d == "rework" {
		*open = append(*open, "the decision on it is: "+d)
	}
	r.out.OpenInRecord = len(*open)
	if r.b.Released() && len(*open) > 0 {
		r.say(finding.Findingf(finding.Stop, "batch-released-open", r.b.Release.Pos, "batch %s is released, and %s open in its record", r.b.Code, pointsAre(len(*open))).
			WithWhy("a batch is released when its record is complete and every result is in order; ISO 22716 9 (stability-micro.csv, row B11)").
			WithFix("settle what gallipot batch %s lists, or take the release back and keep the packs", r.b.Code))
	}
}

// mayRelease adds what speaks against selling the product at all.
func (r *reviewer) mayRelease() {
	open := &r.out.Open
	switch {
	case r.out.Product == nil:
		*open = append(*open, "its product file is gone")
	case r.out.Variant == nil:
		*open = append(*open, "its variant is gone")
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
		open = append(open, fmt.Sprintf("%s of kind stop for the product: gallipot check %s", words.Count(stops, "finding", "findings"), productName(r.b)))
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
	for _, a := range as {
		for _, b := range w.BatchesOf(a.Product.ID) {
			if b.State() != "planned" && len(a.ByVariant(b.Variant)) > 0 {
				jobs = append(jobs, func() []finding.Finding { return review(w, b, a).out.Findings })
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
