package stock

import (
	"cmp"
	"slices"

	"gallipot/ingredients/exact"
)

// order is what to order of one material for the batches that are planned.
type order struct {
	Ingredient string     `json:"ingredient"`
	Name       string     `json:"name"`
	Supplier   string     `json:"supplier"` // "" where none is entered
	Code       string     `json:"supplier_code"`
	NeedG      exact.Num  `json:"need_g"`
	ThereG     exact.Num  `json:"there_g"` // that may be used on the day
	ShortG     exact.Num  `json:"short_g"`
	Packs      []packs    `json:"packs"` // empty where no sizes are stated
	LeadDays   int        `json:"lead_days"`
	OrderBy    exact.Date `json:"order_by"` // zero: no lead time is stated
	First      exact.Date `json:"first_batch"`
	Batches    []string   `json:"batches"`
}

// packs are packs of one size.
type packs struct {
	G     exact.Num `json:"g"`
	Count int       `json:"count"`
}

// Orders lists what is short for the batches that are planned, by supplier. What
// expires before the first of them is not counted on.
func (b *Book) Orders() []order {
	byID := map[string]*order{}
	var ids []string
	for _, record := range b.w.BatchRecords {
		if record.State() != "planned" {
			continue
		}
		for _, l := range record.Lines {
			if l.PlannedG == nil || !b.ByLot(l.Ingredient) {
				continue
			}
			o := byID[l.Ingredient]
			if o == nil {
				o = &order{Ingredient: l.Ingredient}
				byID[l.Ingredient], ids = o, append(ids, l.Ingredient)
			}
			o.NeedG = o.NeedG.Add(*l.PlannedG)
			if !slices.Contains(o.Batches, record.Code) {
				o.Batches = append(o.Batches, record.Code)
			}
			if o.First.IsZero() || record.Date.Before(o.First) {
				o.First = record.Date
			}
		}
	}
	list := []order{}
	for _, id := range ids {
		o := byID[id]
		if o.ThereG = b.Usable(id, latest(b.Day, o.First)); o.NeedG.Sub(o.ThereG).Sign() <= 0 {
			continue
		}
		o.ShortG = o.NeedG.Sub(o.ThereG)
		b.bought(o)
		list = append(list, *o)
	}
	slices.SortStableFunc(list, func(x, y order) int {
		return cmp.Or(cmp.Compare(x.Supplier, y.Supplier), cmp.Compare(x.Name, y.Name))
	})
	return list
}

// latest is the later of two days: what expires before the batch is made does not count.
func latest(a, b exact.Date) exact.Date { return max(a, b) }

// bought adds what the sheet says of buying.
func (b *Book) bought(o *order) {
	o.Name, o.Packs = o.Ingredient, []packs{}
	s := b.w.Sheets[o.Ingredient]
	if s == nil {
		return
	}
	o.Name, o.Supplier, o.Code = cmp.Or(s.Name, s.ID), s.Supplier.Name, s.Supplier.Code
	o.Packs = packsFor(o.ShortG, s.Purchase.PackG)
	if o.LeadDays = s.Purchase.LeadDays; o.LeadDays > 0 && !o.First.IsZero() {
		o.OrderBy = o.First.AddDays(-o.LeadDays)
	}
}

// packsFor covers a mass by packs: as many whole ones as fit, the largest first, and for
// the rest what leaves least over, the fewer packs where that is equal.
func packsFor(short exact.Num, sizes []exact.Num) []packs {
	sizes = slices.Clone(sizes)
	slices.SortFunc(sizes, func(x, y exact.Num) int { return y.Cmp(x) })
	out := []packs{}
	add := func(size exact.Num, n int) {
		for i := range out {
			if out[i].G.Equal(size) {
				out[i].Count += n
				return
			}
		}
		if n > 0 {
			out = append(out, packs{size, n})
		}
	}
	for _, size := range sizes {
		n := int(short.Quo(size).Floor().Float())
		add(size, n)
		short = short.Sub(size.Mul(exact.Int(int64(n))))
	}
	if short.Sign() <= 0 || len(sizes) == 0 {
		return out
	}
	add(sizes[len(sizes)-1], 1) // the rest is less than the smallest
	return merged(out, sizes)
}

// merged puts one larger pack in the place of smaller ones that hold as much.
func merged(have []packs, sizes []exact.Num) []packs {
	for i := len(sizes) - 2; i >= 0; i-- {
		var below exact.Num
		for _, p := range have {
			if p.G.Less(sizes[i]) {
				below = below.Add(p.G.Mul(exact.Int(int64(p.Count))))
			}
		}
		if below.Less(sizes[i]) {
			continue
		}
		have = slices.DeleteFunc(have, func(p packs) bool { return p.G.Less(sizes[i]) })
		if at := slices.IndexFunc(have, func(p packs) bool { return p.G.Equal(sizes[i]) }); at >= 0 {
			have[at].Count++
		} else {
			have = append(have, packs{sizes[i], 1})
		}
	}
	return have
}
