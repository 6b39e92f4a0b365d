package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/batch"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/weigh"
	"gallipot/ingredients/exact"
)

// mostJars bounds what --jars takes: a million packs are no small workshop.
const mostJars = 1_000_000

// weighFlags are the flags of weigh.
type weighFlags struct {
	batch, density, loss string
	jars                 int
	record, files        bool
}

// weighVerb prints the weighing sheet of a batch, writes it as PDF and
// spreadsheet, and starts the batch record.
func (c *command) weighVerb() *cobra.Command {
	var f weighFlags
	v := c.verb("weigh PRODUCT[/VARIANT]", func(args []string) error { return c.weigh(args[0], f) })
	v.Args = oneProduct
	flags := v.Flags()
	flags.StringVar(&f.batch, "batch", "", "mass of the batch, such as 2kg or 500g")
	flags.Var(count{&f.jars, 1, mostJars, "24"}, "jars", "packs to fill, in place of --batch")
	flags.StringVar(&f.loss, "loss", "0", "loss on pots and tools, % of the batch, such as 3 or 3%")
	flags.StringVar(&f.density, "density", "", "density in g/ml, for a net content in ml")
	flags.BoolVar(&f.files, "files", false, "write PDF and spreadsheet into out/")
	flags.BoolVar(&f.record, "record", false,
		"take the next batch code and start its record in batches/; writes the files too")
	flags.StringVar(&c.out, "out", "", "folder to write into; default: out in the workshop")
	return c.shared(v)
}

func (f weighFlags) options() (weigh.WeighOptions, error) {
	opt := weigh.WeighOptions{Jars: f.jars}
	if f.batch != "" && f.jars != 0 {
		return opt, &usageError{"--batch and --jars both give the size of the batch", "keep one of them"}
	}
	if f.batch != "" {
		g, err := weigh.ParseMass(f.batch)
		if err != nil {
			return opt, asUsage("--batch", err)
		}
		opt.BatchG = &g
	}
	loss, err := exact.ParseNum(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(f.loss), "%")))
	if err != nil {
		return opt, asUsage("--loss", err)
	}
	if loss.Sign() < 0 || !loss.Less(exact.Int(100)) {
		return opt, &usageError{"--loss " + f.loss + " is no loss",
			"give per cent of the batch, from 0 to below 100"}
	}
	opt.LossPct = loss
	if f.density != "" {
		d, err := exact.ParseNum(f.density)
		if err != nil {
			return opt, asUsage("--density", err)
		}
		if d.Sign() <= 0 {
			return opt, &usageError{"--density " + f.density + " is no density", "give g/ml, such as 0.98"}
		}
		opt.DensityGML = &d
	}
	return opt, nil
}

func (c *command) weigh(name string, f weighFlags) error {
	opt, err := f.options()
	if err != nil {
		return err
	}
	w, run, err := c.open()
	if w == nil || err != nil {
		return err
	}
	p, variant, err := c.pick(w, name)
	if err != nil {
		return err
	}
	if variant == "" && len(p.Variants) == 1 { // there is no other to mean
		variant = p.Variants[0].ID
	}
	if f.record {
		if opt.Code, err = batch.NextCode(w, p.ID, variant, run.Date); err != nil {
			return asUsage("batch_code", err)
		}
	}
	sheet, err := weigh.Weigh(w, dossier.Assess(w, p, run), variant, opt)
	if err != nil {
		return asUsage("weigh", err)
	}
	if sheet.Stops() {
		c.exit = exitStop
	}
	if sheet.Blocked() {
		c.ui.Findings(c.ui.Err, w, sheet.Findings)
		return nil
	}
	if f.record {
		record, err := batch.WriteRecord(sheet)
		if err != nil {
			return asUsage("--record", err)
		}
		fmt.Fprintln(c.ui.Err, record)
	}
	if f.record || f.files {
		if err := c.weighFiles(sheet); err != nil {
			return err
		}
	}
	if c.json {
		return sheet.WriteJSON(c.ui.Out)
	}
	return plain.Write(c.ui.Out, sheet.Document())
}

func (c *command) weighFiles(sheet *weigh.WeighSheet) error {
	dir, err := c.outFolder()
	if err != nil {
		return err
	}
	files, warnings, err := sheet.Files(dir)
	for _, text := range append(files, warnings...) {
		fmt.Fprintln(c.ui.Err, filepath.ToSlash(text))
	}
	return err
}
