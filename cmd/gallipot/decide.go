package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/decide"
	"gallipot/dossier/terminal"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// decideFlags are the flags of decide.
type decideFlags struct {
	code, subject, decision, by, until string
	all, everywhere                    bool
}

// decideVerb writes a decision on something that is asked, or lists what can be
// decided.
func (c *command) decideVerb() *cobra.Command {
	var f decideFlags
	v := c.verb("decide PRODUCT[/VARIANT] | LOT", func(args []string) error { return c.decide(args[0], f) })
	v.Args = oneProduct
	flags := v.Flags()
	flags.StringVar(&f.code, "code", "",
		"code of what is asked, as check prints it in square brackets; without it all are listed")
	flags.StringVar(&f.subject, "subject", "", "what it is about, where several points have the code")
	flags.StringVar(&f.decision, "decision", "", "what was decided, and why")
	flags.StringVar(&f.by, "by", "", "who decided")
	flags.StringVar(&f.until, "until", "", "day on which the question opens again, YYYY-MM-DD")
	flags.BoolVar(&f.all, "all", false, "decide every point of the code alike")
	flags.BoolVar(&f.everywhere, "all-products", false,
		"write it into workshop.yaml, where it counts for every product")
	return c.shared(v)
}

func (c *command) decide(name string, f decideFlags) error {
	w, opt, err := c.open()
	if w == nil || err != nil {
		return err
	}
	var x *dossier.Asked
	of, variant := name, ""
	if lot := w.Lot(name); lot != nil && w.Product(name) == nil {
		x = dossier.AskedOfLot(w, lot, opt)
	} else {
		var p *workshop.Product
		if p, variant, err = c.pick(w, name); err != nil {
			return err
		}
		of, x = p.ID, dossier.AskedOf(w, p, variant, f.code == "", opt)
	}
	if f.code == "" {
		return c.decidable(x.Found)
	}
	list, err := f.decisions(x, of, variant, opt.Date)
	if err != nil {
		return err
	}
	if f.everywhere {
		x.File = "workshop.yaml"
	}
	src := w.Sources[x.File]
	for _, d := range list {
		if src, err = decide.Write(c.workshop, src, d); err != nil {
			return err
		}
		fmt.Fprintf(c.ui.Out, "%s: %s\n", x.File, terminal.Shown(words.Joined(": ", "decided "+d.Code,
			d.Subject)))
	}
	return nil
}

// decidable is what decide lists: a line for each ask that is open.
func (c *command) decidable(found []finding.Finding) error {
	open := slices.DeleteFunc(found, func(f finding.Finding) bool { return !decide.Can(&f) })
	if c.json {
		type point struct {
			words.Said
			Mark string `json:"values_mark"`
		}
		points := []point{}
		for i := range open {
			points = append(points, point{words.Say(&open[i], words.Terminal), decide.Mark(&open[i])})
		}
		return c.printJSON(points)
	}
	width := 0
	for _, f := range open {
		width = max(width, len(f.Code))
	}
	for i := range open {
		said := words.Say(&open[i], words.Terminal)
		fmt.Fprintf(c.ui.Out, "%-*s  %s\n", width, said.Code, terminal.Shown(said.Line()))
	}
	return nil
}

// decisions are those that the flags ask for: one, or several where the flags say so.
func (f decideFlags) decisions(x *dossier.Asked, of, variant string, day exact.Date) ([]workshop.Decision,
	error) {
	until, err := f.complete(day)
	if err != nil {
		return nil, err
	}
	c := x.Choose(f.code, f.subject)
	list := c.Decisions
	switch {
	case len(list) == 0 && decide.Stopped(x.Found, f.code, f.subject):
		return nil, &usageError{f.code + " is a stop, and a stop cannot be decided away",
			"put right what stops: gallipot check " + of}
	case len(list) == 0 && len(c.Others) > 0:
		return nil, unknown("subject of "+f.code, f.subject, c.Others)
	case len(list) == 0:
		return nil, unknown("open point of "+of, f.code, c.Codes)
	case len(c.Subjects) > 1 && !f.all:
		return nil, &usageError{fmt.Sprintf("%d points have the code %s", len(list), f.code),
			"name one with --subject, or decide them alike with --all: " + terminal.Joined(c.Subjects)}
	case !c.Whole:
		return nil, &usageError{fmt.Sprintf("%s is not about %s alone, or shows the figures of another variant",
			f.code, variant), "decide it for " + of + " as a whole"}
	}
	for i := range list {
		list[i].Text, list[i].By, list[i].Until = f.decision, f.by, until
		if f.everywhere {
			list[i].Variants = nil
		}
	}
	return list, nil
}

// complete wants what every decision has to say, and reads the day it ends.
func (f decideFlags) complete(day exact.Date) (until exact.Date, err error) {
	switch {
	case strings.TrimSpace(f.decision) == "":
		return 0, &usageError{"a decision has to say what was decided",
			`add --decision "what was decided, and why"`}
	case strings.TrimSpace(f.by) == "":
		return 0, &usageError{"a decision has to say who took it", `add --by "name"`}
	case f.until == "":
		return 0, nil
	}
	if until, err = exact.ParseDate(f.until); err != nil {
		return 0, asUsage("--until", err)
	}
	if !day.Before(until) {
		return 0, &usageError{"--until " + f.until + " is no later than the decision itself, " + day.String(),
			"give a later day, or leave it out"}
	}
	return until, nil
}
