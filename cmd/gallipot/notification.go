package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/figures"
	"gallipot/dossier/notice"
	"gallipot/dossier/store"
)

// notificationVerb prints what the notification of a product asks for.
func (c *command) notificationVerb() *cobra.Command {
	var files bool
	v := c.verb("notification PRODUCT", func(args []string) error { return c.notification(args[0], files) })
	v.Args = oneProduct
	v.Flags().BoolVar(&files, "files", false,
		"write the sheet as PDF and spreadsheet in place of printing it")
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
		return &usageError{"a notification covers a product with all its variants", "gallipot notification " +
			p.ID}
	}
	a := dossier.Assess(w, p, opt)
	c.exit = exitCode(nil, []*assess.Assessment{a})
	doc := notice.Sheet(a)
	switch {
	case files:
		return c.notificationFiles(doc, p.ID)
	case c.json:
		return figures.WriteJSON(c.ui.Out, []*assess.Assessment{a})
	}
	return plain.Write(c.ui.Out, doc)
}

func (c *command) notificationFiles(doc *document.Document, id string) error {
	dir, err := c.outFolder()
	if err != nil {
		return err
	}
	pdf, warnings, err := pdf.Render(doc, nil)
	if err != nil {
		return err
	}
	for _, text := range warnings {
		fmt.Fprintln(c.ui.Err, strings.TrimSpace(text))
	}
	var oneSheet bytes.Buffer
	if err := sheet.Write(&oneSheet, doc); err != nil {
		return err
	}
	files := []store.NewFile{{Path: filepath.Join(dir, id+"-notification.pdf"), Data: pdf},
		{Path: filepath.Join(dir, id+"-notification.xlsx"), Data: oneSheet.Bytes()}}
	if err := store.WriteFiles(files...); err != nil {
		return err
	}
	for _, f := range files {
		fmt.Fprintln(c.ui.Out, filepath.ToSlash(f.Path))
	}
	return nil
}
