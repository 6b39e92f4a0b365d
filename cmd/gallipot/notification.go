package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
)

// notificationVerb prints what the notification of a product asks for.
func (c *command) notificationVerb() *cobra.Command {
	var files bool
	v := c.verb("notification PRODUCT", func(args []string) error { return c.notification(args[0], files) })
	v.Args = oneProduct
	v.Flags().BoolVar(&files, "files", false, "write the sheet as PDF and spreadsheet in place of printing it")
	v.Flags().StringVar(&c.out, "out", "", "folder to write into; default: out in the workshop")
	return c.shared(v)
}

func (c *command) notification(name string, files bool) error {
	w, opt, err := c.open()
	if w == nil || err != nil {
		return err
	}
	p, variant, err := c.pick(w, name)
	if err != nil {
		return err
	}
	if variant != "" {
		return &usageError{"a notification covers a product with all its variants", "gallipot notification " + p.ID}
	}
	a := w.Assess(p, opt)
	c.exit = exitCode(nil, []*dossier.Assessment{a})
	doc := dossier.NotificationSheet(a)
	switch {
	case files:
		return c.notificationFiles(doc, p.ID)
	case c.json:
		return dossier.WriteJSON(c.ui.out, []*dossier.Assessment{a})
	}
	return dossier.WriteText(c.ui.out, doc)
}

func (c *command) notificationFiles(doc *dossier.Document, id string) error {
	dir, err := c.outFolder()
	if err != nil {
		return err
	}
	pdf, warnings, err := dossier.RenderPDF(doc, nil)
	if err != nil {
		return err
	}
	for _, text := range warnings {
		fmt.Fprintln(c.ui.errout, strings.TrimSpace(text))
	}
	var sheet bytes.Buffer
	if err := dossier.WriteXLSX(&sheet, doc); err != nil {
		return err
	}
	files := []dossier.NewFile{{Path: filepath.Join(dir, id+"-notification.pdf"), Data: pdf}, {Path: filepath.Join(dir, id+"-notification.xlsx"), Data: sheet.Bytes()}}
	if err := dossier.WriteFiles(files...); err != nil {
		return err
	}
	for _, f := range files {
		fmt.Fprintln(c.ui.out, filepath.ToSlash(f.Path))
	}
	return nil
}
