package names

import (
	"gallipot/ingredients/namelist"
	"slices"
)

// same says whether two names stand for one substance: the same name, one among
// the other names of the other, or a CAS number that is theirs alone (titanium
// dioxide and CI 77891; one number serves 75 polymers).
func (r *Resolver) same(a, b Named) bool {
	ka, kb := namelist.Key(a.Name), namelist.Key(b.Name)
	if ka == kb || a.Official != "" && a.Official == b.Official {
		return true
	}
	has := func(n Named, key string) bool {
		return slices.ContainsFunc(n.Also, func(s string) bool { return namelist.Key(s) == key })
	}
	if has(a, kb) || has(b, ka) {
		return true
	}
	if a.Plant != nil || b.Plant != nil {
		return r.samePlant(a.Plant, b.Plant)
	}
	mine := r.numbersOf(a)
	return slices.ContainsFunc(r.numbersOf(b), func(cas string) bool {
		return slices.Contains(mine, cas) && (a.CI != "" || b.CI != "" || len(r.inventory.ByCAS(cas)) <= 2) &&
			!r.plantNumber(cas)
	})
}

// samePlant says whether two names are of one plant, part and preparation.
func (r *Resolver) samePlant(a, b *Plant) bool {
	return a != nil && b != nil && a.Of == b.Of && slices.Equal(a.Parts, b.Parts) &&
		slices.Equal(a.Preparation, b.Preparation)
}
