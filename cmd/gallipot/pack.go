package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
)

// packVerb makes the PDF and the spreadsheet for the assessor.
func (c *command) packVerb() *cobra.Command {
	var all bool
	v := c.verb("pack PRODUCT…", func(args []string) error { return c.packs(args, all) })
	v.Args = func(_ *cobra.Command, args []string) error {
		if len(args) == 0 && !all {
			return &usageError{"pack needs a product", "gallipot pack heath-wash, or gallipot pack --all"}
		}
		return nil
	}
	v.Flags().BoolVar(&all, "all", false, "every product of the workshop")
	v.Flags().StringVar(&c.out, "out", "", "folder to write into; default: out in the workshop")
	v = c.shared(v)
	v.Flags().Lookup("json").Usage = "also print the result as JSON"
	return v
}

// packs writes the packs of the named products, or of all.
func (c *command) packs(args []string, all bool) error {
	w, opt, err := c.open()
	if w == nil || err != nil {
		return err
	}
	products := w.Products
	if !all {
		if products, _, err = c.pickAll(w, args); err != nil {
			return err
		}
		for _, arg := range args {
			if strings.Contains(arg, "/") {
				return &usageError{"a pack covers a product with all its variants", "gallipot pack " + arg[:strings.Index(arg, "/")]}
			}
		}
	}
	dir := c.out
	if dir == "" {
		dir = filepath.Join(c.workshop, "out")
	}
	as := w.AssessAll(products, opt)
	for i, a := range as {
		fmt.Fprintf(c.ui.errout, "%d of %d  %s: %s\n", i+1, len(as), a.Product.ID, counted(len(a.Product.Variants), "variant"))
		files, warnings, err := dossier.WritePack(dir, a)
		for _, text := range warnings {
			fmt.Fprintf(c.ui.errout, "  %s\n", text)
		}
		if err != nil {
			return err
		}
		for _, f := range files {
			fmt.Fprintln(c.ui.out, filepath.ToSlash(f))
		}
	}
	c.exit = exitCode(nil, as)
	if c.json {
		return dossier.WriteJSON(c.ui.out, as)
	}
	stops := 0
	for _, a := range as {
		stops += a.Stops()
	}
	if stops > 0 {
		check := "gallipot check"
		if c.workshop != "." {
			check += " --workshop " + c.workshop
		}
		fmt.Fprintf(c.ui.errout, "%s of kind stop; run %s to read them\n", counted(stops, "finding"), check)
	}
	return nil
}

func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

func joined(words []string) string { return strings.Join(words, ", ") }
