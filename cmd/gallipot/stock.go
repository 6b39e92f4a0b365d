package main

import (
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier/document/plain"
	"gallipot/dossier/stock"
	"gallipot/dossier/weigh"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// stockFlags are the flags of stock.
type stockFlags struct {
	order                   bool
	counted, thrown, reason string
}

// stockVerb prints what is left of each lot or what to order, and writes down what was
// counted or thrown away.
func (c *command) stockVerb() *cobra.Command {
	var f stockFlags
	v := c.verb("stock [MATERIAL|LOT]", func(args []string) error {
		return c.stock(strings.Join(args, " "),
			f)
	})
	flags := v.Flags()
	flags.BoolVar(&f.order, "order", false, "what to order of each supplier for the batches that are planned")
	flags.StringVar(&f.counted, "counted", "", "write down what is there of a lot: 450g, or 120 of packaging")
	flags.StringVar(&f.thrown, "thrown-away", "", "write down what was thrown away of a lot")
	flags.StringVar(&f.reason, "reason", "", "why it was thrown away, or is not what the books have")
	return c.shared(v)
}

func (c *command) stock(name string, f stockFlags) error {
	w, opt, err := c.openAll()
	if w == nil || err != nil {
		return err
	}
	books := stock.Of(w, opt.Date)
	if f.counted != "" || f.thrown != "" {
		return c.moveStock(w, books, name, f, opt.Date)
	}
	if name != "" && len(books.Of(name)) == 0 {
		return unknown("material or lot", name, books.Names())
	}
	switch {
	case f.order && c.json:
		return books.WriteOrderJSON(c.ui.Out)
	case f.order:
		return plain.Write(c.ui.Out, books.OrderDocument())
	case c.json:
		return books.WriteJSON(c.ui.Out, name)
	}
	return plain.Write(c.ui.Out, books.Document(name))
}

// moveStock writes into the file of a lot what was counted or thrown away.
func (c *command) moveStock(w *workshop.Workshop, books *stock.Book, name string, f stockFlags,
	day exact.Date) error {
	lot := w.Lot(name)
	if lot == nil {
		var codes []string
		for _, l := range w.Lots {
			codes = append(codes, l.Code)
		}
		return unknown("lot", name, codes)
	}
	for _, x := range []struct{ flag, key, typed string }{{"--thrown-away", "discarded", f.thrown},
		{"--counted", "counted", f.counted}} {
		if x.typed == "" {
			continue
		}
		m := workshop.LotMove{Date: day, Reason: f.reason}
		if err := readAmount(&m, lot, x.flag, x.typed); err != nil {
			return err
		}
		if err := stock.Move(w, lot, x.key, m); err != nil {
			return asUsage(x.flag, err)
		}
		if w, _ = workshop.Load(c.workshop, w.Law); w == nil || w.Lot(name) == nil {
			return nil // it is written, and gone since
		}
		lot, books = w.Lot(name), stock.Of(w, day)
	}
	return plain.Write(c.ui.Out, books.Document(lot.Code))
}

// readAmount reads a mass, or a number of pieces.
func readAmount(m *workshop.LotMove, lot *workshop.Lot, flag, typed string) error {
	if lot.IsPackaging() {
		n, err := strconv.Atoi(typed)
		if err != nil || n < 0 {
			return &usageError{flag + " " + typed + " is no number of pieces",
				"write a whole number, such as 120"}
		}
		m.Units = &n
		return nil
	}
	if n, err := exact.ParseNum(strings.TrimSuffix(strings.TrimSpace(typed), "g")); err == nil &&
		n.IsZero() && strings.HasSuffix(typed, "g") {
		m.G = &n // none is left
		return nil
	}
	g, err := weigh.ParseMass(typed)
	if err != nil {
		return asUsage(flag, err)
	}
	m.G = &g
	return nil
}
