package main

import (
	"embed"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/dossier/terminal"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
	"gallipot/ingredients/source"
)

// command holds what the verbs share: where they read and write, the day, the
// flags, and the exit code they leave.
type command struct {
	in    io.Reader
	ui    terminal.Printer
	today exact.Date
	exit  int

	reach   reach // what the verb does without
	partial bool  // it tells of the whole workshop, and something is left out

	workshop string
	markets  []string
	date     string
	json     bool
	brief    bool
	stream   bool
	out      string
}

// helpTexts holds one file a verb; the first line is the short help.
//
//go:embed help/*.txt
var helpTexts embed.FS

// verb makes a subcommand from its help file.
func (c *command) verb(use string, run func(args []string) error) *cobra.Command {
	name, _, _ := strings.Cut(use, " ")
	short, long, example := helpOf(name)
	return &cobra.Command{
		Use: use, Short: short, Long: long, Example: example,
		RunE: func(_ *cobra.Command, args []string) error { return run(args) },
	}
}

// helpOf splits a help file into its short line, its text and its examples,
// which follow the line "examples:".
func helpOf(name string) (short, long, example string) {
	data, err := helpTexts.ReadFile("help/" + name + ".txt")
	if err != nil {
		panic(err) // a verb without its help file is our mistake
	}
	short, long, _ = strings.Cut(string(data), "\n")
	long, example, _ = strings.Cut(long, "\nexamples:\n")
	return short, strings.TrimSpace(long), strings.TrimRight(example, "\n")
}

// noVerb answers a verb that there is not.
func noVerb(root *cobra.Command, name string) error {
	var known []string
	for _, v := range root.Commands() {
		if v.IsAvailableCommand() {
			known = append(known, v.Name())
		}
	}
	return unknown("verb", name, known)
}

// flagName finds the flags in the text of a verb's usage.
var flagName = pattern.New(`(?m)^ +(?:-., )?--([a-z-]+)`)

// flagError answers a flag that cannot be read, with the nearest one that the
// verb has.
func flagError(cmd *cobra.Command, err error) error {
	help := cmd.CommandPath() + " --help lists them"
	var unknownFlag *pflag.NotExistError
	var noValue *pflag.ValueRequiredError
	var badValue *pflag.InvalidValueError
	switch {
	case errors.As(err, &badValue):
		return badFlag(badValue, help)
	case errors.As(err, &noValue):
		return &usageError{"--" + noValue.GetFlag().Name + " needs a value", help}
	case !errors.As(err, &unknownFlag):
		return &usageError{"the flags cannot be read: " + err.Error(), help}
	}
	name := unknownFlag.GetSpecifiedName()
	if short := unknownFlag.GetSpecifiedShortnames(); short != "" {
		return &usageError{cmd.Name() + " has no flag -" + short, help}
	}
	var known []string
	for _, m := range flagName.FindAllStringSubmatch(cmd.Flags().FlagUsages(), -1) {
		known = append(known, m[1])
	}
	if near := source.Nearest(name, known); near != "" {
		help = "did you mean --" + near + "? " + help
	}
	return &usageError{cmd.Name() + " has no flag --" + name, help}
}

// badFlag answers a flag whose value cannot be read.
func badFlag(bad *pflag.InvalidValueError, help string) error {
	typed := "--" + bad.GetFlag().Name + " " + bad.GetValue()
	var value *exact.ValueError
	switch {
	case errors.As(bad, &value):
		return &usageError{typed + " " + value.What, value.Fix}
	case bad.GetFlag().Value.Type() == "bool":
		return &usageError{typed + " is neither true nor false", "write --" + bad.GetFlag().Name +
			" alone, or leave it out"}
	}
	return &usageError{typed + " cannot be read", help}
}

// shared adds the flags of every verb that reads a workshop.
func (c *command) shared(v *cobra.Command) *cobra.Command {
	f := v.Flags()
	f.StringVar(&c.workshop, "workshop", ".", "folder that holds workshop.yaml")
	f.StringSliceVar(&c.markets, "market", nil, "GB, EU or NI; default: the product's own markets")
	f.StringVar(&c.date, "date", "", "day whose law counts, YYYY-MM-DD; default: today")
	f.BoolVar(&c.json, "json", false, "print the result as JSON")
	return v
}

// options turns the flags into what the dossier wants to know.
func (c *command) options() (assess.Options, error) {
	opt := assess.Options{Date: c.today, Law: table.Builtin()}
	if c.date != "" {
		d, err := exact.ParseDate(c.date)
		if err != nil {
			return opt, asUsage("--date", err)
		}
		opt.Date, opt.DateChosen = d, true
	}
	for _, m := range c.markets {
		market := rows.Market(strings.ToUpper(m))
		if !market.Valid() {
			return opt, &usageError{fmt.Sprintf("--market %s is not known", m), "give GB, EU or NI"}
		}
		opt.Markets = append(opt.Markets, market)
	}
	return opt, nil
}

// mindClock says so where the computer's clock shows a day before that of a
// paper: the law that counts would be that of the wrong day.
func (c *command) mindClock(w *workshop.Workshop) {
	day, pos := dossier.Newest(w)
	if c.date == "" && c.today.Before(day) {
		c.ui.Trouble(&usageError{fmt.Sprintf("this computer's clock says %s, and a paper is dated %s (%s)",
			c.today, day, pos),
			"set the clock, or give the day with --date; or correct the date of the paper"})
	}
}

// outFolder is the folder to write into: the one named, or one of the workshop.
func (c *command) outFolder(inside ...string) (string, error) {
	if c.out != "" {
		return c.out, nil
	}
	return store.OutFolder(c.workshop, inside...)
}

func hasUnread(fs []finding.Finding) bool {
	for _, f := range fs {
		if f.Unread {
			return true
		}
	}
	return false
}

// pick finds the product and variant named by "product" or "product/variant".
func (c *command) pick(w *workshop.Workshop, name string) (*workshop.Product, string, error) {
	id, variant, _ := strings.Cut(name, "/")
	if err := c.inReach(id); err != nil {
		return nil, "", err
	}
	for _, p := range w.Products {
		if p.ID != id {
			continue
		}
		if variant == "" {
			return p, "", nil
		}
		var names []string
		for _, v := range p.Variants {
			if v.ID == variant {
				return p, variant, nil
			}
			names = append(names, v.ID)
		}
		return nil, "", unknown("variant of "+id, variant, names)
	}
	var names []string
	for _, p := range w.Products {
		names = append(names, p.ID)
	}
	return nil, "", unknown("product", id, names)
}

// pickAll finds the products named, each with the variants named for it, or
// takes all of them.
func (c *command) pickAll(w *workshop.Workshop, args []string) ([]*workshop.Product, map[string][]string,
	error) {
	if len(args) == 0 {
		c.partial = c.reach.any()
		return w.Products, nil, nil
	}
	var products []*workshop.Product
	variants := map[string][]string{}
	for _, arg := range args {
		p, variant, err := c.pick(w, arg)
		if err != nil {
			return nil, nil, err
		}
		if _, known := variants[p.ID]; !known {
			products = append(products, p)
		}
		variants[p.ID] = append(variants[p.ID], variant)
	}
	return products, variants, nil
}

// exitCode is 2 where a file could not be read, 1 where anything stops, else 0.
func exitCode(findings []finding.Finding, as []*assess.Assessment) int {
	if hasUnread(findings) {
		return exitUnreadable
	}
	for _, a := range as {
		findings = append(findings, a.Findings...)
	}
	for _, f := range findings {
		if f.Severity == finding.Stop {
			return exitStop
		}
	}
	return exitClean
}

// oneProduct wants one product, with or without a variant.
func oneProduct(cmd *cobra.Command, args []string) error {
	if len(args) != 1 {
		return &usageError{cmd.Name() + " needs one product", "gallipot " + cmd.Name() +
			" heath-wash, or heath-wash/duo for one variant; gallipot check lists what is there"}
	}
	return nil
}

// oneDir wants the name of the folder to write.
func oneDir(cmd *cobra.Command, args []string) error {
	if len(args) != 1 {
		return &usageError{cmd.Name() + " needs the name of one folder", "gallipot " + cmd.Name() +
			" my-workshop"}
	}
	return nil
}
