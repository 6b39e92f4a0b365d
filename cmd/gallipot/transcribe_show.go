package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/dossier/transcribe/filing"
	"gallipot/dossier/transcribe/told"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// effectsOfAll says, before anything is written, what changes when the values are taken too
// that differ from those of the sheet.
func (c *command) effectsOfAll(w *workshop.Workshop, f *filing.Filing, sheet []byte, t transcribeFlags,
	say told.Printer) error {
	left := f.Left(t.take)
	if t.write || len(left) == 0 {
		return nil
	}
	files, err := f.Changes(sheet, append(left, t.take...))
	if err != nil {
		return err
	}
	say.TakenToo(left)
	if err := c.effects(w, f, files); err != nil {
		return err
	}
	say.Alone()
	return nil
}

// effects says what changes in the findings of the products that use the sheet when
// the paper is taken over.
func (c *command) effects(w *workshop.Workshop, f *filing.Filing, files []filing.File) error {
	opt, err := c.options()
	if err != nil {
		return err
	}
	var using []*workshop.Product
	for _, p := range w.Products {
		if usesSheet(w, p, f.Sheet, opt) {
			using = append(using, p)
		}
	}
	after, _ := workshop.LoadFS(c.workshop, filing.Overlay{Base: os.DirFS(c.workshop), Files: files}, opt.Law)
	if after == nil || len(using) == 0 {
		return nil
	}
	for _, p := range using {
		i := slices.IndexFunc(after.Products, func(q *workshop.Product) bool { return q.ID == p.ID })
		if i < 0 {
			fmt.Fprintf(c.ui.Out, "in %s: it could not be computed with this paper\n", p.ID)
			continue
		}
		gone, come := filing.Apart(dossier.Assess(w, p, opt).Findings,
			dossier.Assess(after, after.Products[i], opt).Findings, func(f finding.Finding) string {
				said := words.Say(&f, words.Terminal)
				return fmt.Sprintf("%s[%s] %s", f.Severity, f.Code, said.Line())
			})
		for _, t := range gone {
			fmt.Fprintf(c.ui.Out, "in %s no more: %s\n", p.ID, t)
		}
		for _, t := range come {
			fmt.Fprintf(c.ui.Out, "in %s then: %s\n", p.ID, t)
		}
		if len(gone)+len(come) == 0 {
			fmt.Fprintf(c.ui.Out, "in %s no finding changes\n", p.ID)
		}
	}
	return nil
}

func usesSheet(w *workshop.Workshop, p *workshop.Product, id string, opt assess.Options) bool {
	for _, s := range dossier.Assess(w, p, opt).UsedSheets() {
		if s.ID == id {
			return true
		}
	}
	return false
}

// writePaper writes the sheet and the paper, both or neither.
func (c *command) writePaper(files []filing.File) error {
	var out []store.NewFile
	for _, f := range files {
		out = append(out, store.NewFile{Path: filepath.Join(c.workshop, filepath.FromSlash(f.Name)),
			Data: f.Data})
	}
	return store.WriteFiles(out...)
}
