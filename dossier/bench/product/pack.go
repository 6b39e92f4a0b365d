package product

import (
	"net/http"
	"path/filepath"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/store"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// pack shows what the file for the assessor holds, and makes it.
func pack(v *frame.Visit) error {
	p, a, _, err := computed(v)
	if err != nil {
		return err
	}
	return showPack(v, p, a, nil)
}

func showPack(v *frame.Visit, p *workshop.Product, a *assess.Assessment, made []string) error {
	return v.Show(frame.ProductPage(v, p, a, "pack", frame.Page{Template: "productpack", Data: map[string]any{
		"ID": p.ID, "Ready": parts(v, a), "Counts": finding.Count(v.Open(a)),
		"Fingerprint": a.Fingerprint, "Made": made, "Dir": filepath.Join(v.Live.Dir(), "out"),
		"ReadOnly": v.Site.ReadOnly}}))
}

// makePack writes PDF and spreadsheet into the workshop's folder out.
func makePack(v *frame.Visit) error {
	p, a, _, err := computed(v)
	if err != nil {
		return err
	}
	out, err := store.OutFolder(v.Live.Dir())
	if err != nil {
		return err
	}
	files, _, err := dossier.WritePack(out, a)
	if err != nil {
		return err
	}
	for i, f := range files {
		files[i] = "out/" + filepath.Base(f)
	}
	return showPack(v, p, a, files)
}

func packFile(v *frame.Visit) error { return sendPack(v, true) }

func packBook(v *frame.Visit) error { return sendPack(v, false) }

func sendPack(v *frame.Visit, asPDF bool) error {
	p, a, _, err := computed(v)
	if err != nil {
		return err
	}
	pdf, sheet, _, err := dossier.MakePack(a)
	if err != nil {
		return err
	}
	if asPDF {
		return v.File(p.ID+"-pack.pdf", "application/pdf", pdf)
	}
	return v.File(p.ID+"-pack.xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", sheet)
}

// partB sends Part B as a document for the assessor to write in.
func partB(v *frame.Visit) error {
	p, a, _, err := computed(v)
	if err != nil {
		return err
	}
	data, err := dossier.MakePartB(a)
	if err != nil {
		return err
	}
	return v.File(p.ID+"-part-b.docx",
		"application/vnd.openxmlformats-officedocument.wordprocessingml.document", data)
}

// profiles sends the toxicological profiles that do not stand in the pack.
func profiles(v *frame.Visit) error {
	p, a, _, err := computed(v)
	if err != nil {
		return err
	}
	data, err := dossier.MakeProfiles(a)
	if err != nil {
		return err
	}
	if data == nil {
		return &frame.Trouble{Status: http.StatusNotFound, What: "All toxicological profiles stand in the pack itself.",
			Fix: "Look at the PDF of the pack."}
	}
	return v.File(p.ID+"-profiles.pdf", "application/pdf", data)
}
