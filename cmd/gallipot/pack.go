package main

import (
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/figures"
	"gallipot/dossier/terminal"
	"gallipot/ingredients/finding"
)

// packVerb makes the PDF and the spreadsheet for the assessor.
func (c *command) packVerb() *cobra.Command {
	var all bool
	papers := ""
	v := c.verb("pack PRODUCT…", func(args []string) error {
		return c.packs(args, all,
			dossier.PaperPlace(papers))
	})
	v.Args = func(_ *cobra.Command, args []string) error {
		if len(args) == 0 && !all {
			return &usageError{"pack needs a product", "gallipot pack heath-wash, or gallipot pack --all"}
		}
		return nil
	}
	v.Flags().BoolVar(&all, "all", false, "every product of the workshop")
	v.Flags().StringVar(&papers, "with-papers", "",
		"the documents that the pack cites: inside (attached to the PDF) or folder (beside it, with an index)")
	v.Flags().Lookup("with-papers").NoOptDefVal = string(dossier.PapersInside)
	v.Flags().StringVar(&c.out, "out", "", "folder to write into; default: out in the workshop")
	v = c.shared(v)
	v.Flags().Lookup("json").Usage = "also print the result as JSON"
	return v
}

// packs writes the packs of the named products, or of all.
func (c *command) packs(args []string, all bool, place dossier.PaperPlace) error {
	if !slices.Contains([]dossier.PaperPlace{dossier.NoPapers, dossier.PapersInside, dossier.PapersFolder},
		place) {
		return &usageError{fmt.Sprintf("--with-papers %s is not known", place),
			"give --with-papers alone, --with-papers=inside or --with-papers=folder"}
	}
	w, opt, err := c.open()
	if w == nil || err != nil {
		return err
	}
	products := w.Products
	if all {
		c.partial = c.reach.any()
	} else {
		if products, _, err = c.pickAll(w, args); err != nil {
			return err
		}
		for _, arg := range args {
			if strings.Contains(arg, "/") {
				return &usageError{"a pack covers a product with all its variants", "gallipot pack " +
					arg[:strings.Index(arg, "/")]}
			}
		}
	}
	dir, err := c.outFolder()
	if err != nil {
		return err
	}
	as := dossier.AssessAll(w, products, opt)
	if err := c.writePacks(dir, as, place); err != nil {
		return err
	}
	c.exit = exitCode(nil, as)
	if c.json {
		return figures.WriteJSON(c.ui.Out, as)
	}
	if of := finding.Count(assess.MergeFindings(w, as, all)); of.Stop > 0 {
		check := "gallipot check"
		if c.workshop != "." {
			check += " --workshop " + terminal.Pasted(c.workshop)
		}
		fmt.Fprintf(c.ui.Err, "%s: %s; run %s to read them\n", terminal.Counted(len(as), "product"),
			terminal.Counts(of), check)
	}
	return nil
}

// made is the outcome of one pack.
type made struct {
	files, warnings []string
	err             error
}

// writePacks makes several packs at once and reports them in their order, each
// as soon as it and those before it are done.
func (c *command) writePacks(dir string, as []*assess.Assessment, place dossier.PaperPlace) error {
	papers := make([]*dossier.Papers, len(as))
	if place != dossier.NoPapers { // their size is said before anything is written
		for i, a := range as {
			papers[i] = dossier.PapersOf(a)
			c.sayPapers(a.Product.ID, papers[i])
		}
	}
	results := make([]chan made, len(as))
	gate := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, a := range as {
		results[i] = make(chan made, 1)
		go func() {
			gate <- struct{}{}
			defer func() { <-gate }()
			var m made
			m.files, m.warnings, m.err = dossier.WritePackWith(dir, a, papers[i], place)
			results[i] <- m
		}()
	}
	var failed error
	for i, a := range as {
		fmt.Fprintf(c.ui.Err, "%d of %d  %s: %s\n", i+1, len(as), a.Product.ID,
			terminal.Counted(len(a.Product.Variants), "variant"))
		m := <-results[i]
		if failed != nil {
			continue // the rest is waited for, so that nothing is cut off half-way
		}
		for _, text := range m.warnings {
			fmt.Fprintf(c.ui.Err, "  %s\n", text)
		}
		for _, f := range m.files {
			fmt.Fprintln(c.ui.Out, filepath.ToSlash(f))
		}
		failed = m.err
	}
	return failed
}

// sayPapers says how much the documents of a pack are, and which are not there.
func (c *command) sayPapers(product string, p *dossier.Papers) {
	const kB = 1000
	fmt.Fprintf(c.ui.Err, "%s: %s, %d kB\n", product, terminal.Counted(p.Count(), "document"),
		(p.Bytes+kB-1)/kB)
	for _, m := range p.Missing {
		fmt.Fprintf(c.ui.Err, "  missing: %s\n", m)
	}
}
