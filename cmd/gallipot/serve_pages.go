package main

import (
	"bytes"
	"net/http"
	"strings"

	"gallipot/calc/law"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/document"
	"gallipot/dossier/letters"
	"gallipot/dossier/pack"
	"gallipot/dossier/stability"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// workshopPages are the pages about the workshop as a whole, by path.
var workshopPages = map[string]func(*visit) error{
	"/{$}":                 (*visit).products,
	"/check":               (*visit).check,
	"/stability":           (*visit).stability,
	"/stability.ics":       (*visit).calendar,
	"/batches":             (*visit).batches,
	"/trace":               (*visit).trace,
	"/trace.csv":           (*visit).traceTable,
	letterPath:             (*visit).letters,
	letterPath + "/{name}": (*visit).letters,
	"/law":                 (*visit).law,
}

// mostCounted is how many variants are computed to count findings on the first
// page; a larger workshop counts them on the page of open points.
const mostCounted = 200

// productRow is a product on the first page.
type productRow struct {
	Href, ID, Name, Type, Markets, Why string
	Revision, Variants                 int
	Counted                            bool
	Stop, Ask, Note                    int
}

// products is the first page: what there is, and how much is open.
func (v *visit) products() error {
	variants := 0
	for _, p := range v.w.Products {
		variants += len(p.Variants)
	}
	computable := v.w.Computable(v.w.Products)
	counts := map[string]*assess.Assessment{}
	if variants <= mostCounted {
		as, _ := dossier.CheckAll(v.w, computable, nil, v.opt)
		for _, a := range as {
			counts[a.Product.ID] = a
		}
	}
	data := struct {
		Maker, Unread string
		Invented      bool
		Products      []productRow
	}{Maker: v.w.Maker.Name, Invented: v.w.Invented}
	if n := len(unreadOnly(v.findings)); n > 0 {
		data.Unread = counted(n, "finding")
	}
	for _, p := range v.w.Products {
		row := productRow{Href: pathOf(p, ""), ID: p.ID, Name: p.Name, Type: p.Type, Revision: p.Revision, Variants: len(p.Variants), Why: "see open points"}
		if t, ok := law.ProductType(v.opt.Law, p.Type); ok {
			row.Type = t.Name
		}
		markets := p.Markets
		if len(v.opt.Markets) > 0 {
			markets = v.opt.Markets
		}
		for _, m := range markets {
			row.Markets = strings.TrimPrefix(row.Markets+", "+string(m), ", ")
		}
		if a := counts[p.ID]; a != nil {
			row.Counted = true
			row.Stop, row.Ask, row.Note = countKinds(a.Findings)
		} else if variants <= mostCounted {
			row.Href, row.Why = "", "not computed until its files can be read"
		}
		data.Products = append(data.Products, row)
	}
	var b bytes.Buffer
	if err := v.site.pages.ExecuteTemplate(&b, "products", data); err != nil {
		return err
	}
	return v.show(http.StatusOK, "Products", nil, b.Bytes())
}

func countKinds(fs []finding.Finding) (stop, ask, note int) {
	for _, f := range fs {
		switch f.Severity {
		case finding.Stop:
			stop++
		case finding.Ask:
			ask++
		default:
			note++
		}
	}
	return stop, ask, note
}

// check shows what `gallipot check` prints.
func (v *visit) check() error { return v.openPoints(v.w.Products, "all products", true) }

// openPoints shows the findings of products, as far as their files can be read.
func (v *visit) openPoints(products []*workshop.Product, about string, everything bool) error {
	as, batches := dossier.CheckAll(v.w, v.w.Computable(products), nil, v.opt)
	found := append(assess.MergeFindings(v.w, as, everything), batches...)
	return v.page(pack.OpenPoints(v.w, about, found, v.opt.Date), nil)
}

func (v *visit) stability() error {
	if err := v.readable(); err != nil {
		return err
	}
	v.offer("", "/stability.ics")
	return v.page(stability.Document(dossier.AssessAll(v.w, v.w.Products, v.opt), v.opt.Date), nil)
}

func (v *visit) calendar() error {
	if err := v.readable(); err != nil {
		return err
	}
	var b bytes.Buffer
	if err := stability.WriteCalendar(&b, v.w.Products, v.opt.Law, v.opt.Date); err != nil {
		return err
	}
	return v.file("readings.ics", "text/calendar; charset=utf-8", b.Bytes())
}

func (v *visit) batches() error {
	if err := v.readable(); err != nil {
		return err
	}
	code := v.asked("code")
	ask := &form{Action: "/batches", Button: "Show", Fields: []field{{Name: "code", Label: "Batch", Value: code, Options: chooseFrom("all", v.w.BatchCodes())}}}
	if code == "" {
		return v.page(batch.BatchList(v.w, v.opt.Date, nil), ask)
	}
	b := v.w.Batch(code)
	if b == nil {
		return unknown("batch", code, v.w.BatchCodes())
	}
	var a *assess.Assessment
	if p := v.w.Product(b.Product); p != nil {
		a = dossier.Assess(v.w, p, v.opt)
	}
	return v.page(batch.Review(v.w, b, a).Document(v.w, v.opt.Date), ask)
}

// traced follows the lot or batch asked for.
func (v *visit) traced() (*batch.Trace, error) {
	name := v.asked("of")
	trace, found := batch.TraceBatch(v.w, name)
	if !found {
		if trace, found = batch.TraceLot(v.w, name); !found {
			return nil, unknown("lot or batch", name, append(batch.Lots(v.w), v.w.BatchCodes()...))
		}
	}
	return trace, nil
}

func (v *visit) trace() error {
	if err := v.readable(); err != nil {
		return err
	}
	ask := &form{Action: "/trace", Button: "Trace", Fields: []field{{Name: "of", Label: "Lot or batch code", Value: v.asked("of"), Size: 24}}}
	if v.asked("of") == "" {
		d := &document.Document{Title: "Trace a lot", Subtitle: "where a lot of a raw material went, or all lots in a batch", Language: "en-GB", NoContents: true}
		d.AddSection("known", "Lots and batches on record").Add(document.List(append(batch.Lots(v.w), v.w.BatchCodes()...)...))
		return v.page(d, ask)
	}
	t, err := v.traced()
	if err != nil {
		return err
	}
	v.offer("", "/trace.csv")
	return v.page(t.Document(v.w, v.opt.Date), ask)
}

func (v *visit) traceTable() error {
	if err := v.readable(); err != nil {
		return err
	}
	t, err := v.traced()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := t.WriteCSV(&b); err != nil {
		return err
	}
	return v.file("trace.csv", "text/csv; charset=utf-8", b.Bytes())
}

// letterPath leads to the letters.
const letterPath = "/letters"

// letters shows what there is to ask for, or the letter asked for.
func (v *visit) letters() error {
	if err := v.readable(); err != nil {
		return err
	}
	letters := letters.LettersOf(v.w, dossier.AssessAll(v.w, v.w.Products, v.opt), v.opt.Date)
	files, err := letters.Documents(v.w.Maker.Name, v.opt.Date)
	if err != nil {
		return err
	}
	v.more.Name, v.more.Shown = "To", true
	wanted, asPDF := strings.CutSuffix(v.r.PathValue("name"), ".pdf")
	var names []string
	var doc *document.Document
	for _, f := range files {
		names = append(names, f.Name)
		v.more.Links = append(v.more.Links, link{Href: letterPath + "/" + f.Name, Text: f.Name, Here: f.Name == wanted})
		if f.Name == wanted {
			doc = f.Doc
		}
	}
	switch {
	case wanted == "":
		doc = &document.Document{Title: "Letters", Subtitle: "what to ask suppliers, laboratory and assessor for", Language: "en-GB", NoContents: true}
		doc.AddSection("letters", "Letters to send").Add(document.Para(counted(len(names), "letter") + ", listed above; gallipot letters writes them all into a folder."))
	case doc == nil:
		return unknown("letter", wanted, names)
	case asPDF:
		return v.sendPDF(doc, wanted+".pdf")
	default:
		v.more.Links = append(v.more.Links, link{Href: letterPath + "/" + wanted + ".pdf", Text: wanted + ".pdf"})
	}
	return v.page(doc, nil)
}

func (v *visit) law() error {
	name := v.asked("of")
	ask := &form{Action: "/law", Button: "Look up", Fields: []field{{Name: "of", Label: "Substance, by INCI name, CAS or CI number", Value: name, Size: 36}}}
	if name == "" {
		return v.page(pack.LawTables(v.opt.Law, v.opt.Date), ask)
	}
	doc, found := pack.LawOf(v.opt.Law, name, v.opt.Date)
	if !found {
		return unknownSubstance(name, v.opt.Law)
	}
	return v.page(doc, ask)
}
