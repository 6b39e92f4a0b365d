// Package today holds the pages that lead to everything else: what to do now, the lists of
// products, materials and batches, and what a search finds.
package today

import (
	"embed"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"gallipot/calc/law"
	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

//go:embed *.html
var templates embed.FS

// Pages returns the table of these pages.
func Pages() frame.Set {
	return frame.Set{Templates: templates, Routes: []frame.Route{
		{Pattern: "GET /today", Do: show},
		{Pattern: "GET /points", Do: points},
		{Pattern: "GET /products", Do: products},
		{Pattern: "GET /materials", Do: materials},
		{Pattern: "GET /batches", Do: batches},
		{Pattern: "GET /find", Do: find},
	}}
}

// row is a product in a list.
type row struct {
	ID, Name, Kind, Markets  string
	Counts                   finding.Counts
	Counted                  bool
	Limits, Assessor, Latest string
	Variants                 int
}

func show(v *frame.Visit) error {
	w := v.Workshop()
	as, _ := v.Shot.Check()
	all, ofBatches := v.Shot.Points()
	all = append(all, ofBatches...)
	data := struct {
		Steps    []frame.Told
		Rows     []row
		Counts   finding.Counts
		Total    int
		Batches  []batchRow
		Unread   int
		Products int
		Waiting  []string // papers that are not filed yet
	}{Rows: rows(v, as, ofBatches), Counts: finding.Count(all), Total: len(all), Batches: batchRows(v,
		ofBatches), Products: len(w.Products)}
	data.Steps = v.TellAll(words.Next(all, 3))
	var err error
	if data.Waiting, err = v.WaitingPapers(); err != nil {
		return err
	}
	day := v.Shot.Options.Date
	title := "Today, " + frame.Day(day)
	if t, err := time.Parse(time.DateOnly, day.String()); err == nil {
		title = "Today, " + t.Format("Monday 2 January")
	}
	facts := fmt.Sprintf("%d product%s, %d material%s, %d batch%s on record", len(w.Products),
		s(len(w.Products)), len(w.Sheets), s(len(w.Sheets)),
		len(w.Batches), map[bool]string{true: "", false: "es"}[len(w.Batches) == 1])
	open := frame.CountsHTML(data.Counts)
	switch n := len(data.Waiting); {
	case n > 0 && data.Total == 0:
		open = paperMark(n)
	case n > 0:
		open += " " + paperMark(n)
	case data.Total == 0 && len(w.Products) == 0: // nothing is judged yet
		open = frame.Escape("no product yet")
	}
	p := frame.Page{Title: title, Place: "today", Facts: frame.HTML(facts) + " · " + open, Template: "today", Data: data}
	if !v.Site.ReadOnly {
		p.Acts = []frame.Act{{Link: frame.Link{Href: "/products/new", Text: "New product"}},
			{Link: frame.Link{Href: "/materials/new", Text: "New material"}}}
	}
	if len(w.Products) > 0 && !v.Site.ReadOnly {
		p.Acts = append(p.Acts, frame.Act{Link: frame.Link{Href: "/scale", Text: "Weigh a batch"}, Main: true})
	}
	return v.Show(p)
}

// paperMark says that papers wait: what is in them is open.
func paperMark(n int) frame.HTML {
	return frame.Mark("ask", fmt.Sprintf("%d paper%s to be read", n, s(n)))
}

func s(n int) string {
	if n == 1 {
		return ""
	}
	return "s"
}

func rows(v *frame.Visit, as []*assess.Assessment, ofBatches []finding.Finding) []row {
	w := v.Workshop()
	byID := map[string]*assess.Assessment{}
	for _, a := range as {
		byID[a.Product.ID] = a
	}
	batches := byProduct(w, ofBatches)
	var list []row
	for _, p := range w.Products {
		r := row{ID: p.ID, Name: p.Name, Kind: p.Type, Variants: len(p.Variants), Latest: "none",
			Assessor: "not sent yet"}
		if t, ok := law.ProductType(v.Shot.Options.Law, p.Type); ok {
			r.Kind = t.Name
		}
		markets := make([]string, len(p.Markets))
		for i, m := range p.Markets {
			markets[i] = string(m)
		}
		r.Markets = strings.Join(markets, ", ")
		if a := byID[p.ID]; a != nil {
			r.Counted = true
			r.Counts = sum(finding.Count(a.Findings), finding.Count(batches[p.ID]))
			r.Limits = stopped(a)
			if n := len(p.Assessments); n > 0 {
				last := p.Assessments[n-1]
				r.Assessor = "signed " + frame.ShortDay(last.Dated)
				if last.Fingerprint != a.Fingerprint {
					r.Assessor = "signed for other figures, " + frame.ShortDay(last.Dated)
				}
			}
		}
		for _, b := range w.BatchRecords {
			if b.Product == p.ID {
				r.Latest = b.Code + ", " + b.State()
			}
		}
		list = append(list, r)
	}
	slices.SortStableFunc(list, func(a, b row) int {
		if d := a.Counts.Stop - b.Counts.Stop; d != 0 {
			return d
		}
		return a.Counts.Ask - b.Counts.Ask
	})
	return list
}

// byProduct parts findings about batches by the product of the batch.
func byProduct(w *workshop.Workshop, ofBatches []finding.Finding) map[string][]finding.Finding {
	product, out := map[string]string{}, map[string][]finding.Finding{} // by the file of the batch
	for _, b := range w.BatchRecords {
		if _, met := product[b.Source.Name]; !met {
			product[b.Source.Name] = b.Product
		}
	}
	for _, f := range ofBatches {
		if id, is := product[f.Pos.File]; is {
			out[id] = append(out[id], f)
		}
	}
	return out
}

func sum(a, b finding.Counts) finding.Counts {
	return finding.Counts{Stop: a.Stop + b.Stop, Ask: a.Ask + b.Ask, Note: a.Note + b.Note, Decided: a.Decided + b.Decided}
}

// stopped says which variants have a stop.
func stopped(a *assess.Assessment) string {
	var bad []string
	for _, x := range a.Product.Variants {
		if slices.ContainsFunc(a.Findings, func(f finding.Finding) bool {
			return f.Severity == finding.Stop && frame.Concerns(f, a.Product, x)
		}) {
			bad = append(bad, frame.VariantShort(a.Product, x))
		}
	}
	n := len(a.Product.Variants)
	switch {
	case len(bad) == n:
		return "none"
	case len(bad) == 0 && n == 1:
		return "the only variant"
	case len(bad) == 0:
		return fmt.Sprintf("all %d variants", n)
	}
	return fmt.Sprintf("%d of %d: not %s", n-len(bad), n, strings.Join(bad, ", "))
}

// Most points that one page shows: thousands take long to word and to draw, and nobody
// reads them in one go.
const mostPoints = 200

// pointsPage is a part of all points.
type pointsPage struct {
	Points []frame.Told
	Parts  []pointsPart // all parts, where there are several
}

// pointsPart leads to a part of the points.
type pointsPart struct {
	frame.Link
	Here bool
}

func points(v *frame.Visit) error {
	all, ofBatches := v.Shot.Points()
	all = append(all, ofBatches...)
	first, err := strconv.Atoi(v.Field("from"))
	if err != nil || first < 1 || first > len(all) {
		first = 1
	}
	first -= (first - 1) % mostPoints
	var data pointsPage
	for from := 1; len(all) > mostPoints && from <= len(all); from += mostPoints {
		data.Parts = append(data.Parts, pointsPart{frame.Link{Href: fmt.Sprintf("/points?from=%d", from),
			Text: fmt.Sprintf("%d to %d", from, min(from+mostPoints-1, len(all)))}, from == first})
	}
	data.Points = v.TellAll(all[first-1 : min(first-1+mostPoints, len(all))])
	return v.Show(frame.Page{Title: fmt.Sprintf("All %d points", len(all)), Place: "today",
		Crumb: &frame.Link{Href: "/today", Text: "Today"},
		Facts: frame.CountsHTML(finding.Count(all)), Template: "points", Data: data})
}

func products(v *frame.Visit) error {
	as, ofBatches := v.Shot.Check()
	p := frame.Page{Title: "Products", Place: "products", Template: "products", Data: rows(v, as, ofBatches)}
	if !v.Site.ReadOnly {
		p.Acts = []frame.Act{{Link: frame.Link{Href: "/formulas", Text: "Read a formula I have"}},
			{Link: frame.Link{Href: "/products/new", Text: "New product"}, Main: true}}
	}
	return v.Show(p)
}
