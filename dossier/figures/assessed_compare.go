package figures

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// Change is one thing that differs between two states of a product, in words.
type Change struct {
	Product string   `json:"product"`
	Subject string   `json:"subject"` // what kind of figure: composition, order, allergens …
	Text    string   `json:"text"`
	Where   []string `json:"where,omitempty"` // variants and markets it concerns; empty: all of the product
}

// String returns the change with where it holds.
func (c Change) String() string {
	s := c.Subject + ": " + c.Text
	if len(c.Where) > 0 {
		s += " (" + words.JoinNames(c.Where) + ")"
	}
	return s
}

// changeParts are the subjects of changes in the order they are told: formula, figures, law,
// papers.
var changeParts = []struct {
	part     string
	subjects []string
}{
	{"Formula", []string{"variants", "composition", "order"}},
	{"Figures", []string{"exposure", "margins"}},
	{"Law", []string{"allergens", "fragrance", "limits"}},
	{"Papers", []string{"papers"}},
}

// part is what a change belongs to: Formula, Figures, Law or Papers.
func (c Change) part() string {
	for _, p := range changeParts {
		if slices.Contains(p.subjects, c.Subject) {
			return p.part
		}
	}
	return ""
}

// rank puts changes into the order in which they are told.
func (c Change) rank() int {
	n := 0
	for _, p := range changeParts {
		if i := slices.Index(p.subjects, c.Subject); i >= 0 {
			return n + i
		}
		n += len(p.subjects)
	}
	return n
}

// Table fills a table with changes in the order formula, figures, law, papers; its columns are
// kind, what changed, and where.
func Table(t *document.Table, changes []Change) *document.Table {
	t.Columns = []document.Column{{Head: "Kind"}, {Head: "What changed", Weight: 3}, {Head: "Where"}}
	part := ""
	for _, c := range changes {
		if c.part() != part {
			part = c.part()
			t.Group(part)
		}
		t.Add(document.TextCell(c.Subject), document.TextCell(c.Text),
			document.TextCell(words.OrWord(words.JoinNames(c.Where), "all")))
	}
	return t
}

// Document is a table of changes for each product.
func Document(changes []Change) *document.Document {
	d := &document.Document{Title: "What changed", NoContents: true}
	for rest := changes; len(rest) > 0; {
		n := slices.IndexFunc(rest, func(c Change) bool { return c.Product != rest[0].Product })
		if n < 0 {
			n = len(rest)
		}
		id := rest[0].Product
		d.AddSection("changes-"+id, id).Add(Table(&document.Table{ID: "changes-of-" + id}, rest[:n]))
		rest = rest[n:]
	}
	return d
}

// Compare says in words what differs between two states of the same products:
// content of each substance, order of the list, verdicts on allergens,
// fragrances and limits, margins of safety, and the papers behind the raw
// materials. A change that concerns every variant and market is told once.
//
// Amounts are % w/w, printed to as many digits as it takes to tell them apart.
func Compare(old, new Snapshots) []Change {
	var out []Change
	ids := old.Products()
	for _, id := range new.Products() {
		ids = words.AddOnce(ids, id)
	}
	for _, id := range ids {
		was, is := old.Of(id), new.Of(id)
		switch {
		case len(was) == 0:
			out = append(out, Change{Product: id, Subject: "variants", Text: "the product is new"})
		case len(is) == 0:
			out = append(out, Change{Product: id, Subject: "variants", Text: "the product is gone"})
		default:
			out = append(out, compareProduct(id, was, is)...)
		}
	}
	return out
}

// comparison gathers the changes of one product.
type comparison struct {
	product string
	changes []Change
	at      map[string]int
	places  []string // every variant and market that both states have
	place   string   // the one being compared
}

func (c *comparison) say(subject, format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	key := subject + "\x00" + text
	i, known := c.at[key]
	if !known {
		i = len(c.changes)
		c.at[key] = i
		c.changes = append(c.changes, Change{Product: c.product, Subject: subject, Text: text})
	}
	c.changes[i].Where = words.AddOnce(c.changes[i].Where, c.place)
}

func compareProduct(id string, was, is Snapshots) []Change {
	c := &comparison{product: id, at: map[string]int{}}
	c.variants(was, is)
	general := len(c.changes)
	for _, s := range is {
		if before := was.find(id, s.Variant, s.Market); before != nil {
			c.place = placeName(s.Variant, s.Market)
			c.places = append(c.places, c.place)
			c.figures(before, &s)
		}
	}
	for i := range c.changes {
		if i < general || len(c.changes[i].Where) == len(c.places) {
			c.changes[i].Where = nil
			continue
		}
		c.changes[i].Where = shortPlaces(c.changes[i].Where, c.places)
	}
	slices.SortStableFunc(c.changes, func(a, b Change) int {
		return a.rank() - b.rank()
	})
	return c.changes
}

func placeName(variant, market string) string { return strings.TrimPrefix(variant+" "+market, " ") }

// shortPlaces leaves the market out of a variant that is concerned in all its
// markets.
func shortPlaces(where, all []string) []string {
	var out []string
	for _, w := range where {
		variant, _, ok := strings.Cut(w, " ")
		if !ok {
			out = words.AddOnce(out, w)
			continue
		}
		same := func(list []string) (n int) {
			for _, x := range list {
				if strings.HasPrefix(x, variant+" ") {
					n++
				}
			}
			return n
		}
		if same(where) == same(all) {
			w = variant
		}
		out = words.AddOnce(out, w)
	}
	return out
}

// variants tells which variants and markets came and went.
func (c *comparison) variants(was, is Snapshots) {
	names := func(l Snapshots, of func(Snapshot) string) (list []string) {
		for _, s := range l {
			list = words.AddOnce(list, of(s))
		}
		return list
	}
	for _, kind := range []struct {
		word string
		of   func(Snapshot) string
	}{{"variant", func(s Snapshot) string { return s.Variant }}, {"market",
		func(s Snapshot) string { return s.Market }}} {
		before, now := names(was, kind.of), names(is, kind.of)
		for _, n := range now {
			if !slices.Contains(before, n) {
				c.say("variants", "%s %s is new", kind.word, n)
			}
		}
		for _, n := range before {
			if !slices.Contains(now, n) {
				c.say("variants", "%s %s is gone", kind.word, n)
			}
		}
	}
}

// figures compares one variant in one market.
func (c *comparison) figures(was, is *Snapshot) {
	pairs(was.Composition, is.Composition, keptSubstance.name, func(a, b *keptSubstance) {
		switch {
		case a == nil:
			c.say("composition", "%s is new: %s", b.name(), contentText(b))
		case b == nil:
			c.say("composition", "%s is gone; it was %s", a.name(), contentText(a))
		case !same(a.Min, b.Min) || !same(a.Typical, b.Typical) || !same(a.Max, b.Max):
			c.say("composition", "%s", contentChange(a, b))
		}
	})
	c.order(strings.Split(was.IngredientList, ", "), strings.Split(is.IngredientList, ", "))
	pairs(was.Allergens, is.Allergens, func(a keptAllergen) string { return a.LabelName }, c.allergen)
	pairs(was.Fragrance, is.Fragrance, func(f keptFragrance) string { return f.Ingredient }, c.fragrance)
	pairs(was.Limits, is.Limits, func(l keptLimit) string { return l.Row + "\x00" + l.Substance }, c.limit)
	if a, b := was.Exposure.Relative, is.Exposure.Relative; !sameFloat(a, b) {
		c.say("exposure", "to the product: %s", floatChange(a, b, " mg/kg bw/d"))
	}
	pairs(was.MoS, is.MoS, func(m keptMargin) string { return m.INCI }, c.margin)
	pairs(was.Documents, is.Documents, documentKey, c.paper)
}

func (c *comparison) allergen(a, b *keptAllergen) {
	switch {
	case a == nil:
		c.say("allergens", "%s is new: %s, up to %s %%", b.LabelName, b.Verdict, decimalText(b.Max))
	case b == nil:
		c.say("allergens", "%s is gone; it was %s, up to %s %%", a.LabelName, a.Verdict, decimalText(a.Max))
	case a.Verdict != b.Verdict:
		from, to := apart(a.Max, b.Max)
		c.say("allergens", "%s: %s → %s (up to %s %% → %s %%, threshold %s %%)", b.LabelName, a.Verdict, b.Verdict,
			from, to, decimalText(b.Threshold))
	case !same(a.Threshold, b.Threshold):
		from, to := apart(a.Threshold, b.Threshold)
		c.say("allergens", "%s: threshold %s %% → %s %%", b.LabelName, from, to)
	case !same(a.Max, b.Max):
		from, to := apart(a.Max, b.Max)
		c.say("allergens", "%s: up to %s %% → %s %%, still %s", b.LabelName, from, to, b.Verdict)
	}
}

func (c *comparison) fragrance(a, b *keptFragrance) {
	limit := func(f *keptFragrance) string {
		if f.LimitPct == nil {
			return "no figure"
		}
		return decimalText(*f.LimitPct) + " %"
	}
	switch {
	case a == nil:
		c.say("fragrance", "%s is new: %s %% in category %s, limit %s, %s", b.Ingredient, decimalText(b.UsePct),
			b.Category, limit(b), b.Status)
	case b == nil:
		c.say("fragrance", "%s is gone", a.Ingredient)
	case a.Status != b.Status || limit(a) != limit(b) || a.Category != b.Category:
		c.say("fragrance", "%s: %s → %s (limit %s → %s, category %s)", b.Ingredient, a.Status, b.Status, limit(a),
			limit(b), b.Category)
	case !same(a.UsePct, b.UsePct):
		from, to := apart(a.UsePct, b.UsePct)
		c.say("fragrance", "%s: %s %% → %s %%, still %s", b.Ingredient, from, to, b.Status)
	}
}

func (c *comparison) limit(a, b *keptLimit) {
	name := func(l *keptLimit) string { return l.Substance + ", " + l.Annex + "/" + l.Entry }
	figure := func(l *keptLimit) string {
		if l.Limit == nil {
			return "no figure"
		}
		return "limit " + decimalText(*l.Limit) + " %"
	}
	switch {
	case a == nil:
		c.say("limits", "%s is new: %s, up to %s %%, %s", name(b), b.Verdict, decimalText(b.ContentMax), figure(b))
	case b == nil:
		c.say("limits", "%s is gone; it was %s", name(a), a.Verdict)
	case a.Verdict != b.Verdict || figure(a) != figure(b):
		from, to := apart(a.ContentMax, b.ContentMax)
		limit := figure(b)
		if figure(a) != limit {
			limit = figure(a) + " → " + limit
		}
		c.say("limits", "%s: %s → %s (up to %s %% → %s %%, %s)", name(b), a.Verdict, b.Verdict, from, to, limit)
	}
}

func (c *comparison) margin(a, b *keptMargin) {
	switch {
	case a == nil:
		c.say("margins", "%s is new: %s", b.INCI, marginWords(b))
	case b == nil:
		c.say("margins", "%s is gone; it had %s", a.INCI, marginWords(a))
	case !sameFloat(a.MoS, b.MoS) || a.Verdict != b.Verdict:
		text := fmt.Sprintf("%s: margin of safety %s", b.INCI, floatChange(a.MoS, b.MoS, ""))
		if a.Verdict != b.Verdict {
			text += ", " + a.Verdict + " → " + b.Verdict
		}
		c.say("margins", "%s", text)
	}
}

func marginWords(m *keptMargin) string {
	if m.MoS == nil {
		return "no margin of safety"
	}
	return "a margin of safety of " + document.FormatPlain(*m.MoS, 3) + ", " + m.Verdict
}

func documentKey(d documentJSON) string {
	return d.Ingredient + "\x00" + d.Kind + "\x00" + d.File
}

func (c *comparison) paper(a, b *documentJSON) {
	name := func(d *documentJSON) string {
		s := workshop.DocumentName(d.Kind) + " of " + d.Ingredient
		if d.File != "" {
			s += " (" + d.File + ")"
		}
		return s
	}
	switch {
	case a == nil:
		c.say("papers", "%s is new", name(b))
	case b == nil:
		c.say("papers", "%s is gone", name(a))
	case a.Dated != b.Dated:
		c.say("papers", "%s: dated %s → %s", name(b), dayOr(a.Dated), dayOr(b.Dated))
	case a.SHA256 != b.SHA256 && a.SHA256 != "" && b.SHA256 != "":
		c.say("papers", "%s: the file is another one", name(b))
	case a.SHA256 != b.SHA256:
		c.say("papers", "%s: the file is %s", name(b), ifElse(b.SHA256 == "", "gone", "there now"))
	}
}

func dayOr(d exact.Date) string {
	if d.IsZero() {
		return "no date"
	}
	return d.String()
}

func ifElse(cond bool, yes, no string) string {
	if cond {
		return yes
	}
	return no
}

// pairs calls f for every item of two lists, joined by key, in the order of the
// new list and then of what only the old one has.
func pairs[T any](was, is []T, key func(T) string, f func(a, b *T)) {
	old := map[string]*T{}
	for i := range was {
		old[key(was[i])] = &was[i]
	}
	now := map[string]bool{}
	for i := range is {
		k := key(is[i])
		if !now[k] {
			f(old[k], &is[i])
		}
		now[k] = true
	}
	for i := range was {
		if k := key(was[i]); !now[k] {
			f(&was[i], nil)
			now[k] = true
		}
	}
}
