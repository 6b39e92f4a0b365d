package recipe

import (
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/recipe/columns"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/running"
	"gallipot/dossier/transcribe/recipe/terms"
)

// doc is one document being read.
type doc struct {
	*terms.Terms
	columns *columns.Finder
	running *running.Reader
	file    *paper.File
	out     *formulation.Reading
	isMail  bool
}

// foundProduct is a product with where it was found.
type foundProduct struct {
	p      *formulation.Product
	sheet  *raw.Sheet
	quoted bool
	titles []raw.Row
	rows   []raw.Row // all rows it came from, for the list of older versions
	same   []columns.Column
}

// whereText is where a product was found.
func (f *foundProduct) whereText() string {
	if f.sheet.Name != "" {
		return f.sheet.Name
	}
	if len(f.titles) > 0 {
		return f.titles[0].Place(0)
	}
	if len(f.rows) > 0 {
		return f.rows[0].Place(0)
	}
	return f.p.Where
}

func (d *doc) notUnderstood(where, text string) {
	d.out.NotUnderstood = append(d.out.NotUnderstood, formulation.Place{Where: where, Text: text})
}
