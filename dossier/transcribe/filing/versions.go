package filing

import (
	"cmp"
	"strings"

	"gallipot/dossier/transcribe/reading"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Difference is what two versions of one document say differently. A side is empty
// where that version does not say it.
type Difference struct {
	Field    string
	Old, New string        // as printed
	Place    reading.Place // in the newer one, or in the older where it is gone
}

// Older says which of two papers of one material is the older version of the other:
// they are of one kind, and their dates tell. ok is false where they are not versions
// of one document or where their order is open.
func Older(a, b *Filing) (older, newer *Filing, ok bool) {
	if a.Sheet == "" || a.Sheet != b.Sheet || a.Kind != b.Kind || a.Kind == "other" ||
		a.Reading.SHA256 == b.Reading.SHA256 ||
		a.lot() != b.lot() {
		return nil, nil, false
	}
	da, db := dateOf(a.Reading), dateOf(b.Reading)
	switch n := min(len(da), len(db)); { // a month against a day of that month says nothing
	case n == 0 || da[:n] == db[:n]:
		return nil, nil, false
	case da < db:
		return a, b, true
	}
	return b, a, true
}

// lot is the batch of an analysis: that of another batch is no version of it.
func (f *Filing) lot() string {
	if f.Kind != "coa" || f.Reading.Document.Batch == nil {
		return ""
	}
	return plainKey(f.Reading.Document.Batch.Value)
}

func dateOf(r *reading.Reading) string {
	if d := r.Document.Issued; d != nil && d.Ask == "" {
		return d.Value
	}
	return ""
}

// Previous is the file of the paper that the workshop holds as the newest of this
// kind for the sheet; "" where it has none but this one.
func (f *Filing) Previous(w *workshop.Workshop) string {
	s := w.Sheets[f.Sheet]
	if s == nil || f.Filed != "" || f.Kind == "other" || f.Kind == "coa" {
		return ""
	}
	var newest *ingredients.Document
	for i, d := range s.Documents {
		if string(d.Kind) != f.Kind || d.File == "" {
			continue
		}
		if newest == nil || dayOf(newest).Before(dayOf(&s.Documents[i])) {
			newest = &s.Documents[i]
		}
	}
	if newest == nil {
		return ""
	}
	return newest.File
}

func dayOf(d *ingredients.Document) exact.Date { return d.Dated }

// said is one thing that a paper says.
type said struct {
	value, printed string
	place          reading.Place
}

// Differences lists what two versions of a document say differently, in the order of
// the newer one; what it no longer says comes last.
func Differences(older, newer *reading.Reading) []Difference {
	old, oldOrder := saidBy(older)
	now, order := saidBy(newer)
	var out []Difference
	for _, field := range order {
		if o, n := old[field], now[field]; o.value != n.value {
			out = append(out, Difference{field, o.printed, n.printed, n.place})
		}
	}
	for _, field := range oldOrder {
		if _, still := now[field]; !still {
			out = append(out, Difference{field, old[field].printed, "", old[field].place})
		}
	}
	return out
}

// saidBy gathers what a paper says by the fields of a sheet.
func saidBy(r *reading.Reading) (all map[string]said, order []string) {
	all = map[string]said{}
	put := func(field, value, printed string, at reading.Place) {
		for base, n := field, 2; ; n++ { // two rows of one name stay two
			if _, taken := all[field]; !taken {
				break
			}
			field = base + " " + itoa(n)
		}
		all[field] = said{value, cmp.Or(strings.TrimSpace(printed), value), at}
		order = append(order, field)
	}
	fact := func(field string, f *reading.Fact) {
		if f != nil {
			put(field, plainKey(f.Value), f.Value, f.Place)
		}
	}
	fact("name", r.Document.TradeName)
	fact("supplier.name", r.Document.Supplier)
	fact("supplier.code", r.Document.Code)
	for _, c := range r.Composition {
		put("composition."+idOf(labelName(c)), amountText(c.Low, c.High, c.LowIn, c.HighIn)+c.Status,
			c.Printed, c.Place)
	}
	if r.Allergens != nil {
		put("allergens.list", r.Allergens.List, r.Allergens.List, reading.Place{})
		for _, a := range r.Allergens.Rows {
			value := amountText(a.Low, a.High, a.LowIn, a.HighIn)
			if value == "" {
				value = a.Status
			}
			put("allergens."+fieldKey(a), value, a.Printed, a.Place)
		}
	}
	if c := r.IFRA; c != nil {
		if c.Amendment != nil {
			put("fragrance_limits.amendment", itoa(*c.Amendment), itoa(*c.Amendment), reading.Place{})
		}
		for _, l := range c.Rows {
			put("fragrance_limits."+l.Category, limitText(l)+l.Ask, l.Printed, l.Place)
		}
	}
	for _, p := range r.Impurities {
		put("impurities."+idOf(cmp.Or(p.Substance, p.Name)), propertyText(p), printedUnit(p), p.Place)
	}
	for _, p := range r.Physical {
		put("physical."+idOf(cmp.Or(p.Property, p.Name)), propertyText(p), printedUnit(p), p.Place)
	}
	return all, order
}

func propertyText(p reading.Property) string {
	return strings.Join([]string{p.Op, p.Value, p.Low, p.High, p.Unit, p.Status}, "|")
}

func printedUnit(p reading.Property) string {
	if strings.Contains(p.Printed, p.Unit) {
		return p.Printed
	}
	return p.Printed + " " + p.Unit
}
