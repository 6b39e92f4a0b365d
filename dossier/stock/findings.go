package stock

import (
	"slices"
	"strings"

	"gallipot/dossier/decide"
	"gallipot/dossier/wanted"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Findings are about the lots themselves, settled by what is decided in writing; what a
// batch makes of them is said with the batch.
//
// Findings: ask "lot-days", "lot-result-outside", "lot-results-missing"; note
// "lot-count-off", "lot-past".
func (b *Book) Findings() []finding.Finding {
	var fs []finding.Finding
	for _, e := range b.Entries {
		c := &checking{b: b, e: e}
		c.days()
		c.results()
		c.counts()
		c.past()
		fs = append(fs, c.found...)
	}
	return decide.SettleLots(b.w, b.Day, fs)
}

// FindingsOn are those about the lots of a material or an item, or about one lot; see Of.
func (b *Book) FindingsOn(name string) []finding.Finding {
	entries := b.Of(name)
	return slices.DeleteFunc(b.Findings(), func(f finding.Finding) bool {
		return !slices.ContainsFunc(entries, func(e *Entry) bool { return e.Lot.Code == f.About.ID })
	})
}

type checking struct {
	b     *Book
	e     *Entry
	found []finding.Finding
}

func (c *checking) say(sev finding.Severity, code, form string, pos exact.Pos, key string, v finding.Values) {
	f := finding.NewFinding(sev, code, pos, v).As(form).On(c.subject()).By(finding.TheMaker)
	f.About.ID = c.e.Lot.Code
	c.found = append(c.found, f.At(c.e.Lot.Source.Name, key, nil))
}

// subject is the lot with what it is of.
func (c *checking) subject() string { return "lot " + c.e.Lot.Code + " (" + c.b.Name(c.e.Lot) + ")" }

// Name is what a lot is of.
func (b *Book) Name(lot *workshop.Lot) string {
	if lot.IsPackaging() {
		return lot.Item
	}
	return b.w.Material(lot.Ingredient).Text
}

// days holds the days of a lot to each other and to the day of the run.
func (c *checking) days() {
	l := c.e.Lot
	say := func(form string, pos exact.Pos, key string, v finding.Values) {
		c.say(finding.Ask, "lot-days", form, pos, key, v.Day("received", l.Received))
	}
	if l.Received.IsZero() {
		return
	}
	if c.b.Day.Before(l.Received) {
		c.say(finding.Ask, "lot-days", "ahead", l.ReceivedPos, "received", workshop.With().
			Day("received", l.Received).Day("today", c.b.Day))
	}
	if !l.BestBefore.IsZero() && l.BestBefore.Before(l.Received) {
		say("expired", l.BestBeforePos, "best_before", workshop.With().Day("until", l.BestBefore))
	}
	for _, x := range []struct {
		key   string
		moves []workshop.LotMove
	}{{"discarded", l.Discarded}, {"counted", l.Counted}} {
		for _, m := range x.moves {
			if !m.Date.IsZero() && m.Date.Before(l.Received) {
				say(x.key, m.Pos, x.key, workshop.With().Day("day", m.Date))
			}
		}
	}
	for _, h := range l.Holds {
		if !h.Until.IsZero() && h.Until.Before(h.From) {
			c.say(finding.Ask, "lot-days", "hold", h.Pos, "holds", workshop.With().Day("from", h.From).
				Day("until", h.Until))
		}
	}
}

// results holds the certificate of analysis to the specification of the sheet, and to
// what the certificate itself wants.
func (c *checking) results() {
	l := c.e.Lot
	sheet := c.b.w.Sheets[l.Ingredient]
	for _, r := range l.Certificate.Results {
		for _, want := range []string{specified(sheet, r.What), r.Wanted} {
			form := ""
			switch verdict := wanted.Of(r.Found, want); {
			case want == "" || r.Found == "" || verdict == wanted.Within,
				verdict == wanted.Unknown && (same(r.Found, want) || !strings.ContainsAny(want, "0123456789")):
				continue
			case verdict == wanted.Unknown:
				form = "unread"
			}
			c.say(finding.Ask, "lot-result-outside", form, r.Pos, "certificate.results", workshop.With().
				Quote("what", r.What).Quote("found", r.Found).Quote("wanted", want))
			break
		}
	}
	if sheet == nil {
		return
	}
	var missing []string
	for _, s := range sheet.Specification {
		if !slices.ContainsFunc(l.Certificate.Results,
			func(r workshop.LotResult) bool { return same(r.What, s.What) }) {
			missing = append(missing, s.What)
		}
	}
	if len(missing) > 0 {
		c.say(finding.Ask, "lot-results-missing", "", l.Pos, "certificate.results", workshop.With().
			Quotes("what", missing))
		c.found[len(c.found)-1] = c.found[len(c.found)-1].By(sheet.Asked())
	}
}

// specified is what the sheet wants of a property; "" where it does not say.
func specified(s *ingredients.Sheet, what string) string {
	if s == nil {
		return ""
	}
	for _, x := range s.Specification {
		if same(x.What, what) {
			return x.Wanted
		}
	}
	if same(what, "pH") && s.Physical.PH != nil {
		return s.Physical.PH.Text
	}
	return ""
}

func same(a, b string) bool {
	words := func(s string) string {
		return strings.Join(strings.Fields(strings.NewReplacer("_", " ", "-", " ").
			Replace(strings.ToLower(s))), " ")
	}
	return words(a) == words(b)
}

// counts notes where a count was not what the books had.
func (c *checking) counts() {
	for _, x := range c.e.Counts {
		form, off := "less", x.Books.Sub(x.Found)
		if off.Sign() < 0 {
			form, off = "more", off.Neg()
		}
		unit := c.e.Lot.Unit()
		c.say(finding.Note, "lot-count-off", form, x.Move.Pos, "counted", workshop.With().
			Num("found", x.Found, unit, finding.AsIs).Num("books", x.Books, unit, finding.AsIs).
			Num("off", off, unit, finding.AsIs).Day("day", x.Move.Date).Quote("reason", x.Move.Reason))
	}
}

// past notes what is left of a lot that may not be used any more.
func (c *checking) past() {
	form, day := "", c.e.Lot.BestBefore
	switch c.e.StateOn(c.b.Day) {
	case expired:
	case retest:
		form, day = "retest", c.e.Lot.Retest
	default:
		return
	}
	c.say(finding.Note, "lot-past", form, c.e.Lot.Pos, "", workshop.With().Num("left", c.e.Left, c.e.Lot.Unit(),
		finding.AsIs).Day("until", day))
}
