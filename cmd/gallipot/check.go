package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/figures"
	"gallipot/dossier/stock"
	"gallipot/dossier/terminal"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// checkVerb prints the findings of the named products, or of all.
func (c *command) checkVerb() *cobra.Command {
	v := c.verb("check [PRODUCT[/VARIANT]…]", c.check)
	v.Flags().BoolVar(&c.brief, "brief", false, "one line for each finding")
	v.Flags().BoolVar(&c.stream, "stream", false, "print each product as soon as it is done, without joining")
	return c.shared(v)
}

// From so many files, or variants, on it is said at once what is being done: fewer are
// done before anybody asks.
const manyFiles, manyVariants = 200, 20

func (c *command) check(args []string) error {
	opt, err := c.options()
	if err != nil {
		return err
	}
	if c.stream && c.json {
		return &usageError{"--stream prints for readers and --json for programs", "leave one of them out"}
	}
	go dossier.Prepare(opt.Law)
	files := dossier.Files(c.workshop)
	reading := c.ui.Begin("reading", "file", files, files >= manyFiles)
	w, findings := workshop.Load(c.workshop, opt.Law)
	reading.End()
	if w == nil {
		c.ui.Findings(c.ui.Err, nil, findings)
		c.exit = exitUnreadable
		return nil
	}
	c.mindClock(w)
	products, variants, err := c.pickAll(w, args)
	if err != nil {
		if hasUnread(findings) { // the one that is meant may be in a file that cannot be read
			c.ui.Findings(c.ui.Err, w, unreadOnly(findings))
			fmt.Fprintln(c.ui.Err)
			return &usageError{notRead(err, args, findings),
				"correct the files named above first: what is in them is not known yet"}
		}
		return err
	}
	computable := w.Computable(products)
	all := 0
	for _, p := range computable {
		all += len(p.Variants)
	}
	computing := c.ui.Begin("computing", "product", len(computable), all >= manyVariants)
	if c.stream {
		computing.End() // what is printed says how far it is
		c.streamed(w, products, variants, opt, len(args) == 0)
		return nil
	}
	opt.Step = computing.Step
	var as []*assess.Assessment
	if c.json {
		if hasUnread(findings) {
			c.ui.Findings(c.ui.Err, w, findings)
		}
		as = dossier.AssessAll(w, computable, opt)
		computing.End()
		for i, a := range as {
			as[i] = a.Only(variants[a.Product.ID])
		}
		err = figures.WriteJSON(c.ui.Out, as)
	} else {
		var batches []finding.Finding
		as, batches = dossier.CheckAll(w, computable, variants, opt)
		computing.End()
		var lots []finding.Finding
		if len(args) == 0 {
			lots = stock.Of(w, opt.Date).Findings()
		}
		c.report(w, reported{assess.MergeFindings(w, as, len(args) == 0), batches, lots}, products, as)
		findings = append(findings, batches...)
	}
	c.exit = exitCode(findings, as)
	return err
}

// notRead says why a product was not found: where the file that bears its name
// cannot be read it is there, and err, which says that it is not, would be false.
func notRead(err error, args []string, findings []finding.Finding) string {
	for _, arg := range args {
		id, _, _ := strings.Cut(arg, "/")
		for _, f := range unreadOnly(findings) {
			if name := f.Pos.File; strings.TrimSuffix(strings.TrimSuffix(name, ".yaml"),
				".yml") == "products/"+id {
				return fmt.Sprintf("the file of product %q cannot be read: %s", id, name)
			}
		}
	}
	return err.Error()
}

// reported are findings by what they are of.
type reported struct{ products, batches, lots []finding.Finding }

// report prints findings under a head for each kind, and counts at the end: those of
// the products, as the packs have them, those of the batches and those of the lots. With
// nothing to say it prints nothing.
func (c *command) report(w *workshop.Workshop, found reported, products []*workshop.Product,
	as []*assess.Assessment) {
	findings := slices.Concat(found.products, found.batches, found.lots)
	if c.brief {
		c.ui.Brief(c.ui.Out, findings)
		return
	}
	if len(findings) == 0 {
		return
	}
	c.ui.Next(c.ui.Out, findings)
	c.ui.Grouped(c.ui.Out, w, findings)
	of := finding.Count(found.products)
	once := ""
	if each := assess.EachCounted(as); each != of {
		once = fmt.Sprintf(" (what several products share is counted once; one by one: %s)",
			terminal.Counts(each))
	}
	c.foot(found, fmt.Sprintf("%s: %s%s", terminal.Counted(len(as), "product"), terminal.Counts(of), once),
		products, as)
}

// foot prints the counts, that of the products first, and what was not computed.
func (c *command) foot(found reported, first string, products []*workshop.Product, as []*assess.Assessment) {
	fmt.Fprintln(c.ui.Out, first)
	if len(found.batches) > 0 {
		fmt.Fprintf(c.ui.Out, "batches: %s\n", terminal.Counts(finding.Count(found.batches)))
	}
	if len(found.lots) > 0 {
		fmt.Fprintf(c.ui.Out, "lots: %s\n", terminal.Counts(finding.Count(found.lots)))
	}
	if left := assess.Without(products, as); len(left) > 0 {
		fmt.Fprintf(c.ui.Out, "not computed until its files can be read: %s\n", terminal.Joined(left))
	}
	fmt.Fprintln(c.ui.Out,
		"prepared for assessment; a qualified safety assessor decides, and the law in force where you sell prevails")
}

// unreadOnly keeps the findings that say that a file cannot be read.
func unreadOnly(findings []finding.Finding) []finding.Finding {
	return slices.DeleteFunc(slices.Clone(findings), func(f finding.Finding) bool { return !f.Unread })
}
