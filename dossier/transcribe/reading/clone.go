package reading

import "slices"

// Clone returns a copy whose values may be changed without changing those of r.
func (r *Reading) Clone() *Reading {
	c := *r
	d := &c.Document
	for _, f := range []**Fact{&d.TradeName, &d.Supplier, &d.Code, &d.Batch, &d.Issued, &d.Version, &d.Replaces,
		&d.Printed, &d.Made, &d.BestBefore} {
		if *f != nil {
			fact := **f
			*f = &fact
		}
	}
	c.Composition = slices.Clone(r.Composition)
	if r.Allergens != nil {
		a := *r.Allergens
		a.Rows = slices.Clone(a.Rows)
		c.Allergens = &a
	}
	if r.IFRA != nil {
		x := *r.IFRA
		x.Rows = slices.Clone(x.Rows)
		c.IFRA = &x
	}
	c.Impurities, c.Physical = slices.Clone(r.Impurities), slices.Clone(r.Physical)
	c.Asks, c.Warnings = slices.Clone(r.Asks), slices.Clone(r.Warnings)
	return &c
}
