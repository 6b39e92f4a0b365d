package today

import (
	"cmp"
	"net/url"
	"slices"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

type materialRow struct {
	ID, Name, Supplier, Functions string
	Counts                        finding.Counts
	Products                      []string
	Papers                        int
}

func materials(v *frame.Visit) error {
	w := v.Workshop()
	all, _ := v.Shot.Points()
	byFile := map[string][]finding.Finding{}
	for _, f := range all {
		byFile[f.Pos.File] = append(byFile[f.Pos.File], f)
	}
	used := map[string][]string{}
	for _, p := range w.Products {
		for _, id := range frame.Uses(p) {
			used[id] = append(used[id], p.Name)
		}
	}
	var list []materialRow
	for _, id := range w.SheetIDs() {
		sheet := w.Sheets[id]
		r := materialRow{ID: id, Name: sheet.Name, Supplier: sheet.Supplier.Name,
			Functions: strings.Join(sheet.Functions, ", "), Products: used[id], Papers: len(sheet.Documents)}
		if src := w.SheetSource(id); src != nil {
			r.Counts = finding.Count(byFile[src.Name])
		}
		list = append(list, r)
	}
	slices.SortFunc(list, func(a, b materialRow) int {
		return strings.Compare(strings.ToLower(a.Name),
			strings.ToLower(b.Name))
	})
	p := frame.Page{Title: "Materials", Place: "materials", Template: "materials", Data: list}
	if !v.Site.ReadOnly {
		p.Acts = []frame.Act{{Link: frame.Link{Href: "/materials/new", Text: "New material"}, Main: true}}
	}
	return v.Show(p)
}

type batchRow struct {
	Code, Product, Variant, Day, State string
	Counts                             finding.Counts
	Open                               bool // being weighed
}

func batchRows(v *frame.Visit, ofBatches []finding.Finding) []batchRow {
	w := v.Workshop()
	var list []batchRow
	for _, b := range w.BatchRecords {
		r := batchRow{Code: b.Code, Product: b.Product, Variant: b.Variant, Day: frame.ShortDay(b.Date),
			State: b.State()}
		if p := w.Product(b.Product); p != nil {
			r.Product = p.Name
			for _, x := range p.Variants {
				if x.ID == b.Variant {
					r.Variant = frame.VariantName(p, x)
				}
			}
		}
		var fs []finding.Finding
		for _, f := range ofBatches {
			if f.Pos.File == b.Source.Name {
				fs = append(fs, f)
			}
		}
		r.Counts = finding.Count(fs)
		r.Open = !v.Site.ReadOnly &&
			slices.ContainsFunc(b.Lines, func(l workshop.BatchLine) bool { return l.WeighedG == nil })
		list = append(list, r)
	}
	slices.Reverse(list)
	return list
}

func batches(v *frame.Visit) error {
	_, ofBatches := v.Shot.Check()
	p := frame.Page{Title: "Batches", Place: "batches", Template: "batches", Data: batchRows(v, ofBatches)}
	if !v.Site.ReadOnly {
		p.Acts = []frame.Act{{Link: frame.Link{Href: "/scale", Text: "Weigh a batch"}, Main: true}}
	}
	return v.Show(p)
}

// hit is something a search finds.
type hit struct{ Kind, Name, More, Href string }

// Most substances of the tables that a search shows behind what the workshop has.
const mostNames = 8

// find looks through names of products and materials, substances, papers, lots and batches, and
// then through the names of the tables.
func find(v *frame.Visit) error {
	q := strings.ToLower(v.Field("q"))
	var hits []hit
	add := func(text string, h hit) {
		if q != "" && strings.Contains(strings.ToLower(text), q) && !slices.Contains(hits, h) {
			hits = append(hits, h)
		}
	}
	w := v.Workshop()
	names := frame.NamesOf(w)
	for _, p := range w.Products {
		add(p.Name+" "+p.ID, hit{"product", p.Name, "", "/product/" + url.PathEscape(p.ID)})
	}
	for _, id := range w.SheetIDs() {
		sheet := w.Sheets[id]
		href := "/material/" + url.PathEscape(id)
		add(sheet.Name+" "+id+" "+sheet.Supplier.Name+" "+sheet.Supplier.Code,
			hit{"material", sheet.Name, sheet.Supplier.Name, href})
		for _, c := range sheet.Composition.Constituents {
			add(c.INCI+" "+c.CAS, hit{"substance", c.INCI, "in " + sheet.Name, href})
		}
		if sheet.Allergens != nil {
			for _, a := range sheet.Allergens.Declared {
				add(a.Name+" "+a.CAS, hit{"substance", a.Name, "declared in " + sheet.Name, href + "/allergens"})
			}
		}
		for _, i := range sheet.Impurities {
			add(i.Name+" "+i.CAS, hit{"trace", i.Name, "in " + sheet.Name, href})
		}
		for _, d := range sheet.Documents {
			add(d.File+" "+d.Kind, hit{"paper", d.File, "of " + sheet.Name, href})
		}
	}
	for _, l := range w.Lots {
		what := cmp.Or(l.Item, names.Name(l.Ingredient))
		add(l.Code+" "+l.SupplierLot, hit{"lot", l.Code, what, "/trace?of=" + url.QueryEscape(l.Code)})
	}
	for _, b := range w.BatchRecords {
		href := "/batch/" + url.PathEscape(b.Code)
		product := b.Product
		if p := w.Product(product); p != nil {
			product = p.Name
		}
		add(b.Code, hit{"batch", b.Code, product, href})
		for _, l := range b.Lines {
			for _, lot := range l.Lots {
				add(lot.Lot+" "+lot.SupplierLot, hit{"lot", lot.Lot, names.Name(l.Ingredient) + " in " + b.Code, href})
			}
		}
	}
	hits = append(hits, inTables(v)...)
	return v.Show(frame.Page{Title: "Find", Template: "find", Data: map[string]any{"Q": v.Field("q"),
		"Hits": hits}})
}

// inTables are the substances of the tables that are meant, or are called nearly so.
func inTables(v *frame.Visit) (hits []hit) {
	q := v.Field("q")
	if len(q) < 3 {
		return nil
	}
	dict := v.Shot.Options.Law.Dictionary()
	add := func(name string) {
		h := hit{"in the tables", name, "what law and tables say of it", "/law?of=" + url.QueryEscape(name)}
		if len(hits) < mostNames && !slices.Contains(hits, h) {
			hits = append(hits, h)
		}
	}
	if s := dict.Lookup(q); s != nil {
		add(s.INCI)
	}
	for _, s := range dict.ByCAS(q) {
		add(s.INCI)
	}
	for _, name := range dict.All() {
		if strings.HasPrefix(strings.ToLower(name), strings.ToLower(q)) {
			add(name)
		}
	}
	for _, near := range dict.Names().Nearest(q, 3) { // of the whole inventory
		add(near.Name)
	}
	return hits
}
