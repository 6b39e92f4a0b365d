package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/ingredients"
)

// labelFlags are what the label verb is asked for beside its product.
type labelFlags struct {
	pdf, sheet, csv bool
	made            string
	opt             dossier.LabelOptions
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
		day, err := ingredients.ParseDate(f.made)
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
	a := w.Assess(p, opt)
	if variant != "" {
		a = a.Only([]string{variant})
	}
	c.exit = exitCode(nil, []*dossier.Assessment{a})
	labels := dossier.Labels(a, variant, f.opt)
	if f.pdf || f.sheet {
		return c.labelFiles(w, labels, strings.ReplaceAll(name, "/", "-"), f)
	}
	switch {
	case f.csv:
		return dossier.WriteLabelCSV(c.ui.out, labels)
	case c.json:
		return dossier.WriteJSON(c.ui.out, []*dossier.Assessment{a})
	}
	return dossier.WriteText(c.ui.out, dossier.LabelText(a, variant, f.opt))
}

// labelFiles writes the proofs, the sheets, or both. A label that does not fit is
// not drawn: why is printed, and the exit code tells it.
func (c *command) labelFiles(w *dossier.Workshop, labels []*dossier.ProductLabel, base string, f labelFlags) error {
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
		data, unfit, warnings, err := dossier.LabelPDF(labels, f.opt, kind.sheets)
		if err != nil {
			return asUsage("--pdf", err)
		}
		for _, text := range warnings {
			fmt.Fprintf(c.ui.errout, "%s\n", text)
		}
		if kind.sheets == f.sheet {
			c.sayUnfit(w, unfit, f.opt.Leaflet)
		}
		if data == nil {
			continue
		}
		path := filepath.Join(dir, kind.name)
		if err := dossier.WriteFiles(dossier.NewFile{Path: path, Data: data}); err != nil {
			return err
		}
		fmt.Fprintln(c.ui.out, filepath.ToSlash(path))
	}
	fmt.Fprintln(c.ui.errout, dossier.LabelProof)
	return nil
}

// sayUnfit prints why labels do not fit, each reason once.
func (c *command) sayUnfit(w *dossier.Workshop, unfit []*dossier.ProductLabel, leaflet bool) {
	var all []ingredients.Finding
	for _, l := range unfit {
		for _, f := range l.FitFindings(leaflet) {
			f.Variants, f.Markets = []string{l.Name()}, l.MarketWords()
			all = append(all, f)
		}
		c.exit = exitStop
	}
	c.ui.findings(c.ui.errout, w, all)
}
