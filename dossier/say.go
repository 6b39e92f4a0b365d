package dossier

import (
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// with begins the values of a finding.
func with() ingredients.Values { return nil }

// about returns a finding about the product, for the maker to settle.
func (p *Product) about(f ingredients.Finding) ingredients.Finding {
	f = f.On(p.ID).By(ingredients.TheMaker)
	if p.Name != "" {
		f.Subject, f.About.Text = p.Name, p.Name
	}
	f.About.ID = p.ID
	return f
}

// material is a raw material as a value: by its name where there is a sheet.
func (w *Workshop) material(id string) ingredients.Value {
	if s := w.Sheets[id]; s != nil {
		return s.Named()
	}
	return ingredients.Value{Kind: ingredients.KindName, Text: id, ID: id}
}

// onMaterial returns a finding about a raw material.
func (w *Workshop) onMaterial(f ingredients.Finding, id string) ingredients.Finding {
	f.About = w.material(id)
	f.Subject = f.About.Text
	return f
}

// tableRow is a row of a table as what a finding rests on.
func tableRow(file string, r *law.Row) ingredients.Values {
	v := with().Quote("source", r.Source).Name("file", file).Name("row", r.Key)
	return ingredients.Values{{Kind: ingredients.KindTerm, Text: "table-row", List: v.Flag(r.FromMemory(), "unverified")}}
}

// materialValues are raw materials as a list of values.
func (w *Workshop) materialValues(ids []string) ingredients.Values {
	var list ingredients.Values
	for _, id := range ids {
		list = append(list, w.material(id))
	}
	return list
}

// Roundings of masses.
const (
	fiveDigits ingredients.Rounding = 5
	sixDigits  ingredients.Rounding = 6
)

// file is the name of the product's file; "" for one that was not read from a file.
func (p *Product) file() string {
	if p.Source == nil {
		return ""
	}
	return p.Source.Name
}
