package main

import (
	"fmt"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/figures"
	"gallipot/dossier/store"
)

// compareVerb says what changed between two folders or files of figures.
func (c *command) compareVerb() *cobra.Command {
	v := c.verb("compare A B", c.compare)
	v.Args = func(_ *cobra.Command, args []string) error {
		if len(args) != 2 {
			return &usageError{"compare needs two workshops, or files of figures",
				"gallipot compare ../workshop-of-last-year ."}
		}
		return nil
	}
	v = c.shared(v)
	v.Flags().Lookup("workshop").Hidden = true // A and B name them
	return v
}

// state is one side of a comparison.
type state struct {
	figures figures.Snapshots
	isFile  bool
}

func (c *command) compare(args []string) error {
	var sides [2]state
	for i, name := range args {
		s, err := c.stateOf(name)
		if err != nil || c.exit != exitClean {
			return err
		}
		sides[i] = s
	}
	was, is := sides[0].figures, sides[1].figures
	if sides[0].isFile {
		is = onlyProducts(is, was.Products())
	}
	if sides[1].isFile {
		was = onlyProducts(was, is.Products())
	}
	changes := figures.Compare(was, is)
	if c.json {
		if changes == nil {
			changes = []figures.Change{}
		}
		return store.WriteIndented(c.ui.Out, changes)
	}
	return c.printChanges(changes)
}

// stateOf reads a folder or a file of figures. Where a folder cannot be read it
// prints why and sets the exit code.
func (c *command) stateOf(name string) (state, error) {
	info, err := os.Stat(name)
	if err != nil {
		return state{}, &usageError{"there is no folder or file " + name,
			"name a workshop folder, or a file that gallipot figures --json wrote"}
	}
	if !info.IsDir() {
		data, err := figures.ReadFiguresFile(name)
		if err != nil {
			return state{}, err
		}
		figures, err := figures.ReadFigures(data)
		if err != nil {
			return state{}, &usageError{name + ": " + err.Error(),
				"write it with gallipot figures PRODUCT --json > " + name}
		}
		return state{figures, true}, nil
	}
	c.workshop = name
	w, opt, err := c.openAll()
	if w == nil || err != nil {
		return state{}, err
	}
	figures, err := figures.FiguresOf(dossier.AssessAll(w, w.Products, opt))
	return state{figures, false}, err
}

// onlyProducts leaves the figures of the products named.
func onlyProducts(l figures.Snapshots, ids []string) figures.Snapshots {
	return slices.DeleteFunc(slices.Clone(l), func(s figures.Snapshot) bool {
		return !slices.Contains(ids,
			s.Product)
	})
}

// printChanges prints changes under a head for each product.
func (c *command) printChanges(changes []figures.Change) error {
	if len(changes) == 0 {
		fmt.Fprintln(c.ui.Out, "nothing changed in the figures")
		return nil
	}
	if err := plain.Write(c.ui.Out, figures.Document(changes)); err != nil {
		return err
	}
	noun := "changes"
	if len(changes) == 1 {
		noun = "change"
	}
	fmt.Fprintf(c.ui.Out, "\n%d %s\n", len(changes), noun)
	return nil
}
