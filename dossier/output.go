package dossier

import (
	"bytes"
	"fmt"
	"path/filepath"

	"gallipot/dossier/answer"
	"gallipot/dossier/assess"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/document/word"
	"gallipot/dossier/pack"
	"gallipot/dossier/store"
	"gallipot/ingredients/source"
)

// WritePack makes the PDF, the spreadsheet and Part B to write in of a product in a folder
// and returns the names of the files. The spreadsheet, the workshop's files behind
// the figures and the PDF belong together: the PDF carries the others inside.
//
// Errors: when one of them cannot be written or replaced; then none is, so
// that an older pack stays whole. Nothing half-written stays behind. Warnings name
// text that the PDF's font could not show.
func WritePack(dir string, a *assess.Assessment) (files, warnings []string, err error) {
	return WritePackWith(dir, a, nil, NoPapers)
}

// WritePackWith is [WritePack] with the documents that the pack cites inside the PDF or in
// a folder beside it.
//
// Errors: as those of [WritePack].
func WritePackWith(dir string, a *assess.Assessment, papers *Papers,
	place PaperPlace) (files, warnings []string, err error) {
	if err := store.MakeFolder(dir); err != nil {
		return nil, nil, err
	}
	var inside []pdf.Attachment
	if place == PapersInside {
		inside = papers.attachments()
	}
	printed, sheet, warnings, err := makePack(a, inside)
	if err != nil {
		return nil, warnings, err
	}
	base := filepath.Join(dir, a.Product.ID+"-pack")
	partB, err := MakePartB(a)
	if err != nil {
		return nil, warnings, err
	}
	profiles, err := MakeProfiles(a)
	if err != nil {
		return nil, warnings, err
	}
	form := filepath.Join(dir, a.Product.ID+"-part-b.docx")
	list := []store.NewFile{{Path: base + ".xlsx", Data: sheet}, {Path: base + ".pdf", Data: printed},
		{Path: form, Data: partB}}
	if profiles != nil {
		list = append(list, store.NewFile{Path: filepath.Join(dir, a.Product.ID+"-profiles.pdf"), Data: profiles})
	}
	if place == PapersFolder {
		folder := filepath.Join(dir, a.Product.ID+"-papers")
		if err := store.MakeFolder(folder); err != nil {
			return nil, warnings, err
		}
		list = append(list, papers.files(folder)...)
	}
	if err := store.WriteFiles(list...); err != nil {
		return nil, warnings, err
	}
	for _, f := range list {
		files = append(files, f.Path)
	}
	return files, warnings, nil
}

// MakeProfiles makes the toxicological profiles that do not stand in the pack; nil where there
// are none.
//
// Errors: when they cannot be made.
func MakeProfiles(a *assess.Assessment) ([]byte, error) {
	d := pack.Volume(a)
	if d == nil {
		return nil, nil
	}
	data, _, err := pdf.Render(d, nil)
	if err != nil {
		return nil, fmt.Errorf("the profiles of %s: %w", a.Product.ID, err)
	}
	return data, nil
}

// MakePartB makes Part B as a document to write in.
//
// Errors: when it cannot be made.
func MakePartB(a *assess.Assessment) ([]byte, error) {
	var out bytes.Buffer
	err := word.Write(&out, pack.FormDocument(a, nil), word.Property{Name: answer.Property,
		Value: a.Fingerprint},
		word.Property{Name: "Product", Value: a.Product.ID})
	if err != nil {
		return nil, fmt.Errorf("part B of %s: %w", a.Product.ID, err)
	}
	return out.Bytes(), nil
}

// MakePack makes the two files that [WritePack] writes.
//
// Errors: when one of the two cannot be made.
func MakePack(a *assess.Assessment) (pdfBytes, oneSheet []byte, warnings []string, err error) {
	return makePack(a, nil)
}

func makePack(a *assess.Assessment,
	papers []pdf.Attachment) (pdfBytes, oneSheet []byte, warnings []string, err error) {
	doc := pack.Build(a)
	var book bytes.Buffer
	pdfBytes, warnings, err = pdf.RenderWith(doc, func() ([]pdf.Attachment, error) {
		if err := sheet.Write(&book, doc); err != nil {
			return nil, err
		}
		return append([]pdf.Attachment{{Name: a.Product.ID + "-pack.xlsx",
			Description: "the same figures as a spreadsheet", Relationship: "Alternative",
			MIME: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
			Data: book.Bytes()}}, append(inputs(a), papers...)...), nil
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
			list = append(list, pdf.Attachment{Name: as, MIME: "application/yaml", Description: s.Name,
				Relationship: "Source", Data: s.Bytes})
		}
	}
	add("workshop.yaml", a.Workshop.Sources["workshop.yaml"])
	add("product-"+a.Product.ID+".yaml", a.Product.Source)
	for _, id := range assess.UsedSheets(a) {
		add("sheet-"+id+".yaml", a.Workshop.SheetSource(id))
	}
	return list
}
