package dossier

import (
	"bytes"
	"fmt"
	"path/filepath"

	"gallipot/dossier/assess"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/pack"
	"gallipot/dossier/store"
	"gallipot/ingredients/source"
)

// WritePack makes the PDF and the spreadsheet of a product in a folder and
// returns the names of the files. The spreadsheet, the workshop's files behind
// the figures and the PDF belong together: the PDF carries the others inside.
//
// Errors: when one of the two cannot be written or replaced; then neither is, so
// that an older pack stays whole. Nothing half-written stays behind. Warnings name
// text that the PDF's font could not show.
func WritePack(dir string, a *assess.Assessment) (files, warnings []string, err error) {
	if err := store.MakeFolder(dir); err != nil {
		return nil, nil, err
	}
	pdf, sheet, warnings, err := MakePack(a)
	if err != nil {
		return nil, warnings, err
	}
	base := filepath.Join(dir, a.Product.ID+"-pack")
	if err := store.WriteFiles(store.NewFile{Path: base + ".pdf", Data: pdf}, store.NewFile{Path: base + ".xlsx", Data: sheet}); err != nil {
		return nil, warnings, err
	}
	return []string{base + ".xlsx", base + ".pdf"}, warnings, nil
}

// MakePack makes the two files that [WritePack] writes.
//
// Errors: when one of the two cannot be made.
func MakePack(a *assess.Assessment) (pdfBytes, oneSheet []byte, warnings []string, err error) {
	doc := pack.Build(a)
	var book bytes.Buffer
	pdfBytes, warnings, err = pdf.RenderWith(doc, func() ([]pdf.Attachment, error) {
		if err := sheet.Write(&book, doc); err != nil {
			return nil, err
		}
		return append([]pdf.Attachment{{Name: a.Product.ID + "-pack.xlsx", Description: "the same figures as a spreadsheet", Relationship: "Alternative",
			MIME: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", Data: book.Bytes()}}, inputs(a)...), nil
	})
	if err != nil {
		return nil, nil, warnings, fmt.Errorf("the pack of %s: %w", a.Product.ID, err)
	}
	return pdfBytes, book.Bytes(), warnings, nil
}

// inputs are the files behind the figures, as typed.
func inputs(a *assess.Assessment) []pdf.Attachment {
	var list []pdf.Attachment
	add := func(as string, s *source.Source) {
		if s != nil {
			list = append(list, pdf.Attachment{Name: as, MIME: "application/yaml", Description: s.Name, Relationship: "Source", Data: s.Bytes})
		}
	}
	add("workshop.yaml", a.Workshop.Sources["workshop.yaml"])
	add("product-"+a.Product.ID+".yaml", a.Product.Source)
	for _, id := range assess.UsedSheets(a) {
		add("sheet-"+id+".yaml", a.Workshop.SheetSource(id))
	}
	return list
}
