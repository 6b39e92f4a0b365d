package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
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
	v := c.verb("decide PRODUCT[/VARIANT]", func(args []string) error { return c.decide(args[0], f) })
	v.Args = oneProduct
	flags := v.Flags()
	flags.StringVar(&f.code, "code", "", "code of what is asked, as check prints it in square brackets; without it all are listed")
	flags.StringVar(&f.subject, "subject", "", "what it is about, where several points have the code")
	flags.StringVar(&f.decision, "decision", "", "what was decided, and why")
	flags.StringVar(&f.by, "by", "", "who decided")
	flags.StringVar(&f.until, "until", "", "day on which the question opens again, YYYY-MM-DD")
	flags.BoolVar(&f.all, "all", false, "decide every point of the code alike")
	flags.BoolVar(&f.everywhere, "all-products", false, "write it into workshop.yaml, where it counts for every product")
	return c.shared(v)
}

func (c *command) decide(name string, f decideFlags) error {
	w, opt, err := c.open()
	if w == nil || err != nil {
		return err
	}
	p, variant, err := c.pick(w, name)
	if err != nil {
		return err
	}
	a := dossier.Assess(w, p, opt)
	if f.code == "" {
		a = a.Only([]string{variant})
	}
	a.Findings = append(a.Findings, batch.BatchFindings(w, []*assess.Assessment{a})...)
	if f.code == "" {
		return c.decidable(a)
	}
	list, err := f.decisions(a, variant)
	if err != nil {
		return err
	}
	file := p.File()
	if f.everywhere {
		file = "workshop.yaml"
	}
	src := w.Sources[file]
	for _, d := range list {
		if src, err = decide.Write(c.workshop, src, d); err != nil {
			return err
		}
		fmt.Fprintf(c.ui.Out, "%s: %s\n", file, terminal.Shown(words.Joined(": ", "decided "+d.Code, d.Subject)))
	}
	return nil
}

// decidable is what decide lists: a line for each ask that is open.
func (c *command) decidable(a *assess.Assessment) error {
	open := decide.Open(a)
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

// decisions are those that the flags ask for.
func (f decideFlags) decisions(a *assess.Assessment, variant string) ([]workshop.Decision, error) {
	until, err := f.complete(a.Options.Date)
	if err != nil {
		return nil, err
	}
	open := decide.OpenOn(a, f.code, f.subject)
	if err := f.which(a, open); err != nil {
		return nil, err
	}
	var list []workshop.Decision
	for i := range open {
		d, ok := decide.On(a, &open[i], variant)
		if !ok {
			return nil, &usageError{fmt.Sprintf("%s is not about %s alone, or shows the figures of another variant", f.code, variant), "decide it for " + a.Product.ID + " as a whole"}
		}
		d.Text, d.By, d.Until = f.decision, f.by, until
		if f.everywhere {
			d.Variants = nil
		}
		list = append(list, d)
	}
	return list, nil
}

// complete wants what every decision has to say, and reads the day it ends.
func (f decideFlags) complete(day exact.Date) (until exact.Date, err error) {
	switch {
	case strings.TrimSpace(f.decision) == "":
		return 0, &usageError{"a decision has to say what was decided", `add --decision "what was decided, and why"`}
	case strings.TrimSpace(f.by) == "":
		return 0, &usageError{"a decision has to say who took it", `add --by "name"`}
	case f.until == "":
		return 0, nil
	}
	if until, err = exact.ParseDate(f.until); err != nil {
		return 0, asUsage("--until", err)
	}
	if !day.Before(until) {
		return 0, &usageError{"--until " + f.until + " is no later than the decision itself, " + day.String(), "give a later day, or leave it out"}
	}
	return until, nil
}

// which wants one point, or several where the flags say so.
func (f decideFlags) which(a *assess.Assessment, open []finding.Finding) error {
	var subjects []string
	for _, x := range open {
		subjects = words.AddOnce(subjects, x.Subject)
	}
	switch {
	case len(open) == 0 && decide.Stopped(a, f.code, f.subject):
		return &usageError{f.code + " is a stop, and a stop cannot be decided away", "put right what stops: gallipot check " + a.Product.ID}
	case len(open) == 0 && f.subject != "" && len(decide.OpenOn(a, f.code, "")) > 0:
		var known []string
		for _, x := range decide.OpenOn(a, f.code, "") {
			known = words.AddOnce(known, x.Subject)
		}
		return unknown("subject of "+f.code, f.subject, known)
	case len(open) == 0:
		var codes []string
		for _, x := range decide.Open(a) {
			codes = words.AddOnce(codes, x.Code)
		}
		return unknown("open point of "+a.Product.ID, f.code, codes)
	case len(subjects) > 1 && !f.all:
		return &usageError{fmt.Sprintf("%d points have the code %s", len(open), f.code), "name one with --subject, or decide them alike with --all: " + terminal.Joined(subjects)}
	}
	return nil
}
