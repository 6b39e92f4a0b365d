package calendar

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/dossier/assess"
	"gallipot/dossier/calendar/ics"
	"gallipot/dossier/stability"
	"gallipot/dossier/stock"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Entry is one thing that is due on a day.
type Entry struct {
	Day    exact.Date `json:"day"`
	Kind   string     `json:"kind"`  // paper, certificate, assessment, law, reading, lot, order, effect, decision, file
	About  string     `json:"about"` // a product, a raw material or a lot, by its name
	What   string     `json:"what"`
	Detail string     `json:"detail,omitempty"`
	ID     string     `json:"id"` // stays the same when the day moves
	Past   bool       `json:"past"`
}

// Of is what is due in a workshop for the products assessed, the earliest first.
func Of(w *workshop.Workshop, as []*assess.Assessment, day exact.Date) []Entry {
	g := &gathering{w: w, day: day, ids: map[string]int{}}
	for _, a := range as {
		g.papers(a)
		g.assessment(a)
		g.findings(a)
		g.readings(a)
		g.decisions(a.Entered.Decisions, a.Product.Name, a.Product.ID)
		g.file(a)
	}
	g.decisions(w.Decisions, w.Maker.Name, "workshop")
	g.lots()
	slices.SortStableFunc(g.list, func(x, y Entry) int {
		return cmp.Or(cmp.Compare(x.Day, y.Day), cmp.Compare(x.Kind, y.Kind), cmp.Compare(x.About, y.About),
			cmp.Compare(x.What, y.What))
	})
	return g.list
}

type gathering struct {
	w    *workshop.Workshop
	day  exact.Date
	list []Entry
	ids  map[string]int
}

// add enters something; of what is there already by its id only the first counts, unless
// again says that there can be several.
func (g *gathering) add(e Entry, again bool) {
	if e.Day.IsZero() {
		return
	}
	g.ids[e.ID]++
	if n := g.ids[e.ID]; n > 1 {
		if !again {
			return
		}
		e.ID += fmt.Sprintf("-%d", n)
	}
	e.Past = e.Day.Before(g.day)
	g.list = append(g.list, e)
}

// id makes an id of its parts.
func id(parts ...string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(strings.Join(parts, "-")), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '.' || r == '_')
	}), "-")
}

// papers are those of suppliers, the newest of each kind, with the certificates of
// fragrances.
func (g *gathering) papers(a *assess.Assessment) {
	for _, s := range a.UsedSheets() {
		newest := map[string]exact.Date{}
		for _, d := range s.Documents {
			newest[d.Kind] = max(newest[d.Kind], d.Dated)
		}
		if d := s.Allergens; d != nil {
			newest["allergens"] = max(newest["allergens"], d.Dated)
		}
		if c := s.FragranceLimits; c != nil {
			newest["certificate"] = max(newest["certificate"], c.Dated)
		}
		for _, kind := range sortedKinds(newest) {
			dated := newest[kind]
			if dated.IsZero() {
				continue
			}
			g.add(Entry{Day: dated.AddYears(g.w.EvidenceYears), Kind: kindOf(kind), About: s.Name,
				ID:   id("paper", s.ID, kind),
				What: "ask for the current " + workshop.DocumentName(kind),
				Detail: fmt.Sprintf("ours is dated %s; from %s", dated,
					words.OrWord(s.Supplier.Name, "a supplier who is not entered"))}, false)
		}
		g.amendment(s, a)
	}
}

func kindOf(document string) string {
	if document == "certificate" {
		return "certificate"
	}
	return "paper"
}

func sortedKinds(m map[string]exact.Date) (kinds []string) {
	for k := range m {
		kinds = append(kinds, k)
	}
	slices.Sort(kinds)
	return kinds
}

// amendment is a certificate to an older amendment of the Standards: it is due now.
func (g *gathering) amendment(s *ingredients.Sheet, a *assess.Assessment) {
	newest := law.NewestAmendment(a.Options.Law)
	if c := s.FragranceLimits; c != nil && c.Amendment > 0 && c.Amendment < newest {
		g.add(Entry{Day: g.day, Kind: "certificate", About: s.Name, ID: id("amendment", s.ID),
			What:   fmt.Sprintf("ask for the certificate to amendment %d", newest),
			Detail: fmt.Sprintf("ours is to amendment %d", c.Amendment)}, false)
	}
}

// assessment is due now where none is on record for the figures of today.
func (g *gathering) assessment(a *assess.Assessment) {
	p := a.Product
	last := p.Newest()
	e := Entry{Day: g.day, Kind: "assessment", About: p.Name, ID: id("assessment", p.ID)}
	switch {
	case last == nil:
		e.What = "send the pack to the assessor: no signed assessment is on record"
	case last.Fingerprint != a.Fingerprint:
		e.What, e.Detail = "send the pack to the assessor: the figures are others than those signed",
			fmt.Sprintf("signed on %s by %s", last.Dated, last.Assessor)
	default:
		return
	}
	g.add(e, false)
}

// findings are the law of later days and the deadlines that findings carry.
func (g *gathering) findings(a *assess.Assessment) {
	p := a.Product
	for i := range a.Findings {
		f := &a.Findings[i]
		said := words.Say(f, words.Bench)
		if v, ok := f.Values.Get("latest"); ok && f.Code == "serious-effect-unreported" {
			g.add(Entry{Day: v.Date(), Kind: "effect", About: p.Name, What: "report the serious effect to the authority",
				Detail: said.Text(), ID: id("effect", p.ID, effectDay(f))}, true)
			continue
		}
		if !strings.HasPrefix(f.Code, "coming-") && f.Code != "label-grace" && f.Code != "old-stock" &&
			!strings.Contains(f.Form, "coming") {
			continue
		}
		if next := nextDay(f.Values, g.day); !next.IsZero() {
			what := said.Line()
			if len(f.Markets) > 0 {
				what += " (" + words.JoinNames(f.Markets) + ")"
			}
			g.add(Entry{Day: next, Kind: "law", About: p.Name, What: what, Detail: said.Why,
				ID: id("law", p.ID, f.Code, f.Form, f.Subject, strings.Join(f.Markets, "-"))}, true)
		}
	}
}

func effectDay(f *finding.Finding) string {
	v, _ := f.Values.Get("effect")
	return v.Date().String()
}

// nextDay is the first day among values that is still to come.
func nextDay(values finding.Values, day exact.Date) (next exact.Date) {
	for _, v := range values {
		if v.Kind == finding.KindDate && day.Before(v.Date()) && (next.IsZero() || v.Date().Before(next)) {
			next = v.Date()
		}
	}
	return next
}

func (g *gathering) readings(a *assess.Assessment) {
	for _, e := range stability.Readings(a.Entered, a.Options.Law, g.day) {
		g.add(Entry{Day: e.Day, Kind: "reading", About: a.Product.Name,
			What: strings.TrimPrefix(e.Summary, a.Product.Name+": "), Detail: e.Detail, ID: e.ID}, false)
	}
}

// decisions open again on the day that they name.
func (g *gathering) decisions(list []workshop.Decision, about, of string) {
	for _, d := range list {
		if !d.Until.IsZero() && !g.day.Before(d.Date) {
			g.add(Entry{Day: d.Until, Kind: "decision", About: about, What: "decide again: " +
				words.Joined(", ", d.Code, d.Subject), Detail: d.Text + " (" + d.By + ")",
				ID: id("decision", of, d.Code, d.Subject, strings.Join(d.Variants, "-"))}, true)
		}
	}
}

// file is how long the product file is kept.
func (g *gathering) file(a *assess.Assessment) {
	p := a.Product
	var last exact.Date
	for _, b := range g.w.BatchesOf(p.ID) {
		out, day := placed(b)
		if out {
			last = max(last, day)
		}
	}
	years := int(law.Fact(a.Options.Law, "file-retention").Number.Float())
	if !last.IsZero() {
		g.add(Entry{Day: last.AddYears(years), Kind: "file", About: p.Name,
			What: "the product file is kept up to this day", ID: id("file", p.ID),
			Detail: fmt.Sprintf("%d years after the last batch was placed on the market (%s); Regulation (EC) 1223/2009 Article 11(1)", years, last)}, false)
	}
}

// placed says whether packs of a batch went out, and the last day on which they did as far
// as records tell.
func placed(b *workshop.Batch) (out bool, last exact.Date) {
	for _, s := range b.Sent {
		out, last = true, max(last, s.Date)
	}
	if b.Released() {
		out, last = true, max(last, b.Release.Date)
	}
	if last.IsZero() {
		last = b.Date
	}
	return out, last
}

// lots are what expires or has to be tested while something of it is left, and what to
// order for planned batches.
func (g *gathering) lots() {
	books := stock.Of(g.w, g.day)
	for _, e := range books.Entries {
		if e.IsUsedUp() {
			continue
		}
		l, left := e.Lot, e.Left.Exact()+" "+e.Lot.Unit()+" left"
		g.add(Entry{Day: l.BestBefore, Kind: "lot", About: books.Name(l), What: "lot " + l.Code +
			" may be used up to this day", Detail: left, ID: id("lot", l.Code, "best-before")}, false)
		g.add(Entry{Day: l.Retest, Kind: "lot", About: books.Name(l), What: "lot " + l.Code +
			" is to be tested again", Detail: left, ID: id("lot", l.Code, "retest")}, false)
	}
	for _, o := range books.Orders() {
		g.add(Entry{Day: o.OrderBy, Kind: "order", About: o.Name, What: "order " + o.ShortG.Exact() + " g",
			Detail: words.Joined("; ", o.Supplier, "for "+words.JoinNames(o.Batches)), ID: id("order",
				o.Ingredient)}, false)
	}
	items, _ := books.OrdersOfItems()
	for _, o := range items {
		g.add(Entry{Day: o.OrderBy, Kind: "order", About: o.Item, What: fmt.Sprintf("order %d pcs", o.Short),
			Detail: words.Joined("; ", o.Supplier, "for "+words.JoinNames(o.Batches)), ID: id("order",
				o.Item)}, false)
	}
}

// WriteICS prints entries as an iCalendar file.
func WriteICS(w io.Writer, list []Entry, day exact.Date) error {
	var events []ics.Event
	for _, e := range list {
		events = append(events, ics.Event{ID: e.ID, Day: e.Day, Summary: e.About + ": " + e.What, Detail: e.Detail})
	}
	return ics.Write(w, "what is due", events, day)
}
