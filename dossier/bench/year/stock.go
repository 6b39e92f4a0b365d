package year

import (
	"bytes"
	"cmp"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document/page"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/stock"
	"gallipot/dossier/weigh"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// lotRow is a lot with what is left of it.
type lotRow struct {
	Code, Name, Href, Supplier, Received, Until, In, Left, Unit, State string
	Packaging                                                          bool
}

// goods is what the form of goods in was sent with.
type goods struct {
	Name, Lot, Amount, SupplierLot, BestBefore, Retest, Price, Supplier, Error, Fix string
}

func showStock(v *frame.Visit) error { return stockWith(v, goods{}) }

func stockWith(v *frame.Visit, g goods) error {
	w, day := v.Workshop(), v.Shot.Options.Date
	books := stock.Of(w, day)
	var rows []lotRow
	for _, e := range books.Of("") {
		r := lotRow{Code: e.Lot.Code, Name: books.Name(e.Lot), Supplier: e.Lot.SupplierLot,
			Received: frame.ShortDay(e.Lot.Received),
			Until:    "not stated", In: e.In.Exact(), Left: e.Left.Exact(), Unit: e.Lot.Unit(),
			State: string(e.StateOn(day)), Packaging: e.Lot.IsPackaging()}
		if e.Lot.Ingredient != "" {
			r.Href = "/material/" + e.Lot.Ingredient
		}
		if !e.Lot.BestBefore.IsZero() {
			r.Until = frame.ShortDay(e.Lot.BestBefore)
		}
		if e.Unknown > 0 {
			r.Left = "at most " + r.Left
		}
		rows = append(rows, r)
	}
	var order bytes.Buffer
	items, _ := books.OrdersOfItems()
	if len(books.Orders())+len(items) > 0 {
		if err := page.WriteBody(&order, books.OrderDocument()); err != nil {
			return err
		}
	}
	var materials []string
	for _, id := range w.SheetIDs() {
		materials = append(materials, w.Sheets[id].Name)
	}
	asked, written := lotsAsked(v, books)
	g.Lot = cmp.Or(g.Lot, stock.NextLot(w))
	return v.Show(frame.Page{Title: "Stock", Place: "stock",
		Acts: []frame.Act{{Link: frame.Link{Href: "/stock/list",
			Text: "As printed"}}}, Facts: frame.Escape("as far as records tell; what was not written down is still in these figures"),
		Template: "stock", Data: map[string]any{"Rows": rows, "Goods": g, "Materials": materials,
			"ReadOnly": v.Site.ReadOnly,
			"Findings": asked, "Decisions": written, "Order": frame.NamesOf(w).Inside(order.String())}})
}

// receive enters what came in as the file of a new lot.
func receive(v *frame.Visit) error {
	g := goods{Name: v.Field("name"), Lot: v.Field("lot"), Amount: v.Field("amount"),
		SupplierLot: v.Field("supplier_lot"),
		BestBefore:  v.Field("best_before"), Retest: v.Field("retest"), Price: v.Field("price"),
		Supplier: v.Field("supplier")}
	lot, err := g.lot(v.Workshop(), v.Shot.Options.Date)
	if err == nil {
		var name string
		var data []byte
		if name, data, err = stock.Entered(v.Workshop(), lot); err == nil {
			return v.SaveFiles(history.Label{Thing: "lot " + lot.Code, New: g.Name, Place: "/stock"}, "/stock",
				history.Change{Name: name, Data: data})
		}
	}
	what, fix := said(err)
	g.Error, g.Fix = frame.Sentence(what), frame.Sentence(fix)
	v.W.WriteHeader(http.StatusUnprocessableEntity)
	return stockWith(v, g)
}

func said(err error) (what, fix string) {
	var x *exact.ValueError
	if errors.As(err, &x) {
		return x.What, x.Fix
	}
	return err.Error(), ""
}

// lot reads the form. What is no material of the workshop is packaging, which is counted.
func (g goods) lot(w *workshop.Workshop, day exact.Date) (*workshop.Lot, error) {
	lot := &workshop.Lot{Code: g.Lot, Supplier: g.Supplier, SupplierLot: g.SupplierLot, Received: day}
	if lot.Code == "" {
		lot.Code = stock.NextLot(w)
	}
	for _, id := range w.SheetIDs() {
		if ingredients.NameKey(w.Sheets[id].Name) == ingredients.NameKey(g.Name) {
			lot.Ingredient = id
		}
	}
	switch {
	case g.Name == "":
		return nil, &exact.ValueError{What: "what came in is not named",
			Fix: "choose a material, or write what the packaging is"}
	case lot.Ingredient == "":
		n, err := strconv.Atoi(strings.TrimSpace(strings.TrimSuffix(g.Amount, "pieces")))
		if err != nil || n <= 0 {
			return nil, &exact.ValueError{What: g.Name + " is no material here, and " + cmp.Or(g.Amount, "nothing") +
				" is no number of pieces",
				Fix: "choose the material from the list; packaging is counted: write how many came, such as 200"}
		}
		lot.Item, lot.Units = g.Name, &n
	default:
		mass, err := weigh.ParseMass(g.Amount)
		if err != nil {
			return nil, err
		}
		lot.G = &mass
	}
	for _, x := range []struct {
		typed string
		to    *exact.Date
	}{{g.BestBefore, &lot.BestBefore}, {g.Retest, &lot.Retest}} {
		if x.typed == "" {
			continue
		}
		d, err := exact.ParseDate(x.typed)
		if err != nil {
			return nil, err
		}
		*x.to = d
	}
	if g.Price != "" {
		n, err := exact.ParseNum(g.Price)
		if err != nil || n.Sign() < 0 {
			return nil, &exact.ValueError{What: g.Price + " is no price",
				Fix: "write what the whole lot cost, such as 18.40"}
		}
		lot.Price = &n
	}
	return lot, nil
}

// move writes down what was counted or thrown away of a lot.
func move(v *frame.Visit) error {
	lot := v.Workshop().Lot(v.Field("lot"))
	if lot == nil {
		return frame.NoPage("lot " + v.Field("lot"))
	}
	kind := v.Field("kind")
	if !slices.Contains([]string{"counted", "discarded"}, kind) {
		return frame.Wrong("That button is not known.", "Load the page anew.")
	}
	m := workshop.LotMove{Date: v.Shot.Options.Date, Reason: v.Field("reason")}
	typed := v.Field("amount")
	if lot.IsPackaging() {
		n, err := strconv.Atoi(typed)
		if err != nil || n < 0 {
			return frame.Wrong(typed+" is no number of pieces.", "Write a whole number, such as 120.")
		}
		m.Units = &n
	} else if n, err := exact.ParseNum(strings.TrimSpace(strings.TrimSuffix(typed, "g"))); err == nil &&
		n.Sign() >= 0 {
		m.G = &n
	} else {
		g, err := weigh.ParseMass(typed)
		if err != nil {
			return err
		}
		m.G = &g
	}
	if kind == "discarded" && m.Reason == "" {
		return frame.Wrong("Why it was thrown away is not stated.", "Write the reason: it stands in the books.")
	}
	data, err := stock.Moved(lot, kind, m)
	if err != nil {
		return err
	}
	return v.SaveFiles(history.Label{Thing: "lot " + lot.Code, New: map[string]string{"counted": "counted ",
		"discarded": "thrown away "}[kind] + typed, Place: "/stock"},
		"/stock", history.Change{Name: lot.Source.Name, Base: history.Hash(lot.Source.Bytes), Data: data})
}
