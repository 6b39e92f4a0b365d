package workshop

import (
	"gallipot/calc/law/rows"
	"gallipot/ingredients/finding"
)

// With begins the values of a finding.
func With() finding.Values { return nil }

// About returns a finding about the product, for the maker to settle.
func (p *Product) About(f finding.Finding) finding.Finding {
	f = f.On(p.ID).By(finding.TheMaker)
	if p.Name != "" {
		f.Subject, f.About.Text = p.Name, p.Name
	}
	f.About.ID = p.ID
	return f
}

// Material is a raw material as a value: by its name where there is a sheet.
func (w *Workshop) Material(id string) finding.Value {
	if s := w.Sheets[id]; s != nil {
		return s.Named()
	}
	return finding.Value{Kind: finding.KindName, Text: id, ID: id}
}

// OnMaterial returns a finding about a raw material.
func (w *Workshop) OnMaterial(f finding.Finding, id string) finding.Finding {
	f.About = w.Material(id)
	f.Subject = f.About.Text
	return f
}

// TableRow is a row of a table as what a finding rests on.
func TableRow(file string, r *rows.Row) finding.Values {
	v := With().Quote("source", r.Source).Name("file", file).Name("row", r.Key)
	return finding.Values{{Kind: finding.KindTerm, Text: "table-row", List: v.Flag(r.FromMemory(), "unverified")}}
}

// MaterialValues are raw materials as a list of values.
func (w *Workshop) MaterialValues(ids []string) finding.Values {
	var list finding.Values
	for _, id := range ids {
		list = append(list, w.Material(id))
	}
	return list
}

// Roundings of masses.
const (
	FiveDigits finding.Rounding = 5
	SixDigits  finding.Rounding = 6
)

// File is the name of the product's file; "" for one that was not read from a file.
func (p *Product) File() string {
	if p.Source == nil {
		return ""
	}
	return p.Source.Name
}
