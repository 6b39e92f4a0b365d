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
func (c *command) effectsOfAll(s *standing, f *filing.Filing, sheet []byte, t transcribeFlags,
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
	if err := c.effects(s, f, files); err != nil {
		return err
	}
	say.Alone()
	return nil
}

// standing is a workshop as it stands: each of its products computed once, however many
// papers are held to it.
type standing struct {
	w        *workshop.Workshop
	opt      assess.Options
	findings map[string][]finding.Finding
	uses     map[string]map[string]bool // product → sheets
}

func (c *command) standing(w *workshop.Workshop) (*standing, error) {
	opt, err := c.options()
	return &standing{w: w, opt: opt, findings: map[string][]finding.Finding{},
		uses: map[string]map[string]bool{}}, err
}

// of computes a product.
func (s *standing) of(p *workshop.Product) (findings []finding.Finding, uses map[string]bool) {
	if s.uses[p.ID] == nil {
		a := dossier.Assess(s.w, p, s.opt)
		s.findings[p.ID], s.uses[p.ID] = a.Findings, map[string]bool{}
		for _, sheet := range a.UsedSheets() {
			s.uses[p.ID][sheet.ID] = true
		}
	}
	return s.findings[p.ID], s.uses[p.ID]
}

// effects says what changes in the findings of the products that use the sheet when
// the paper is taken over.
func (c *command) effects(s *standing, f *filing.Filing, files []filing.File) error {
	var using []*workshop.Product
	for _, p := range s.w.Products {
		if _, uses := s.of(p); uses[f.Sheet] {
			using = append(using, p)
		}
	}
	if len(using) == 0 {
		return nil
	}
	after, _ := workshop.LoadFS(c.workshop, filing.Overlay{Base: os.DirFS(c.workshop), Files: files}, s.opt.Law)
	if after == nil {
		return nil
	}
	for _, p := range using {
		i := slices.IndexFunc(after.Products, func(q *workshop.Product) bool { return q.ID == p.ID })
		if i < 0 {
			fmt.Fprintf(c.ui.Out, "in %s: it could not be computed with this paper\n", p.ID)
			continue
		}
		before, _ := s.of(p)
		gone, come := filing.Apart(before, dossier.Assess(after, after.Products[i], s.opt).Findings,
			func(f finding.Finding) string {
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

// writePaper writes the sheet and the paper, both or neither.
func (c *command) writePaper(files []filing.File) error {
	var out []store.NewFile
	for _, f := range files {
		out = append(out, store.NewFile{Path: filepath.Join(c.workshop, filepath.FromSlash(f.Name)), Data: f.Data})
	}
	return store.WriteFiles(out...)
}
