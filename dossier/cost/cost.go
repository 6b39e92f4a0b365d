package cost

import (
	"cmp"
	"errors"
	"strings"

	"gallipot/calc/masses"
	"gallipot/calc/soap"
	"gallipot/dossier/assess"
	"gallipot/dossier/stock"
	"gallipot/dossier/weigh"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// Pack is what one pack of a variant costs, in the maker's currency.
type Pack struct {
	Product string    `json:"product"`
	Variant string    `json:"variant"`
	Name    string    `json:"name"`
	Parts   []part    `json:"parts"`
	Known   exact.Num `json:"known"`   // sum of the parts whose cost is known, unrounded
	Missing []string  `json:"missing"` // what has no price, so that Known is the least; empty: Known is all
}

// part is one thing that a pack costs.
type part struct {
	Kind   string     `json:"kind"` // material, loss, packaging, work
	Name   string     `json:"name"`
	Amount exact.Num  `json:"amount"` // g of a material, pieces of packaging; 0 for the others
	Cost   *exact.Num `json:"cost"`   // unrounded; null where no price is stated
	From   string     `json:"from"`   // where the price is from
}

// Of adds up the packs of a product, one for each variant.
//
//	material = fill × share × price, with fill = net content / (1 − drying)
//	loss     = materials × loss / (1 − loss)
//	work     = work for a batch / packs of a batch
//
// Errors: a *exact.ValueError where the net content is not known in g.
func Of(w *workshop.Workshop, a *assess.Assessment, books *stock.Book) ([]Pack, error) {
	p := a.Product
	net, err := weigh.NetGrams(p, nil, a.Options.Law)
	switch {
	case err != nil:
		var v *exact.ValueError
		if errors.As(err, &v) {
			return nil, &exact.ValueError{What: v.What,
				Fix: "write density: 0.98, in g/ml, into the specification, or state the net content in g"}
		}
		return nil, err
	case net == nil:
		return nil, &exact.ValueError{What: p.ID + " states no net content",
			Fix: "add net_content: {g: 120} to the product file"}
	}
	fill := masses.Filling{NetG: *net, DryPct: soap.DriesPct(p.Product)}.PackG()
	var packs []Pack
	for _, v := range p.Variants {
		results := a.ByVariant(v.ID)
		if len(results) == 0 {
			continue
		}
		s := &summing{w: w, books: books, product: p, pack: Pack{Product: p.ID, Variant: v.ID,
			Name: cmp.Or(v.Name, v.ID, p.Name), Parts: []part{}, Missing: []string{}}}
		grams := map[string]exact.Num{}
		var order []string
		for _, share := range results[0].Recipe.Whole.Shares {
			if _, known := grams[share.Ingredient]; !known {
				order = append(order, share.Ingredient)
			}
			grams[share.Ingredient] = grams[share.Ingredient].Add(fill.Pct(share.Pct))
		}
		for _, id := range order {
			s.material(id, grams[id])
		}
		s.loss()
		s.packaging()
		s.work()
		packs = append(packs, s.pack)
	}
	return packs, nil
}

type summing struct {
	w       *workshop.Workshop
	books   *stock.Book
	product *workshop.Product
	pack    Pack
}

func (s *summing) add(p part) {
	if p.Cost == nil {
		s.pack.Missing = append(s.pack.Missing, p.Name)
	} else {
		s.pack.Known = s.pack.Known.Add(*p.Cost)
	}
	s.pack.Parts = append(s.pack.Parts, p)
}

func (s *summing) material(id string, g exact.Num) {
	p := part{Kind: "material", Name: s.w.Material(id).Text, Amount: g}
	if perG, lot := s.books.PriceOf(id); perG != nil {
		cost := perG.Mul(g)
		p.Cost, p.From = &cost, "lot "+lot
	} else if sheet := s.w.Sheets[id]; sheet != nil && sheet.PricePerKg != nil {
		cost := sheet.PricePerKg.Mul(g).Quo(exact.Int(1000))
		p.Cost, p.From = &cost, "its sheet"
	}
	s.add(p)
}

// loss is what stays on pots and tools, at the price of the materials that have one.
func (s *summing) loss() {
	pct := s.product.Costs.LossPct
	if pct == nil || pct.IsZero() {
		return
	}
	cost := s.pack.Known.Mul(*pct).Quo(exact.Int(100).Sub(*pct))
	s.add(part{Kind: "loss", Name: "loss of " + pct.Exact() + " %", Cost: &cost, From: "of the materials"})
}

func (s *summing) packaging() {
	if s.product.Costs.Packaging == nil {
		s.add(part{Kind: "packaging", Name: "packaging"})
	}
	for _, x := range s.product.Costs.Packaging {
		units := exact.Int(int64(x.Units))
		p := part{Kind: "packaging", Name: x.Item, Amount: units}
		if x.Each != nil {
			cost := x.Each.Mul(units)
			p.Cost, p.From = &cost, "the product's file"
		} else if each, lot := s.pieces(x.Item); each != nil {
			cost := each.Mul(units)
			p.Cost, p.From = &cost, "lot "+lot
		}
		s.add(p)
	}
}

// pieces is what a piece of an item costs, of labels those printed for the variant.
func (s *summing) pieces(item string) (each *exact.Num, lot string) {
	return s.books.PieceOf(func(l *workshop.Lot) bool {
		if l.Label != nil && strings.EqualFold(item, "label") {
			return l.Label.Product == s.pack.Product && l.Label.Variant == s.pack.Variant
		}
		return l.IsPackaging() && strings.EqualFold(strings.TrimSpace(l.Item), strings.TrimSpace(item))
	})
}

// work is counted where the file says what a batch takes.
func (s *summing) work() {
	c := s.product.Costs
	switch {
	case c.WorkPerBatch == nil:
	case c.BatchPacks == 0:
		s.add(part{Kind: "work", Name: "work: packs of a batch"})
	default:
		cost := c.WorkPerBatch.Quo(exact.Int(int64(c.BatchPacks)))
		s.add(part{Kind: "work", Name: "work", Cost: &cost, From: "the product's file"})
	}
}
