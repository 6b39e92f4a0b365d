package stock

import (
	"slices"
	"strings"

	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Printed is what the labels of a batch have to say.
type Printed struct {
	Revision int               // of the product today; 0: the product is gone
	Lists    map[string]string // list of ingredients by market
	// Sure says that the lists are those of the batch: of a batch planned with other
	// figures nobody can tell.
	Sure bool
}

// OfBatch holds the lots of a record to the books. A workshop that has received nothing
// keeps none, and of what was made before the first lot came in no lot is looked for.
//
// Findings: ask "lot-not-received", "lot-other-material", "lot-overused", "lot-retest-due",
// "lot-dates"; stop or ask "lot-on-hold", "label-old-list"; stop "lot-expired". Those without
// a subject are about the batch.
func (b *Book) OfBatch(record *workshop.Batch, printed Printed) []finding.Finding {
	if b.Since.IsZero() {
		return nil
	}
	r := &review{b: b, record: record, printed: printed}
	for _, l := range record.Lines {
		for _, lot := range l.Lots {
			if workshop.LotName(lot) != "" && b.ByLot(l.Ingredient) {
				r.materialLot(l.Ingredient, lot)
			}
		}
	}
	for _, p := range record.Packaging {
		r.packagingLot(p)
	}
	r.unreceived()
	return r.found
}

// review looks at the lots of one record.
type review struct {
	b       *Book
	record  *workshop.Batch
	printed Printed
	found   []finding.Finding
	// unknown are lots that no file is of, the first of them at unknownAt.
	unknown   finding.Values
	unknownAt exact.Pos
}

// unreceived asks once about all lots of the batch that no file is of.
func (r *review) unreceived() {
	if len(r.unknown) == 0 {
		return
	}
	f := finding.NewFinding(finding.Ask, "lot-not-received", r.unknownAt, workshop.With().
		Day("since", r.b.Since)).At(r.record.Source.Name, "lines.lots", nil)
	f.Things = r.unknown
	r.found = append(r.found, f)
}

// lotUsed says something about a lot that the record uses.
type lotUsed struct {
	r    *review
	name string
	of   string // what it was used for
	pos  exact.Pos
	key  string
	on   func(finding.Finding) finding.Finding
}

func (u lotUsed) say(sev finding.Severity, code, form string, v finding.Values) {
	f := finding.NewFinding(sev, code, u.pos, append(workshop.With().Name("lot", u.name), v...)).As(form)
	u.r.found = append(u.r.found, u.on(f).At(u.r.record.Source.Name, u.key, nil))
}

// materialLot is about one lot of one raw material.
func (r *review) materialLot(ingredient string, named workshop.BatchLot) {
	u := lotUsed{r, workshop.LotName(named), r.b.w.Material(ingredient).Text, named.Pos, "lines.lots",
		func(f finding.Finding) finding.Finding { return r.b.w.OnMaterial(f, ingredient) }}
	e := r.b.Find(ingredient, named)
	if e == nil {
		if r.b.w.Batch(u.name) == nil { // a base of one's own is its batch
			r.notReceived(u, r.b.Several(ingredient, named))
		}
		return
	}
	if e.Lot.Ingredient != ingredient {
		u.say(finding.Ask, "lot-other-material", "", workshop.With().
			Is("other", finding.Named(e.Lot.Ingredient, r.b.Name(e.Lot))).Name("file", e.Lot.Source.Name))
		return
	}
	r.usedOn(u, e)
	if named.BestBefore.IsZero() && !e.Lot.BestBefore.IsZero() && e.Lot.BestBefore.Before(r.record.Date) {
		u.say(finding.Stop, "lot-expired", "", workshop.With().Day("until", e.Lot.BestBefore).
			Day("made", r.record.Date))
	}
	if !named.BestBefore.IsZero() && !e.Lot.BestBefore.IsZero() && named.BestBefore != e.Lot.BestBefore {
		u.say(finding.Ask, "lot-dates", "file", workshop.With().Day("record", named.BestBefore).
			Day("received", e.Lot.BestBefore).Name("file", e.Lot.Source.Name))
	}
}

// notReceived asks about a lot that no file is of.
func (r *review) notReceived(u lotUsed, several bool) {
	unread := slices.ContainsFunc(r.b.w.LotFiles,
		func(file string) bool { return workshop.SameLot(workshop.IDOfFile(file), u.name) })
	switch {
	case unread, r.record.Date.Before(r.b.Since):
	case several:
		u.say(finding.Ask, "lot-not-received", "several", nil)
	default:
		if len(r.unknown) == 0 {
			r.unknownAt = u.pos
		}
		r.unknown = r.unknown.Term("", "lot-used", workshop.With().Name("lot", u.name).Name("of", u.of))
	}
}

// usedOn is about the day on which a lot was used, and how much there was of it.
func (r *review) usedOn(u lotUsed, e *Entry) {
	l, made := e.Lot, r.record.Date
	switch {
	case made.IsZero():
		return
	case made.Before(l.Received):
		u.say(finding.Ask, "lot-not-received", "later", workshop.With().Day("received", l.Received).
			Day("made", made))
	}
	if h := l.Holding(made); h != nil {
		u.say(finding.Stop, "lot-on-hold", "", workshop.With().Day("from", h.From).Day("made", made).
			Quote("reason", h.Reason))
	} else if h := l.Holding(r.b.Day); h != nil {
		u.say(finding.Ask, "lot-on-hold", "later", workshop.With().Day("from", h.From).Day("made", made).
			Quote("reason", h.Reason))
	}
	if !l.Retest.IsZero() && !made.Before(l.Retest) && l.Certificate.Dated.Before(l.Retest) {
		u.say(finding.Ask, "lot-retest-due", "", workshop.With().Day("retest", l.Retest).Day("made", made))
	}
	if e.Over != nil && e.Over.Batch == r.record && e.Over.Pos == u.pos {
		u.say(finding.Ask, "lot-overused", "", workshop.With().Num("over", e.OverBy, l.Unit(), finding.AsIs).
			Num("in", e.In, l.Unit(), finding.AsIs).Num("used", e.Over.Amount, l.Unit(), finding.AsIs))
	}
}

// packagingLot is about jars, caps, boxes or labels.
func (r *review) packagingLot(p workshop.BatchPackaging) {
	e := r.b.Number(p.Lot)
	u := lotUsed{r, p.Lot, "", p.Pos, "packaging", func(f finding.Finding) finding.Finding { return f }}
	if e == nil {
		r.notReceived(u, false)
		return
	}
	u.on = func(f finding.Finding) finding.Finding { return f.On(r.b.Name(e.Lot)) }
	if !e.Lot.IsPackaging() {
		u.say(finding.Ask, "lot-other-material", "packaging", workshop.With().Name("file", e.Lot.Source.Name))
		return
	}
	r.usedOn(u, e)
	if e.Lot.Label != nil && r.printed.Revision != 0 {
		r.labels(u, e.Lot.Label)
	}
}

// labels holds printed labels to the list of ingredients of the batch.
func (r *review) labels(u lotUsed, l *workshop.PrintedFor) {
	b := r.record
	u.on = func(f finding.Finding) finding.Finding { return f } // about the batch, and not about the lot
	say := func(sev finding.Severity, form string, v finding.Values) { u.say(sev, "label-old-list", form, v) }
	revision := b.Revision
	if revision == 0 {
		revision = r.printed.Revision
	}
	switch {
	case l.Product != b.Product || l.Variant != b.Variant:
		say(finding.Stop, "other", workshop.With().Name("for", variantPath(l.Product, l.Variant)).
			Name("of", variantPath(b.Product, b.Variant)))
	case l.Revision != 0 && l.Revision != revision:
		say(finding.Ask, "revision", workshop.With().Count("printed", l.Revision).Count("made", revision))
	case revision != r.printed.Revision && l.Revision == 0:
		say(finding.Ask, "unknown", workshop.With().Count("made", revision))
	case revision == r.printed.Revision:
		r.printedList(l, say)
	}
}

func variantPath(product, variant string) string {
	return strings.TrimSuffix(product+"/"+variant, "/")
}

// printedList compares the list as printed with that of the formula; what weighing changes
// in the names has a finding of its own.
func (r *review) printedList(l *workshop.PrintedFor, say func(finding.Severity, string, finding.Values)) {
	list, known := r.printed.Lists[l.Market]
	wanted, printed := names(list), names(l.Ingredients)
	if !known || slices.Equal(wanted, printed) {
		return
	}
	sev := finding.Stop
	if !r.printed.Sure {
		sev = finding.Ask
	}
	lacking, extra := without(wanted, printed), without(printed, wanted)
	v := workshop.With().Name("market", l.Market)
	if len(lacking)+len(extra) == 0 {
		say(sev, "order", v)
		return
	}
	say(sev, "", v.Names("lacking", lacking).Names("extra", extra))
}

// names are the entries of a list of ingredients, as far as they can be compared.
func names(list string) (out []string) {
	list = strings.Join(strings.Fields(list), " ")
	if head, rest, ok := strings.Cut(list, ":"); ok && strings.EqualFold(strings.TrimSpace(head),
		"ingredients") {
		list = rest
	}
	for name := range strings.SplitSeq(list, ", ") {
		if name = strings.ToLower(strings.Trim(strings.TrimSpace(name), ".")); name != "" {
			out = append(out, name)
		}
	}
	return out
}

// without are the names of a that are not in b.
func without(a, b []string) []string {
	return slices.DeleteFunc(slices.Clone(a), func(name string) bool { return slices.Contains(b, name) })
}
