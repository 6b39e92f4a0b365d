package main

import (
	"bytes"
	"net/url"
	"slices"

	"gallipot/dossier"
)

// productPath leads to the pages of a product.
const productPath = "/products/{id}"

// pathOf returns the address of a product's page.
func pathOf(p *dossier.Product, page string) string {
	return "/products/" + url.PathEscape(p.ID) + page
}

// productTabs are the pages of a product in the order of its menu.
var productTabs = []struct{ path, text string }{
	{"", "Open points"}, {"/figures", "Figures"}, {"/label", "Label"}, {"/weigh", "Weigh"}, {"/stability", "Stability"}, {"/notification", "Notification"}, {"/pack", "Pack"},
}

// productPages are the pages and files of a product, by path below its own.
var productPages = map[string]func(*visit, *dossier.Assessment) error{
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
func ofProduct(path string, show func(*visit, *dossier.Assessment) error) func(*visit) error {
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
			return v.openPoints([]*dossier.Product{p}, p.Name, false)
		}
		if err := v.readable(); err != nil {
			return err
		}
		if variant := v.asked("variant"); variant != "" && !slices.Contains(variantNames(p), variant) {
			return unknown("variant of "+p.ID, variant, variantNames(p))
		}
		return show(v, v.w.Assess(p, v.opt))
	}
}

// narrowed is an assessment of the variant asked for alone, or of all.
func (v *visit) narrowed(a *dossier.Assessment) *dossier.Assessment {
	return a.Only([]string{v.asked("variant")})
}

func variantNames(p *dossier.Product) []string {
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

func (v *visit) figures(a *dossier.Assessment) error {
	d, err := dossier.Figures(v.narrowed(a), v.asked("variant"), nil)
	if err != nil {
		return err
	}
	v.offer(pathOf(v.product, ""), "/figures.json")
	return v.page(d, v.variantForm())
}

func (v *visit) figuresFile(a *dossier.Assessment) error {
	var b bytes.Buffer
	if err := dossier.WriteJSON(&b, []*dossier.Assessment{v.narrowed(a)}); err != nil {
		return err
	}
	return v.file(a.Product.ID+"-figures.json", "application/json", b.Bytes())
}

func (v *visit) label(a *dossier.Assessment) error {
	v.offer(pathOf(v.product, ""), "/labels.csv")
	if v.product.Label != nil { // a proof needs its size
		v.offer(pathOf(v.product, ""), "/labels.pdf", "/label-sheets.pdf")
	}
	return v.page(dossier.LabelText(v.narrowed(a), v.asked("variant"), dossier.LabelOptions{}), v.variantForm())
}

func (v *visit) labelFile(a *dossier.Assessment) error { return v.labels(a, false, "-labels.pdf") }
func (v *visit) labelSheets(a *dossier.Assessment) error {
	return v.labels(a, true, "-label-sheets.pdf")
}

// labels sends proofs of the labels that fit, or says why none does.
func (v *visit) labels(a *dossier.Assessment, sheets bool, name string) error {
	data, unfit, _, err := dossier.LabelPDF(dossier.Labels(v.narrowed(a), v.asked("variant"), dossier.LabelOptions{}), dossier.LabelOptions{}, sheets)
	if err != nil {
		return err
	}
	if data == nil {
		d := dossier.OpenPoints(v.w, "why no label is drawn", nil, v.opt.Date)
		for _, l := range unfit {
			more := dossier.OpenPoints(v.w, "", l.FitFindings(false), v.opt.Date)
			for _, s := range more.Sections {
				s.ID = l.Name() + s.ID
			}
			d.Sections = append(d.Sections, more.Sections...)
		}
		return v.page(d, nil)
	}
	return v.file(a.Product.ID+name, "application/pdf", data)
}

func (v *visit) labelTable(a *dossier.Assessment) error {
	var b bytes.Buffer
	if err := dossier.WriteLabelCSV(&b, dossier.Labels(v.narrowed(a), v.asked("variant"), dossier.LabelOptions{})); err != nil {
		return err
	}
	return v.file(a.Product.ID+"-labels.csv", "text/csv; charset=utf-8", b.Bytes())
}

// weighing reads the form of a weighing sheet; nil while nothing is asked for.
func (v *visit) weighing(a *dossier.Assessment) (*dossier.WeighSheet, *form, error) {
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
	sheet, err := v.w.Weigh(a, variant, opt)
	return sheet, ask, err
}

func (v *visit) weigh(a *dossier.Assessment) error {
	sheet, ask, err := v.weighing(a)
	if err != nil {
		return err
	}
	if sheet == nil {
		d := &dossier.Document{Title: "Weighing sheet", Subtitle: v.product.Name, Language: "en-GB", NoContents: true}
		d.AddSection("how", "Choose the variant and the mass").Add(dossier.Para("The record of a batch is started with gallipot weigh --record, which takes the next batch code."))
		return v.page(d, ask)
	}
	if sheet.Blocked() {
		return v.page(dossier.OpenPoints(v.w, "why no weighing sheet is made", sheet.Findings, v.opt.Date), ask)
	}
	v.offer(pathOf(v.product, ""), "/weigh.pdf")
	return v.page(sheet.Document(), ask)
}

func (v *visit) weighFile(a *dossier.Assessment) error {
	sheet, _, err := v.weighing(a)
	switch {
	case err != nil:
		return err
	case sheet == nil:
		return &usageError{"a weighing sheet needs the mass of the batch", "add ?batch=2kg, and &variant=… where there are several"}
	case sheet.Blocked():
		return v.page(dossier.OpenPoints(v.w, "why no weighing sheet is made", sheet.Findings, v.opt.Date), nil)
	}
	return v.sendPDF(sheet.Document(), a.Product.ID+"-weighing.pdf")
}

// sendPDF sends a document as PDF.
func (v *visit) sendPDF(d *dossier.Document, name string) error {
	data, _, err := dossier.RenderPDF(d, nil)
	if err != nil {
		return err
	}
	return v.file(name, "application/pdf", data)
}

func (v *visit) productStability(a *dossier.Assessment) error {
	return v.page(dossier.Stability([]*dossier.Assessment{a}, v.opt.Date), nil)
}

func (v *visit) notification(a *dossier.Assessment) error {
	v.offer(pathOf(v.product, ""), "/notification.pdf")
	return v.page(dossier.NotificationSheet(a), nil)
}

func (v *visit) notificationFile(a *dossier.Assessment) error {
	return v.sendPDF(dossier.NotificationSheet(a), a.Product.ID+"-notification.pdf")
}

func (v *visit) pack(a *dossier.Assessment) error {
	v.offer(pathOf(v.product, ""), "/pack.pdf", "/pack.xlsx")
	return v.page(dossier.Pack(a), nil)
}

func (v *visit) packFile(a *dossier.Assessment) error {
	pdf, _, _, err := dossier.MakePack(a)
	if err != nil {
		return err
	}
	return v.file(a.Product.ID+"-pack.pdf", "application/pdf", pdf)
}

func (v *visit) packBook(a *dossier.Assessment) error {
	_, book, _, err := dossier.MakePack(a)
	if err != nil {
		return err
	}
	return v.file(a.Product.ID+"-pack.xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", book)
}
