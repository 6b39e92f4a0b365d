package main

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/terminal"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// reach is what could not be read of the workshop that a verb works with.
type reach struct {
	w        *workshop.Workshop // with what is left out
	without  workshop.Without
	findings []finding.Finding
}

func (r reach) any() bool { return len(r.without.Files) > 0 }

// open reads the workshop. Products whose files cannot be read are left out, which is
// said before anything else. Where nothing can be computed it prints why and returns
// nil; the exit code is then set.
func (c *command) open() (*workshop.Workshop, assess.Options, error) {
	opt, err := c.options()
	if err != nil {
		return nil, opt, err
	}
	w, findings := workshop.Load(c.workshop, opt.Law)
	if w == nil {
		return c.unreadable(nil, findings), opt, nil
	}
	rest, without, ok := w.Reach()
	if !ok || len(w.Products) > 0 && len(rest.Products) == 0 {
		return c.unreadable(w, findings), opt, nil
	}
	if len(without.Files) > 0 {
		c.reach = reach{w, without, unreadOnly(findings)}
		c.ui.Trouble(&usageError{leftOut(without), "gallipot check says what is open in " +
			few(without.Files)})
	}
	c.mindClock(w)
	return rest, opt, nil
}

// openAll is open for a verb that tells of the whole workshop: where something is
// left out, its exit code says so.
func (c *command) openAll() (*workshop.Workshop, assess.Options, error) {
	w, opt, err := c.open()
	c.partial = c.partial || c.reach.any()
	return w, opt, err
}

func (c *command) unreadable(w *workshop.Workshop, findings []finding.Finding) *workshop.Workshop {
	c.ui.Findings(c.ui.Err, w, findings)
	c.exit = exitUnreadable
	return nil
}

func leftOut(w workshop.Without) string {
	switch len(w.Products) {
	case 0:
		return "left out, and used by no product: " + few(w.Files)
	case 1:
		return "left out until its files can be read: " + w.Products[0]
	}
	return fmt.Sprintf("%d products are left out until their files can be read: %s", len(w.Products),
		terminal.Joined(w.Products))
}

// few names the first of many.
func few(names []string) string {
	const most = 3
	if len(names) <= most+1 {
		return terminal.Joined(names)
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

// inReach is an error where a product is one of those left out, with what is wrong
// in its files printed before.
func (c *command) inReach(id string) error {
	if !slices.Contains(c.reach.without.Products, id) {
		return nil
	}
	c.ui.Findings(c.ui.Err, c.reach.w, c.reach.findings)
	fmt.Fprintln(c.ui.Err)
	return &usageError{fmt.Sprintf("product %q cannot be computed until its files can be read", id),
		"correct the files named above first"}
}
