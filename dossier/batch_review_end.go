package dossier

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// lots checks dates of the materials against the day of making and against the
// durability of the product.
func (r *reviewer) lots() {
	end := r.endOfLife()
	var early []ingredients.Finding
	for _, l := range r.b.Lines {
		for _, lot := range l.Lots {
			say := func(sev ingredients.Severity, code string) ingredients.Finding {
				return r.w.onMaterial(ingredients.NewFinding(sev, code, lot.Pos, with().Name("lot", lotName(lot)).Day("until", lot.BestBefore)), l.Ingredient)
			}
			switch {
			case lot.BestBefore.IsZero() || r.b.Date.IsZero():
			case lot.BestBefore.Before(r.b.Date):
				r.say(say(ingredients.Stop, "lot-expired").And(with().Day("made", r.b.Date)).At(r.b.Source.Name, "lines.lots.best_before", nil))
			case !end.IsZero() && lot.BestBefore.Before(end):
				early = append(early, say(ingredients.Note, "lot-ends-early"))
			}
		}
	}
	if len(early) == 0 {
		return
	}
	f := ingredients.NewFinding(ingredients.Note, "lot-ends-early", early[0].Pos, with().Day("product", end)).By(ingredients.TheAssessor)
	for _, x := range early {
		f.Things = f.Things.Term("", "lot-until", append(with().Is("material", x.About), x.Values...))
		f.Things = uniqueValues(f.Things)
	}
	r.say(f)
}

func lotName(l BatchLot) string {
	if l.Lot != "" {
		return l.Lot
	}
	return l.SupplierLot
}

// endOfLife is the day up to which the product is said to keep, by its best
// before; zero where none is stated.
func (r *reviewer) endOfLife() ingredients.Date {
	if r.out.Product == nil || r.out.Product.Durability.BestBeforeMonths == 0 || r.b.Date.IsZero() {
		return 0
	}
	return ingredients.DateOf(r.b.Date.Time().AddDate(0, r.out.Product.Durability.BestBeforeMonths, 0))
}

// checks judges what was found while making.
func (r *reviewer) checks() {
	for _, c := range r.b.Checks {
		form := "not-in-order"
		failed := c.OK != nil && !*c.OK
		if !failed && outside(c) {
			failed, form = true, "outside"
		}
		if failed {
			r.say(ingredients.NewFinding(ingredients.Stop, "batch-check-failed", c.Pos, with().Quote("check", c.What).Quote("found", c.Found).Quote("wanted", c.Wanted)).As(form))
		}
	}
}

func orWord(s, word string) string {
	if s == "" {
		return word
	}
	return s
}

// outside compares a number with a wanted number or range; words are left to
// people.
func outside(c BatchCheck) bool {
	found, err := ingredients.ParseNum(strings.TrimSpace(c.Found))
	if err != nil {
		return false
	}
	wanted, err := ingredients.ParseAmount(c.Wanted)
	if err != nil || wanted.Rest || strings.ContainsAny(c.Wanted, "%pm") {
		return false
	}
	return found.Less(wanted.Min) || wanted.Max.Less(found)
}

// yield reconciles what was weighed in with what came out.
func (r *reviewer) yield() {
	b := r.b
	r.meanFill()
	_, _, complete := b.made()
	out, known := r.outG()
	if !complete || !known {
		return
	}
	dried, known := r.dried()
	if !known {
		return
	}
	y, ok := calc.YieldOf(b.weighedG(), out, dried, r.stepsG(), r.law)
	if !ok {
		return
	}
	r.out.Yield = &y
	if y.Usual {
		return
	}
	low := r.law.Fact("yield-usual-low")
	form := ""
	v := with().Num("yield", y.Pct, "%", ingredients.OneDecimal).Num("out", y.OutG, "g", sixDigits).Num("in", y.WeighedG, "g", ingredients.AsIs)
	if dried.Sign() > 0 {
		v = v.Num("dried", dried, "%", ingredients.AsIs)
	}
	if y.OverG.Sign() > 0 {
		form = "over"
		v = v.Num("over", y.OverG, "g", ingredients.FourDigits).Num("steps", r.stepsG(), "g", ingredients.AsIs).Flag(b.Retained.G != nil || b.Retained.Units != nil, "sample")
	} else {
		v = v.Num("low", y.LowPct, "", ingredients.ThreeDigits).Num("high", y.HighPct, "%", ingredients.ThreeDigits).
			Source("law", ingredients.Values{{Kind: ingredients.KindQuote, Text: low.Source}})
	}
	f := ingredients.NewFinding(ingredients.Ask, "batch-yield", b.Yield.Pos, v.Quote("reason", b.Yield.Reason)).As(form).At(b.Source.Name, "yield.reason", nil)
	if b.Yield.Reason != "" {
		f.Severity = ingredients.Note
	}
	r.say(f)
}

// driesPct is what of the product dries off between filling and sale, % of the
// mass filled.
func (r *reviewer) driesPct() (pct ingredients.Num) {
	if r.out.Product != nil {
		pct = r.out.Product.DriesPct()
	}
	return pct
}

// dried is what had dried off when the packs were weighed, %; known is false where
// nobody has said which it was. Packs that were only counted hold what is sold.
func (r *reviewer) dried() (pct ingredients.Num, known bool) {
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
func (r *reviewer) stepsG() ingredients.Num {
	weighings := len(r.b.Lines) + 1
	if n := r.b.Yield.FilledUnits; n != nil {
		weighings += *n
	} else {
		weighings++
	}
	return ingredients.Int(int64(weighings)).Mul(r.divisionG())
}

// outG is what was filled and kept, in g; false where it cannot be worked out. A
// sample of whole packs that was not weighed holds what the others hold.
func (r *reviewer) outG() (out ingredients.Num, ok bool) {
	b, pack := r.b, r.netG()
	if dried, known := r.dried(); known && pack != nil && dried.IsZero() {
		wet := calc.Filling{NetG: *pack, DryPct: r.driesPct()}.PackG()
		pack = &wet
	}
	switch {
	case b.Yield.FilledG != nil:
		out = *b.Yield.FilledG
	case b.Yield.FilledUnits != nil && pack != nil:
		out = pack.Mul(ingredients.Int(int64(*b.Yield.FilledUnits)))
	default:
		return out, false
	}
	switch {
	case b.Retained.G != nil:
		out = out.Add(*b.Retained.G)
	case b.Retained.Units != nil && pack != nil:
		out = out.Add(pack.Mul(ingredients.Int(int64(*b.Retained.Units))))
	}
	return out, true
}

func (r *reviewer) netG() *ingredients.Num {
	if r.out.Product == nil {
		return nil
	}
	net, err := netGrams(r.out.Product, nil)
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
	mean := y.FilledG.Quo(ingredients.Int(int64(*y.FilledUnits)))
	v := with()
	if loss := r.driesPct(); loss.Sign() > 0 && y.Dried != nil && !*y.Dried {
		v = v.Num("loss", loss, "%", ingredients.AsIs).Num("filled", mean, "g", fiveDigits)
		mean = mean.Pct(ingredients.Int(100).Sub(loss))
	}
	if mean.Less(*net) {
		r.say(ingredients.NewFinding(ingredients.Ask, "batch-underfilled", y.Pos, v.Num("mean", mean, "g", fiveDigits).Num("label", *net, "g", fiveDigits)).
			At(r.b.Source.Name, "yield.filled_g", nil))
	}
}

// release says what speaks against letting the batch go, and stops one that was
// let go all the same.
func (r *reviewer) release() {
	open := &r.out.Open
	if len(r.out.Missing) > 0 {
		*open = append(*open, words.Term("not-filled-in", with().Those("missing", r.out.Missing), words.Terminal))
	}
	for _, s := range words.SayAll(r.out.Findings, words.Terminal) {
		if s.Severity != ingredients.Note && s.Code != "batch-incomplete" {
			*open = append(*open, s.Line())
		}
	}
	if d := r.b.Release.Decision; d == "rejected" || d == "rework" {
		*open = append(*open, words.Term("decided", with().Name("decision", d), words.Terminal))
	}
	r.out.OpenInRecord = len(*open)
	if r.b.Released() && len(*open) > 0 {
		r.say(ingredients.NewFinding(ingredients.Stop, "batch-released-open", r.b.Release.Pos, with().Count("open", len(*open))).
			With(ingredients.Action{Kind: ingredients.ActionBatch, Batch: r.b.Code}))
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
		if f.Severity == ingredients.Stop {
			stops++
		}
	}
	if stops > 0 {
		open = append(open, words.Term("product-stops", with().Count("stops", stops).Name("product", productName(r.b)), words.Terminal))
	}
	return open
}

func productName(b *Batch) string {
	if b.Variant == "" {
		return b.Product
	}
	return b.Product + "/" + b.Variant
}

// BatchFindings reviews every batch of the assessed products that is in the
// making or done. A batch whose product is gone has been asked about on reading.
func BatchFindings(w *Workshop, as []*Assessment) []ingredients.Finding {
	var jobs []func() []ingredients.Finding
	for _, a := range as {
		for _, b := range w.batchesOf(a.Product.ID) {
			if b.State() != "planned" && len(a.ByVariant(b.Variant)) > 0 {
				jobs = append(jobs, func() []ingredients.Finding { return w.review(b, a).out.Findings })
			}
		}
	}
	found := make([][]ingredients.Finding, len(jobs))
	inParallel(len(jobs), func(i int) { found[i] = jobs[i]() })
	var all []ingredients.Finding
	for _, fs := range found {
		all = append(all, fs...)
	}
	return calc.Unique(all)
}

// uniqueValues drops repetitions.
func uniqueValues(list ingredients.Values) ingredients.Values {
	seen := map[string]bool{}
	return slices.DeleteFunc(slices.Clone(list), func(x ingredients.Value) bool {
		key := ingredients.Values{x}.Key()
		was := seen[key]
		seen[key] = true
		return was
	})
}
