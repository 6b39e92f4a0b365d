package product

import (
	"bytes"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document"
	"gallipot/dossier/document/page"
	"gallipot/dossier/label"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

type choice struct {
	Value, Text string
	Here        bool
}

// variantOf returns the variant asked for, else the first.
func variantOf(v *frame.Visit, p *workshop.Product) string {
	for _, x := range p.Variants {
		if x.ID == v.Field("variant") {
			return x.ID
		}
	}
	return p.Variants[0].ID
}

// stamped is what is stamped when a pack is filled, where it was typed: batch and day of making.
func stamped(v *frame.Visit) (opt label.LabelOptions, err error) {
	opt.Batch = v.Field("batch")
	if made := v.Field("made"); made != "" {
		opt.Made, err = exact.ParseDate(made)
	}
	return opt, err
}

// apart takes what is open out of a document: a page tells it with the field that settles it.
func apart(doc *document.Document) (open []finding.Finding) {
	doc.Walk(func(s *document.Section, _ int) {
		s.Blocks = slices.DeleteFunc(s.Blocks, func(b document.Block) bool {
			list, ok := b.(*document.FindingList)
			if ok {
				open = append(open, list.Findings...)
			}
			return ok
		})
	})
	return calc.Unique(open)
}

// showLabel shows the label of a variant in true size, and what it says as text.
func (d drawn) showLabel(v *frame.Visit) error {
	p, a, form, err := computed(v)
	if err != nil {
		return err
	}
	id := variantOf(v, p)
	one := a
	if id != "" {
		one = a.Only([]string{id})
	}
	opt, err := stamped(v)
	if err != nil {
		return err
	}
	made := v.Field("made")
	if opt.Made == 0 { // that of a batch on record
		for _, b := range v.Workshop().BatchRecords {
			if b.Code == opt.Batch && b.Product == p.ID {
				opt.Made, made = b.Date, b.Date.String()
			}
		}
	}
	var text bytes.Buffer
	doc := label.Text(one, id, opt)
	open := apart(doc)
	if err := page.WriteBody(&text, doc); err != nil {
		return err
	}
	data := map[string]any{"ID": p.ID, "ReadOnly": v.Site.ReadOnly,
		"Text": v.Names().Inside(text.String())} // escaped by its printer
	data["Open"], data["Batch"], data["Made"], data["Variant"] = v.TellAll(open), opt.Batch, made, id
	data["Batches"] = batchesOf(v, p, id)
	var choices []choice
	if len(p.Variants) > 1 {
		for _, x := range p.Variants {
			choices = append(choices, choice{x.ID, frame.VariantShort(p, x), x.ID == id})
		}
	}
	data["Choices"] = choices
	if p.Label != nil {
		labels := label.Labels(one, id, opt)
		pdf, unfit, _, err := label.PDF(labels, opt, false)
		if err != nil {
			return err
		}
		labels = slices.DeleteFunc(labels, func(l *label.ProductLabel) bool { return slices.Contains(unfit, l) })
		var why []finding.Finding
		for _, l := range unfit {
			why = append(why, l.FitFindings(false)...)
		}
		data["Why"] = v.TellAll(why)
		if pdf != nil {
			base, query := "/product/"+url.PathEscape(p.ID)+"/label",
				"?"+url.Values{"variant": {id}, "batch": {opt.Batch}, "made": {made}}.Encode()
			data["PDF"] = base + ".pdf" + query
			proofs, err := d.proofs(pdf, labels, base+"/", query)
			data["Proofs"], data["Undrawn"] = proofs, err != nil
		}
	}
	f, err := v.OpenFile(form)
	if err != nil {
		return err
	}
	data["Claims"], data["Base"], data["Written"] = claims(a, v), f.Hash, claimText(p)
	return v.Show(frame.ProductPage(v, p, a, "label", frame.Page{Template: "productlabel", Data: data}))
}

// batchesOf are the batches on record of a variant, the newest first.
func batchesOf(v *frame.Visit, p *workshop.Product, variant string) (codes []string) {
	for _, b := range slices.Backward(v.Workshop().BatchRecords) {
		if b.Product == p.ID && (b.Variant == variant || b.Variant == "") {
			codes = append(codes, b.Code)
		}
	}
	return codes
}

// proof is a label in true size.
type proof struct {
	Href   string
	N      int
	Market string  // "" where a label takes several pages
	Width  float64 // mm
	Height float64
}

func (d drawn) proofs(pdf []byte, labels []*label.ProductLabel, base, query string) ([]proof, error) {
	read, err := d.files.Read("label.pdf", pdf)
	if err != nil {
		return nil, err
	}
	var list []proof
	const mm = 25.4 / 72 // of a point
	for i, s := range read.Pages {
		x := proof{Href: base + strconv.Itoa(i+1) + query, N: i + 1, Width: s.Width * mm, Height: s.Height * mm}
		if len(labels) == len(read.Pages) {
			x.Market = strings.Join(labels[i].MarketWords(), " and ")
		}
		list = append(list, x)
	}
	return list, nil
}

// dots to an inch of a label as a picture: that of a printer.
const printDPI = 300

// labelPicture sends a page of the label's proof as a picture.
func (d drawn) labelPicture(v *frame.Visit) error {
	p, a, _, err := computed(v)
	if err != nil {
		return err
	}
	page, err := strconv.Atoi(v.R.PathValue("page"))
	if err != nil {
		return frame.NoPage("label")
	}
	id := variantOf(v, p)
	if id != "" {
		a = a.Only([]string{id})
	}
	opt, err := stamped(v)
	if err != nil {
		return err
	}
	pdf, _, _, err := label.PDF(label.Labels(a, id, opt), opt, false)
	if err != nil {
		return err
	}
	if pdf == nil || p.Label == nil {
		return frame.NoPage("label")
	}
	png, err := d.files.Picture(pdf, page, printDPI)
	var late *paper.Trouble
	switch {
	case errors.As(err, &late) && late.Code == "time":
		return &frame.Trouble{Status: http.StatusServiceUnavailable,
			What: "The picture of the label could not be drawn in time.",
			Fix:  "Try again when the computer has less to do, or save the label as PDF."}
	case err != nil:
		return frame.NoPage("label")
	}
	return v.File(p.ID+"-label-"+strconv.Itoa(page)+".png", "image/png", png)
}

func labelFile(v *frame.Visit) error {
	p, a, _, err := computed(v)
	if err != nil {
		return err
	}
	id := variantOf(v, p)
	if id != "" {
		a = a.Only([]string{id})
	}
	opt, err := stamped(v)
	if err != nil {
		return err
	}
	data, _, _, err := label.PDF(label.Labels(a, id, opt), opt, false)
	if err != nil {
		return err
	}
	if data == nil {
		return frame.Wrong("The label does not fit its size.", "Choose a larger size, or a leaflet.")
	}
	return v.File(p.ID+"-label.pdf", "application/pdf", data)
}
