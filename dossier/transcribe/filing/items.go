package filing

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/reading"
	"gallipot/dossier/workshop"
)

// Part is the part of a sheet that an item belongs to.
type Part string

// The parts, in the order in which they are asked about.
const (
	OfPaper       Part = "paper" // what the paper says of itself
	OfComposition Part = "composition"
	OfAllergens   Part = "allergens"
	OfCertificate Part = "certificate"
	OfImpurities  Part = "impurities"
	OfPhysical    Part = "physical"
	OfSheet       Part = "sheet" // what the sheet says and the paper says otherwise
)

// Item is one value of a paper as a person is asked about it: to be confirmed, corrected or
// refused.
type Item struct {
	// Key is the same whenever the same bytes are read.
	Key  string
	Part Part
	// Name is that of the substance, the category or the fact; Said that on the paper where
	// it differs.
	Name, Said, Number string
	Printed            string
	// Value is as a sheet would have it; "" where it is not decided.
	Value string
	Place reading.Place
	Rules []string // by which it was read, keys of the wordings
	Ask   string   // why it is not decided, a key of the wordings
	Field string   // of the [Value] that it comes to
}

// Items lists what a person is asked about before the paper is written into its sheet. What
// a sheet has no place for is not among it.
func (f *Filing) Items(w *workshop.Workshop) []Item {
	items := f.factItems()
	r := f.Reading
	if f.takesComposition(w) {
		for i, c := range r.Composition {
			if c.Hidden || labelName(c) == "" {
				continue
			}
			value, ask := contentOf(c.Low, c.High, c.LowIn, c.HighIn, c.Status, c.Ask)
			if c.Status == "qs" {
				value, ask = "q.s.", c.Ask
			}
			items = append(items, Item{Key: key(OfComposition, i), Part: OfComposition, Name: labelName(c),
				Said:   other(c.Name, labelName(c)),
				Number: strings.Join(c.CAS, ", "), Printed: c.Printed, Value: value, Place: c.Place, Rules: c.Rules,
				Ask: ask, Field: "composition." + idOf(labelName(c))})
		}
	}
	items = append(items, f.allergenItems()...)
	items = append(items, f.certificateItems()...)
	for i, p := range r.Impurities {
		sure := p
		sure.Ask = ""
		value := impurityAmount(sure)
		if p.Lot != "" || value == "" && p.Ask == "" {
			continue // a result of one lot, or no content
		}
		items = append(items, Item{Key: key(OfImpurities, i), Part: OfImpurities, Name: p.Substance,
			Said:   other(p.Name, p.Substance),
			Number: p.CAS, Printed: printedUnit(p), Value: value, Place: p.Place, Rules: p.Rules,
			Ask:   open(p.Ask, value),
			Field: "impurities." + idOf(p.Substance)})
	}
	for i, p := range r.Physical {
		sure := p
		sure.Ask = ""
		name, value := physicalKey(sure)
		if name == "" {
			continue
		}
		items = append(items, Item{Key: key(OfPhysical, i), Part: OfPhysical, Name: p.Property,
			Said:    other(p.Name, p.Property),
			Printed: printedUnit(p), Value: value, Place: p.Place, Rules: p.Rules, Ask: open(p.Ask,
				value), Field: "physical." + name})
	}
	return append(items, f.sheetItems(items)...)
}

func key(p Part, i int) string { return string(p) + "/" + strconv.Itoa(i) }

// contentOf is a content as a sheet has it. Traces and the like, which have no upper bound, are
// no content: they are asked about.
func contentOf(low, high *string, lowIn, highIn bool, status, ask string) (value, why string) {
	value = amountText(low, high, lowIn, highIn)
	if high == nil && (low == nil || isZero(*low)) {
		return "", cmp.Or(ask, status, "not-read")
	}
	return value, ask
}

// open is why a value is not decided.
func open(ask, value string) string {
	if ask == "" && value == "" {
		return "not-read"
	}
	return ask
}

func other(said, name string) string {
	if said == name {
		return ""
	}
	return said
}

// takesComposition says whether the rows of a paper are the composition of its sheet.
func (f *Filing) takesComposition(w *workshop.Workshop) bool {
	r := f.Reading
	if s := w.Sheets[f.Sheet]; s != nil {
		return !(r.Document.Kind == "sds" && isScent(s)) && r.Document.Kind != "certificate-of-analysis"
	}
	return r.Document.Kind != "sds" || r.Allergens == nil
}

// factItems are what the paper says of itself and a sheet takes.
func (f *Filing) factItems() []Item {
	d := f.Reading.Document
	var items []Item
	for _, x := range []struct {
		key, missing string
		fact         *reading.Fact
		wanted       bool
		field        string
	}{
		{"name", "name-missing", d.TradeName, f.New || f.Sheet == "", "name"},
		{"supplier", "supplier-missing", d.Supplier, true, "supplier.name"},
		{"code", "", d.Code, d.Code != nil, "supplier.code"},
		{"dated", "date-missing", d.Issued, true, "dated"},
	} {
		if !x.wanted {
			continue
		}
		item := Item{Key: string(OfPaper) + "/" + x.key, Part: OfPaper, Name: x.key, Field: x.field, Ask: x.missing}
		if x.fact != nil {
			item.Printed, item.Value, item.Place, item.Rules, item.Ask = x.fact.Printed, x.fact.Value,
				x.fact.Place, x.fact.Rules, x.fact.Ask
			if x.key == "dated" && item.Ask == "" && len(item.Value) != len("2026-01-31") {
				item.Ask = "date-month"
			}
		}
		items = append(items, item)
	}
	return items
}

func (f *Filing) allergenItems() []Item {
	a := f.Reading.Allergens
	if a == nil {
		return nil
	}
	var items []Item
	for i, r := range a.Rows {
		value, ask := contentOf(r.Low, r.High, r.LowIn, r.HighIn, r.Status, r.Ask)
		rules := slices.Clone(r.Rules)
		if r.Status == "not-detected" {
			rules = append(rules, "limit-of-detection")
		}
		if !takes(r) {
			continue
		}
		items = append(items, Item{Key: key(OfAllergens, i), Part: OfAllergens,
			Name:   cmp.Or(r.Name, strings.ReplaceAll(r.Key, "-", " ")),
			Number: strings.Join(r.CAS, ", "), Printed: r.Printed, Value: value, Place: r.Place, Rules: rules,
			Ask: ask, Field: "allergens." + fieldKey(r)})
	}
	if len(items) == 0 {
		return nil
	}
	list := Item{Key: string(OfAllergens) + "/list", Part: OfAllergens, Name: "list", Value: f.listKey(),
		Field: "allergens.list"}
	if f.listOpen() {
		list.Value, list.Ask = "", "list-open"
	}
	return append([]Item{list}, items...)
}

func (f *Filing) certificateItems() []Item {
	cert := f.Reading.IFRA
	if cert == nil || f.Reading.Document.Kind == "mail" {
		return nil
	}
	var items []Item
	for i, l := range cert.Rows {
		value := limitText(l)
		items = append(items, Item{Key: key(OfCertificate, i), Part: OfCertificate, Name: l.Category,
			Printed: l.Printed, Value: value,
			Place: l.Place, Rules: l.Rules, Ask: open(l.Ask, value), Field: "fragrance_limits." + l.Category})
	}
	if len(items) == 0 {
		return nil
	}
	amendment := Item{Key: string(OfCertificate) + "/amendment", Part: OfCertificate, Name: "amendment",
		Ask: "amendment-none", Field: "fragrance_limits.amendment"}
	if cert.Amendment != nil {
		amendment.Value, amendment.Ask = itoa(*cert.Amendment), ""
	}
	return append([]Item{amendment}, items...)
}

// sheetItems are what the sheet says otherwise and no value of the paper stands for: rows
// that the paper no longer has, the day of a declaration.
func (f *Filing) sheetItems(items []Item) []Item {
	asked := map[string]bool{}
	for _, x := range items {
		asked[x.Field] = true
	}
	var more []Item
	for _, v := range f.Values {
		if v.State == Differs && !asked[v.Field] {
			more = append(more, Item{Key: string(OfSheet) + "/" + v.Field, Part: OfSheet, Name: v.Field,
				Printed: v.Printed, Value: v.Paper,
				Place: v.Place, Field: v.Field})
		}
	}
	return more
}

// Beside returns what the sheet says where the item would stand.
func (f *Filing) Beside(x Item) (state State, have string) {
	for _, v := range f.Values {
		if v.Field == x.Field {
			return v.State, v.Sheet
		}
	}
	return Fills, ""
}
