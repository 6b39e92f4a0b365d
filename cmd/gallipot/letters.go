package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/letters"
)

// lettersVerb writes what to ask suppliers, laboratory and assessor for.
func (c *command) lettersVerb() *cobra.Command {
	v := c.verb("letters [PRODUCT…]", c.letters)
	v.Flags().StringVar(&c.out, "out", "", "folder to write into; default: out/letters in the workshop")
	v = c.shared(v)
	v.Flags().Lookup("json").Hidden = true // letters are for people
	return v
}

func (c *command) letters(args []string) error {
	w, opt, err := c.open()
	if w == nil || err != nil {
		return err
	}
	products, _, err := c.pickAll(w, args)
	if err != nil {
		return err
	}
	dir, err := c.outFolder("letters")
	if err != nil {
		return err
	}
	mail := letters.LettersOf(w, dossier.AssessAll(w, products, opt), opt.Date)
	if len(mail.Nameless) > 0 {
		fmt.Fprintf(c.ui.Err, "no letter for %s: enter the supplier's name in the sheet\n",
			strings.Join(mail.Nameless, ", "))
	}
	if mail.None() {
		fmt.Fprintln(c.ui.Out, "nothing to ask for")
		return nil
	}
	files, warnings, stale, err := letters.WriteLetters(dir, mail, w.Maker.Name, opt.Date)
	for _, text := range warnings {
		fmt.Fprintf(c.ui.Err, "%s\n", text)
	}
	for _, f := range files {
		fmt.Fprintln(c.ui.Out, filepath.ToSlash(f))
	}
	for _, f := range stale {
		fmt.Fprintf(c.ui.Err, "%s is of an earlier run: nothing of it is asked for now\n",
			filepath.ToSlash(f))
	}
	return err
}
