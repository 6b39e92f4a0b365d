package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/stock"
	"gallipot/dossier/weigh"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// receiveFlags are the flags of receive.
type receiveFlags struct {
	mass, lot, supplier, supplierLot, bestBefore, retest, price string
	certificate, certificateDated                               string
	results                                                     []string
	item, label                                                 string
	units                                                       int
}

// receiveVerb writes the file of a lot that came in.
func (c *command) receiveVerb() *cobra.Command {
	var f receiveFlags
	v := c.verb("receive [MATERIAL]", func(args []string) error { return c.receive(args, f) })
	v.Args = func(_ *cobra.Command, args []string) error {
		named := len(args)
		for _, x := range []string{f.item, f.label} {
			if x != "" {
				named++
			}
		}
		if named != 1 {
			return &usageError{"receive takes one thing",
				`gallipot receive glycerin --mass 5kg; or --item "jar 120 ml" --units 200; or --label heath-wash/duo --market GB --units 200`}
		}
		return nil
	}
	flags := v.Flags()
	flags.StringVar(&f.mass, "mass", "", "mass received, such as 5kg or 500g")
	flags.StringVar(&f.lot, "lot", "", "your own number; without it the last one is counted on")
	flags.StringVar(&f.supplier, "supplier", "",
		"who delivered it, where that is not the supplier of the sheet")
	flags.StringVar(&f.supplierLot, "supplier-lot", "", "the supplier's number")
	flags.StringVar(&f.bestBefore, "best-before", "", "last day on which it may be used, YYYY-MM-DD")
	flags.StringVar(&f.retest, "retest", "", "day from which it is to be tested again, YYYY-MM-DD")
	flags.StringVar(&f.price, "price", "", "price of the whole lot")
	flags.StringVar(&f.certificate, "certificate", "", "certificate of analysis, a file inside the workshop")
	flags.StringVar(&f.certificateDated, "certificate-dated", "", "its date, YYYY-MM-DD")
	flags.StringArrayVar(&f.results, "result", nil, "a result of it, such as pH=5.4; several times")
	flags.StringVar(&f.item, "item", "", "packaging in place of a material, such as \"jar 120 ml\"")
	flags.StringVar(&f.label, "label", "",
		"printed labels in place of a material: PRODUCT or PRODUCT/VARIANT")
	flags.Var(count{&f.units, 1, 1_000_000_000, "200"}, "units", "pieces received, of packaging and labels")
	return c.shared(v)
}

func (c *command) receive(args []string, f receiveFlags) error {
	w, opt, err := c.open()
	if w == nil || err != nil {
		return err
	}
	lot := &workshop.Lot{Code: f.lot, Supplier: f.supplier, SupplierLot: f.supplierLot, Received: opt.Date,
		Item: f.item}
	if lot.Code == "" {
		lot.Code = stock.NextLot(w)
	}
	if err := f.read(lot); err != nil {
		return err
	}
	switch {
	case len(args) == 1:
		if w.Sheets[args[0]] == nil {
			return unknown("material", args[0], w.SheetIDs())
		}
		lot.Ingredient = args[0]
	case f.label != "":
		if lot.Label, err = c.printedFor(w, opt, f.label); err != nil {
			return err
		}
	}
	if err := f.amount(lot); err != nil {
		return err
	}
	name, err := stock.Receive(w, lot)
	if err != nil {
		return asUsage("receive", err)
	}
	fmt.Fprintln(c.ui.Out, name)
	return c.sayOfLot(opt, lot.Code)
}

// sayOfLot prints what there is to say about a lot once it is on file.
func (c *command) sayOfLot(opt assess.Options, code string) error {
	w, _ := workshop.Load(c.workshop, opt.Law)
	if w == nil {
		return nil // it was there a moment ago; the lot is written
	}
	c.ui.Findings(c.ui.Out, w, stock.Of(w, opt.Date).FindingsOn(code))
	return nil
}

// read takes over what is typed as it is read.
func (f receiveFlags) read(lot *workshop.Lot) error {
	for _, x := range []struct {
		flag, typed string
		to          *exact.Date
	}{{"--best-before", f.bestBefore, &lot.BestBefore}, {"--retest", f.retest, &lot.Retest},
		{"--certificate-dated", f.certificateDated, &lot.Certificate.Dated}} {
		if x.typed == "" {
			continue
		}
		day, err := exact.ParseDate(x.typed)
		if err != nil {
			return asUsage(x.flag, err)
		}
		*x.to = day
	}
	if f.price != "" {
		n, err := exact.ParseNum(f.price)
		if err != nil {
			return asUsage("--price", err)
		}
		if n.Sign() < 0 {
			return &usageError{"--price " + f.price + " is no price", "give what the whole lot cost"}
		}
		lot.Price = &n
	}
	lot.Certificate.File = f.certificate
	for _, r := range f.results {
		what, found, ok := strings.Cut(r, "=")
		if !ok || strings.TrimSpace(what) == "" || strings.TrimSpace(found) == "" {
			return &usageError{fmt.Sprintf("--result %s is no result", r),
				"write what was tested and what was found, such as pH=5.4"}
		}
		lot.Certificate.Results = append(lot.Certificate.Results,
			workshop.LotResult{What: strings.TrimSpace(what), Found: strings.TrimSpace(found)})
	}
	return nil
}

// amount takes the mass of a material, or the number of what is counted.
func (f receiveFlags) amount(lot *workshop.Lot) error {
	switch {
	case lot.IsPackaging() && f.mass != "":
		return &usageError{"packaging is counted and not weighed", "give --units 200 in place of --mass"}
	case lot.IsPackaging() && f.units == 0:
		return &usageError{"how many came in is not given", "add --units 200"}
	case lot.IsPackaging():
		lot.Units = &f.units
	case f.units != 0:
		return &usageError{"a raw material is weighed and not counted", "give --mass 5kg in place of --units"}
	case f.mass == "":
		return &usageError{"the mass that came in is not given", "add --mass 5kg"}
	default:
		g, err := weigh.ParseMass(f.mass)
		if err != nil {
			return asUsage("--mass", err)
		}
		lot.G = &g
	}
	return nil
}

// printedFor is what labels are printed for today: a product in a market, with its list.
func (c *command) printedFor(w *workshop.Workshop, opt assess.Options, name string) (*workshop.PrintedFor,
	error) {
	p, variant, err := c.pick(w, name)
	if err != nil {
		return nil, err
	}
	markets := opt.Markets
	if len(markets) == 0 {
		markets = p.Markets
	}
	if len(markets) != 1 {
		return nil, &usageError{"labels are printed for one market", "add --market GB"}
	}
	if variant == "" && len(p.Variants) == 1 {
		variant = p.Variants[0].ID
	}
	r := dossier.Assess(w, p, opt).Result(variant, markets[0])
	if r == nil {
		return nil, &usageError{"labels are printed for one variant", "name it: " + p.ID + "/" +
			strings.Join(workshop.VariantIDs(p.Variants), ", "+p.ID+"/")}
	}
	return &workshop.PrintedFor{Product: p.ID, Variant: variant, Market: string(markets[0]),
		Revision: p.Revision, Ingredients: r.List.Line()}, nil
}
