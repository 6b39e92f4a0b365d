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
	computed map[string]*assess.Assessment
}

// using gives the products that use a sheet.
func (s *standing) using(sheet string) (out []*workshop.Product) {
	for _, p := range s.w.Products {
		if s.computed[p.ID] == nil {
			s.computed[p.ID] = dossier.Assess(s.w, p, s.opt)
		}
		for _, used := range s.computed[p.ID].UsedSheets() {
			if used.ID == sheet {
				out = append(out, p)
				break
			}
		}
	}
	return out
}

// effects says what changes in the findings of the products that use the sheet when
// the paper is taken over.
func (c *command) effects(s *standing, f *filing.Filing, files []filing.File) error {
	using := s.using(f.Sheet)
	if len(using) == 0 {
		return nil
	}
	after, _ := workshop.LoadFS(c.workshop, filing.Overlay{Base: os.DirFS(c.workshop), Files: files}, s.opt.Law)
	for _, p := range using {
		if after == nil {
			break
		}
		i := slices.IndexFunc(after.Products, func(q *workshop.Product) bool { return q.ID == p.ID })
		if i < 0 {
			fmt.Fprintf(c.ui.Out, "in %s: it could not be computed with this paper\n", p.ID)
			continue
		}
		gone, come := filing.Apart(s.computed[p.ID].Findings, dossier.Assess(after, after.Products[i], s.opt).Findings,
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
		out = append(out, store.NewFile{Path: filepath.Join(c.workshop, filepath.FromSlash(f.Name)),
			Data: f.Data})
	}
	return store.WriteFiles(out...)
}
