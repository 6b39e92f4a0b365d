package main

import (
	"bytes"
	"net/url"
	"slices"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/figures"
	"gallipot/dossier/label"
	"gallipot/dossier/notice"
	"gallipot/dossier/pack"
	"gallipot/dossier/stability"
	"gallipot/dossier/weigh"
	"gallipot/dossier/workshop"
)

// productPath leads to the pages of a product.
const productPath = "/products/{id}"

// pathOf returns the address of a product's page.
func pathOf(p *workshop.Product, page string) string {
	return "/products/" + url.PathEscape(p.ID) + page
}

// productTabs are the pages of a product in the order of its menu.
var productTabs = []struct{ path, text string }{
	{"", "Open points"}, {"/figures", "Figures"}, {"/label", "Label"}, {"/weigh", "Weigh"}, {"/stability", "Stability"}, {"/notification", "Notification"}, {"/pack", "Pack"},
}

// productPages are the pages and files of a product, by path below its own.
var productPages = map[string]func(*visit, *assess.Assessment) error{
	"":                  nil, // computed by openPoints
	"/figures":          (*visit).figures,
	"/figures.json":     (*visit).figuresFile,
	"/label":            (*visit).label,
	"/labels.pdf":       (*visit).labelFile,
	"/label-sheets.pdf": (*visit).labelSheets,
	"/labels.csv":       (*visit).labelTable,
	"/weigh":            (*visit).weigh,
	"/weigh.pdf":        (*visit).weighFile,
	"/stability":        (*visit).productStability,
	"/notification":     (*visit).notification,
	"/notification.pdf": (*visit).notificationFile,
	"/pack":             (*visit).pack,
	"/pack.pdf":         (*visit).packFile,
	"/pack.xlsx":        (*visit).packBook,
}

// ofProduct finds the product of a page, has it assessed, and shows the page.
func ofProduct(path string, show func(*visit, *assess.Assessment) error) func(*visit) error {
	return func(v *visit) error {
		id := v.r.PathValue("id")
		p := v.w.Product(id)
		if p == nil {
			if err := v.readable(); err != nil { // it may be in a file that cannot be read
				return err
			}
			var known []string
			for _, p := range v.w.Products {
				known = append(known, p.ID)
			}
			return unknown("product", id, known)
		}
		v.product, v.place = p, path
		if show == nil {
			return v.openPoints([]*workshop.Product{p}, p.Name, false)
		}
		if err := v.readable(); err != nil {
			return err
		}
		if variant := v.asked("variant"); variant != "" && !slices.Contains(variantNames(p), variant) {
			return unknown("variant of "+p.ID, variant, variantNames(p))
		}
		return show(v, dossier.Assess(v.w, p, v.opt))
	}
}

// narrowed is an assessment of the variant asked for alone, or of all.
func (v *visit) narrowed(a *assess.Assessment) *assess.Assessment {
	return a.Only([]string{v.asked("variant")})
}

func variantNames(p *workshop.Product) []string {
	var names []string
	for _, x := range p.Variants {
		names = append(names, x.ID)
	}
	return names
}

// variantForm asks which variant a page is to be about.
func (v *visit) variantForm(more ...field) *form {
	f := &form{Action: pathOf(v.product, v.place), Button: "Show"}
	if names := variantNames(v.product); len(names) > 1 {
		f.Fields = append(f.Fields, field{Name: "variant", Label: "Variant", Value: v.asked("variant"), Options: chooseFrom("all", names)})
	}
	if f.Fields = append(f.Fields, more...); len(f.Fields) == 0 {
		return nil
	}
	return f
}

func (v *visit) figures(a *assess.Assessment) error {
	d, err := pack.Figures(v.narrowed(a), v.asked("variant"), nil)
	if err != nil {
		return err
	}
	v.offer(pathOf(v.product, ""), "/figures.json")
	return v.page(d, v.variantForm())
}

func (v *visit) figuresFile(a *assess.Assessment) error {
	var b bytes.Buffer
	if err := figures.WriteJSON(&b, []*assess.Assessment{v.narrowed(a)}); err != nil {
		return err
	}
	return v.file(a.Product.ID+"-figures.json", "application/json", b.Bytes())
}

func (v *visit) label(a *assess.Assessment) error {
	v.offer(pathOf(v.product, ""), "/labels.csv")
	if v.product.Label != nil { // a proof needs its size
		v.offer(pathOf(v.product, ""), "/labels.pdf", "/label-sheets.pdf")
	}
	return v.page(label.Text(v.narrowed(a), v.asked("variant"), label.LabelOptions{}), v.variantForm())
}

func (v *visit) labelFile(a *assess.Assessment) error { return v.labels(a, false, "-labels.pdf") }

func (v *visit) labelSheets(a *assess.Assessment) error {
	return v.labels(a, true, "-label-sheets.pdf")
}

// labels sends proofs of the labels that fit, or says why none does.
func (v *visit) labels(a *assess.Assessment, sheets bool, name string) error {
	data, unfit, _, err := label.PDF(label.Labels(v.narrowed(a), v.asked("variant"), label.LabelOptions{}), label.LabelOptions{}, sheets)
	if err != nil {
		return err
	}
	if data == nil {
		d := pack.OpenPoints(v.w, "why no label is drawn", nil, v.opt.Date)
		for _, l := range unfit {
			more := pack.OpenPoints(v.w, "", l.FitFindings(false), v.opt.Date)
			for _, s := range more.Sections {
				s.ID = l.Name() + s.ID
			}
			d.Sections = append(d.Sections, more.Sections...)
		}
		return v.page(d, nil)
	}
	return v.file(a.Product.ID+name, "application/pdf", data)
}

func (v *visit) labelTable(a *assess.Assessment) error {
	var b bytes.Buffer
	if err := label.WriteCSV(&b, label.Labels(v.narrowed(a), v.asked("variant"), label.LabelOptions{})); err != nil {
		return err
	}
	return v.file(a.Product.ID+"-labels.csv", "text/csv; charset=utf-8", b.Bytes())
}

// weighing reads the form of a weighing sheet; nil while nothing is asked for.
func (v *visit) weighing(a *assess.Assessment) (*weigh.WeighSheet, *form, error) {
	f := weighFlags{batch: v.asked("batch"), loss: v.asked("loss"), density: v.asked("density")}
	ask := v.variantForm(field{Name: "batch", Label: "Mass of the batch, such as 2kg", Value: f.batch, Size: 10}, field{Name: "loss", Label: "Loss, % of it", Value: f.loss, Size: 5})
	if f.batch == "" {
		return nil, ask, nil
	}
	if f.loss == "" {
		f.loss = "0"
	}
	opt, err := f.options()
	if err != nil {
		return nil, ask, err
	}
	variant := v.asked("variant")
	if names := variantNames(v.product); variant == "" && len(names) == 1 {
		variant = names[0]
	}
	sheet, err := weigh.Weigh(v.w, a, variant, opt)
	return sheet, ask, err
}

func (v *visit) weigh(a *assess.Assessment) error {
	sheet, ask, err := v.weighing(a)
	if err != nil {
		return err
	}
	if sheet == nil {
		d := &document.Document{Title: "Weighing sheet", Subtitle: v.product.Name, Language: "en-GB", NoContents: true}
		d.AddSection("how", "Choose the variant and the mass").Add(document.Para("The record of a batch is started with gallipot weigh --record, which takes the next batch code."))
		return v.page(d, ask)
	}
	if sheet.Blocked() {
		return v.page(pack.OpenPoints(v.w, "why no weighing sheet is made", sheet.Findings, v.opt.Date), ask)
	}
	v.offer(pathOf(v.product, ""), "/weigh.pdf")
	return v.page(sheet.Document(), ask)
}

func (v *visit) weighFile(a *assess.Assessment) error {
	sheet, _, err := v.weighing(a)
	switch {
	case err != nil:
		return err
	case sheet == nil:
		return &usageError{"a weighing sheet needs the mass of the batch", "add ?batch=2kg, and &variant=… where there are several"}
	case sheet.Blocked():
		return v.page(pack.OpenPoints(v.w, "why no weighing sheet is made", sheet.Findings, v.opt.Date), nil)
	}
	return v.sendPDF(sheet.Document(), a.Product.ID+"-weighing.pdf")
}

// sendPDF sends a document as PDF.
func (v *visit) sendPDF(d *document.Document, name string) error {
	data, _, err := pdf.Render(d, nil)
	if err != nil {
		return err
	}
	return v.file(name, "application/pdf", data)
}

func (v *visit) productStability(a *assess.Assessment) error {
	return v.page(stability.Document([]*assess.Assessment{a}, v.opt.Date), nil)
}

func (v *visit) notification(a *assess.Assessment) error {
	v.offer(pathOf(v.product, ""), "/notification.pdf")
	return v.page(notice.Sheet(a), nil)
}

func (v *visit) notificationFile(a *assess.Assessment) error {
	return v.sendPDF(notice.Sheet(a), a.Product.ID+"-notification.pdf")
}

func (v *visit) pack(a *assess.Assessment) error {
	v.offer(pathOf(v.product, ""), "/pack.pdf", "/pack.xlsx")
	return v.page(pack.Build(a), nil)
}

func (v *visit) packFile(a *assess.Assessment) error {
	pdf, _, _, err := dossier.MakePack(a)
	if err != nil {
		return err
	}
	return v.file(a.Product.ID+"-pack.pdf", "application/pdf", pdf)
}

func (v *visit) packBook(a *assess.Assessment) error {
	_, book, _, err := dossier.MakePack(a)
	if err != nil {
		return err
	}
	return v.file(a.Product.ID+"-pack.xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", book)
}
