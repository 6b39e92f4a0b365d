package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/figures"
	"gallipot/dossier/label"
	"gallipot/dossier/store"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// labelFlags are what the label verb is asked for beside its product.
type labelFlags struct {
	pdf, sheet, csv bool
	made            string
	opt             label.LabelOptions
}

// labelVerb prints what a label must say, or the label itself.
func (c *command) labelVerb() *cobra.Command {
	var f labelFlags
	v := c.verb("label PRODUCT[/VARIANT]", func(args []string) error { return c.label(args[0], f) })
	v.Args = oneProduct
	flags := v.Flags()
	flags.BoolVar(&f.pdf, "pdf", false, "write proofs in true size, one a page")
	flags.BoolVar(&f.sheet, "sheet", false, "write A4 sheets filled with labels")
	flags.BoolVar(&f.csv, "csv", false, "print a table for a label printer")
	flags.StringVar(&f.opt.Batch, "batch", "", "batch code to print on it; default: room for it")
	flags.StringVar(&f.made, "made", "", "day of making, for the durability date; default: room for it")
	flags.BoolVar(&f.opt.Together, "together", false, "one label for all markets in place of one each")
	flags.BoolVar(&f.opt.Leaflet, "leaflet", false, "put what does not fit onto a leaflet")
	flags.StringVar(&c.out, "out", "", "folder to write into; default: out in the workshop")
	return c.shared(v)
}

func (c *command) label(name string, f labelFlags) error {
	if f.made != "" {
		day, err := exact.ParseDate(f.made)
		if err != nil {
			return asUsage("--made", err)
		}
		f.opt.Made = day
	}
	w, opt, err := c.open()
	if w == nil || err != nil {
		return err
	}
	p, variant, err := c.pick(w, name)
	if err != nil {
		return err
	}
	a := dossier.Assess(w, p, opt)
	if variant != "" {
		a = a.Only([]string{variant})
	}
	c.exit = exitCode(nil, []*assess.Assessment{a})
	labels := label.Labels(a, variant, f.opt)
	if f.pdf || f.sheet {
		return c.labelFiles(w, labels, strings.ReplaceAll(name, "/", "-"), f)
	}
	switch {
	case f.csv:
		return label.WriteCSV(c.ui.Out, labels)
	case c.json:
		return figures.WriteJSON(c.ui.Out, []*assess.Assessment{a})
	}
	return plain.Write(c.ui.Out, label.Text(a, variant, f.opt))
}

// labelFiles writes the proofs, the sheets, or both. A label that does not fit is
// not drawn: why is printed, and the exit code tells it.
func (c *command) labelFiles(w *workshop.Workshop, labels []*label.ProductLabel, base string,
	f labelFlags) error {
	dir, err := c.outFolder()
	if err != nil {
		return err
	}
	for _, kind := range []struct {
		wanted, sheets bool
		name           string
	}{{f.pdf, false, base + "-labels.pdf"}, {f.sheet, true, base + "-label-sheets.pdf"}} {
		if !kind.wanted {
			continue
		}
		data, unfit, warnings, err := label.PDF(labels, f.opt, kind.sheets)
		if err != nil {
			return asUsage("--pdf", err)
		}
		for _, text := range warnings {
			fmt.Fprintf(c.ui.Err, "%s\n", text)
		}
		if kind.sheets == f.sheet {
			c.sayUnfit(w, unfit, f.opt.Leaflet)
		}
		if data == nil {
			continue
		}
		path := filepath.Join(dir, kind.name)
		if err := store.WriteFiles(store.NewFile{Path: path, Data: data}); err != nil {
			return err
		}
		fmt.Fprintln(c.ui.Out, filepath.ToSlash(path))
	}
	fmt.Fprintln(c.ui.Err, label.LabelProof)
	return nil
}

// sayUnfit prints why labels do not fit, each reason once.
func (c *command) sayUnfit(w *workshop.Workshop, unfit []*label.ProductLabel, leaflet bool) {
	var all []finding.Finding
	for _, l := range unfit {
		for _, f := range l.FitFindings(leaflet) {
			f.Variants, f.Markets = []string{l.Name()}, l.MarketWords()
			all = append(all, f)
		}
		c.exit = exitStop
	}
	c.ui.Findings(c.ui.Err, w, all)
}
