package product

import (
	"bytes"
	"net/url"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document/page"
	"gallipot/dossier/label"
	"gallipot/dossier/workshop"
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

// showLabel shows the label of a variant in true size, and what it says as text.
func showLabel(v *frame.Visit) error {
	p, a, _, err := computed(v)
	if err != nil {
		return err
	}
	id := variantOf(v, p)
	one := a
	if id != "" {
		one = a.Only([]string{id})
	}
	var text bytes.Buffer
	if err := page.WriteBody(&text, label.Text(one, id, label.LabelOptions{})); err != nil {
		return err
	}
	data := map[string]any{"ID": p.ID, "Text": frame.NamesOf(v.Workshop()).Inside(text.String())} // escaped by its printer
	var choices []choice
	if len(p.Variants) > 1 {
		for _, x := range p.Variants {
			choices = append(choices, choice{x.ID, frame.VariantShort(p, x), x.ID == id})
		}
	}
	data["Choices"] = choices
	if p.Label != nil {
		_, unfit, _, err := label.PDF(label.Labels(one, id, label.LabelOptions{}), label.LabelOptions{}, false)
		if err != nil {
			return err
		}
		var why []finding.Finding
		for _, l := range unfit {
			why = append(why, l.FitFindings(false)...)
		}
		data["Why"] = v.TellAll(why)
		if len(unfit) < len(a.Markets) {
			data["PDF"] = "/product/" + url.PathEscape(p.ID) + "/label.pdf?variant=" + url.QueryEscape(id)
		}
	}
	return v.Show(frame.ProductPage(v, p, a, "label", frame.Page{Template: "productlabel", Data: data}))
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
	data, _, _, err := label.PDF(label.Labels(a, id, label.LabelOptions{}), label.LabelOptions{}, false)
	if err != nil {
		return err
	}
	if data == nil {
		return frame.Wrong("The label does not fit its size.", "Choose a larger size, or a leaflet.")
	}
	return v.File(p.ID+"-label.pdf", "application/pdf", data)
}
