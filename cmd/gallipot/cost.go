package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/cost"
	"gallipot/dossier/document"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/stock"
	"gallipot/dossier/store"
)

// costVerb prints what a pack of each variant costs.
func (c *command) costVerb() *cobra.Command {
	var files bool
	v := c.verb("cost [PRODUCT[/VARIANT]…]", func(args []string) error { return c.cost(args, files) })
	v.Flags().BoolVar(&files, "files", false, "write a spreadsheet into out/")
	return c.shared(v)
}

func (c *command) cost(args []string, files bool) error {
	w, opt, err := c.openAll()
	if w == nil || err != nil {
		return err
	}
	products, variants, err := c.pickAll(w, args)
	if err != nil {
		return err
	}
	packs := []cost.Pack{}
	for _, a := range dossier.AssessAll(w, products, opt) {
		list, err := cost.Of(w, a, stock.Of(w, opt.Date))
		if err != nil && len(args) > 0 {
			return err
		} else if err != nil { // the others have a cost all the same
			c.ui.Trouble(err)
		}
		for _, p := range list {
			if named := variants[p.Product]; len(named) == 0 || slices.Contains(named, "") ||
				slices.Contains(named, p.Variant) {
				packs = append(packs, p)
			}
		}
	}
	if files {
		if err := c.costFile(cost.Document(w, packs, opt.Date)); err != nil {
			return err
		}
	}
	if c.json {
		return c.printJSON(packs)
	}
	return plain.Write(c.ui.Out, cost.Document(w, packs, opt.Date))
}

func (c *command) costFile(d *document.Document) error {
	dir, err := c.outFolder()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := sheet.Write(&b, d); err != nil {
		return err
	}
	name := filepath.Join(dir, "cost.xlsx")
	fmt.Fprintln(c.ui.Err, filepath.ToSlash(name))
	return store.WriteFiles(store.NewFile{Path: name, Data: b.Bytes()})
}
