package main

import (
	"bytes"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/figures"
	"gallipot/dossier/sections"
	"gallipot/dossier/store"
	"gallipot/dossier/terminal"
)

// figuresVerb prints the tables of a product or variant.
func (c *command) figuresVerb() *cobra.Command {
	var wanted []string
	var file string
	v := c.verb("figures PRODUCT[/VARIANT]", func(args []string) error {
		w, opt, err := c.open()
		if w == nil || err != nil {
			return err
		}
		p, variant, err := c.pick(w, args[0])
		if err != nil {
			return err
		}
		a := dossier.Assess(w, p, opt)
		if variant != "" {
			a = a.Only([]string{variant})
		}
		c.exit = exitCode(nil, []*assess.Assessment{a})
		if file != "" && !c.json {
			return &usageError{"--out goes with --json",
				"add --json; gallipot pack writes the figures for people"}
		}
		if c.json {
			return c.figuresJSON([]*assess.Assessment{a}, file)
		}
		doc, err := sections.Figures(a, variant, wanted)
		if err != nil {
			return asUsage("--section", err)
		}
		return plain.Write(c.ui.Out, doc)
	})
	v.Args = oneProduct
	v.Flags().StringVar(&file, "out", "", "with --json: the file to write, in place of printing")
	v.Flags().StringSliceVar(&wanted, "section", nil, "only these: "+terminal.Joined(sections.SectionNames()))
	return c.shared(v)
}

// figuresJSON prints figures as JSON, or writes them into a file: a shell that is told
// to with > may write another encoding.
func (c *command) figuresJSON(as []*assess.Assessment, file string) error {
	if file == "" {
		return figures.WriteJSON(c.ui.Out, as)
	}
	var b bytes.Buffer
	if err := figures.WriteJSON(&b, as); err != nil {
		return err
	}
	if err := store.WriteFiles(store.NewFile{Path: file, Data: b.Bytes()}); err != nil {
		return err
	}
	fmt.Fprintln(c.ui.Err, filepath.ToSlash(file))
	return nil
}
