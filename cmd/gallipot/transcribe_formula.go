package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier/store"
	"gallipot/dossier/terminal"
	"gallipot/dossier/transcribe/draft"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/recipe"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// formulaFlags are those of transcribe --formula.
type formulaFlags struct {
	file    string
	product string
	write   bool // shared with the reading of papers
}

// register adds the flags to the verb.
func (f *formulaFlags) register(v *cobra.Command) {
	v.Flags().StringVar(&f.file, "formula", "", "read your own formula from a spreadsheet, table or text")
	v.Flags().StringVar(&f.product, "product", "",
		"with --formula: the id of the product to write, or to pick of several")
}

// transcribeFormula reads the formulas of one document, shows them, and with
// --write drafts their files.
func (c *command) transcribeFormula(args []string, flags formulaFlags) error {
	if len(args) > 0 {
		return &usageError{"--formula reads one document, and " + args[0] + " is named beside it",
			"read papers and formulas one after the other"}
	}
	data, err := os.ReadFile(flags.file)
	if err != nil {
		return &usageError{fmt.Sprintf("%s cannot be read", flags.file), "check the name of the file"}
	}
	words, err := lexicon.Load()
	if err != nil {
		return err
	}
	files := paper.NewReader()
	defer files.Close()
	name := filepath.Base(flags.file)
	f, err := files.Read(name, data)
	var trouble *paper.Trouble
	if errors.As(err, &trouble) {
		if c.json {
			if err := c.printJSON(formulation.Refused(name, trouble.Error(), trouble.Fix())); err != nil {
				return err
			}
		}
		return &usageError{name + ": " + trouble.Error(), trouble.Fix()}
	}
	if err != nil {
		return err
	}
	reading, err := readFormula(f, words)
	if err != nil {
		return err
	}
	if c.json {
		err = c.printJSON(reading)
	} else {
		err = formulation.Print(c.ui.Out, reading)
	}
	if err != nil || !flags.write {
		return err
	}
	return c.writeFormula(flags, reading)
}

// readFormula ends with an error where a document breaks the reading of it.
func readFormula(f *paper.File, words *lexicon.Lexicon) (reading *formulation.Reading, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = &usageError{f.Name + " cannot be read",
				"save it as a table with the columns ingredient and amount"}
		}
	}()
	return recipe.Read(f, words), nil
}

func (c *command) printJSON(v any) error {
	return store.WriteIndented(c.ui.Out, v)
}

// writeFormula drafts the files and writes all of them or none.
func (c *command) writeFormula(flags formulaFlags, reading *formulation.Reading) error {
	products, err := chosen(flags, reading)
	if err != nil {
		return err
	}
	opt, err := c.options()
	if err != nil {
		return err
	}
	w, findings := workshop.Load(c.workshop, opt.Law)
	if w == nil {
		c.ui.Findings(c.ui.Err, w, findings)
		c.exit = exitUnreadable
		return nil
	}
	var sheets []draft.Material
	for _, id := range w.SheetIDs() {
		sheets = append(sheets, draft.Material{ID: id, Name: w.Sheets[id].Name})
	}
	var out []store.NewFile
	for i := range products {
		opt := draft.Options{Source: reading.File, Sheets: sheets}
		if len(products) == 1 {
			opt.ID = flags.product
		}
		for _, f := range draft.Product(&products[i], opt) {
			out = append(out, store.NewFile{Path: filepath.Join(c.workshop, filepath.FromSlash(f.Path)),
				Data: []byte(f.Text)})
			if id, ok := strings.CutPrefix(f.Path, "ingredients/"); ok { // the next product has the sheet
				sheets = append(sheets, draft.Material{ID: strings.TrimSuffix(id, ".yaml"),
					Name: stubName(f.Text)})
			}
		}
	}
	for _, f := range out {
		if _, err := os.Lstat(f.Path); !errors.Is(err, fs.ErrNotExist) {
			return &usageError{filepath.ToSlash(f.Path) + " is there already; nothing was written",
				"choose another id with --product, or move the file away"}
		}
	}
	if err := store.WriteFiles(out...); err != nil {
		return err
	}
	to := c.ui.Out
	if c.json {
		to = c.ui.Err
	}
	for _, f := range out {
		fmt.Fprintf(to, "wrote %s\n", filepath.ToSlash(f.Path))
	}
	fmt.Fprintf(to, "next: answer what is open in the files, then run: gallipot check --workshop %s\n",
		terminal.Pasted(c.workshop))
	return nil
}

// stubName is the name that a stub holds.
func stubName(text string) string {
	for _, l := range strings.Split(text, "\n") {
		if v, ok := strings.CutPrefix(l, "name: "); ok {
			var name string
			if json.Unmarshal([]byte(v), &name) == nil {
				return name
			}
		}
	}
	return ""
}

// chosen are the products to write: the one that --product names among several, or
// all.
func chosen(flags formulaFlags, reading *formulation.Reading) ([]formulation.Product, error) {
	if len(reading.Products) == 0 {
		return nil, &usageError{"no formula was found in " + reading.File,
			"save it as a table with the columns ingredient and amount"}
	}
	if flags.product == "" || len(reading.Products) == 1 {
		return reading.Products, nil
	}
	var known []string
	for _, p := range reading.Products {
		if id := draft.ID(p.Name); id != flags.product {
			known = append(known, id)
			continue
		}
		return []formulation.Product{p}, nil
	}
	return nil, unknown("product of "+reading.File, flags.product, known)
}

// openWithStubs reads the workshop as open does, but for the reading of papers: what
// a draft leaves open stops no paper, since papers are what answers it.
func (c *command) openWithStubs() (*workshop.Workshop, error) {
	opt, err := c.options()
	if err != nil {
		return nil, err
	}
	w, findings := workshop.Load(c.workshop, opt.Law)
	if w == nil || slices.ContainsFunc(findings, func(f finding.Finding) bool {
		return f.Unread &&
			!draft.LeftOpen(f)
	}) {
		w, _, err := c.open()
		return w, err
	}
	return w, nil
}
