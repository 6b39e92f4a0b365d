package law

import "slices"

// Spellings yields every spelling of a name that the tables know, with the name
// it stands for: those of the dictionary, then the substances of the fragrance
// Standards that it lacks.
func (t *Tables) Spellings(yield func(spelling, name string)) {
	dict := t.Dictionary()
	dict.Spellings(yield)
	for _, s := range t.standards {
		if dict.Lookup(s.Substance) == nil {
			yield(s.Substance, s.Substance)
		}
	}
}

// Numbered returns the names that a CAS number stands for in the tables, or,
// without one, those of an EC number.
func (t *Tables) Numbered(cas, ec string) []string {
	var names []string
	found := t.Dictionary().ByCAS(cas)
	if cas == "" {
		found = t.Dictionary().ByEC(ec)
	}
	for _, s := range found {
		if !slices.Contains(names, s.INCI) {
			names = append(names, s.INCI)
		}
	}
	return names
}

// Numbers returns the CAS numbers that the tables give a name.
func (t *Tables) Numbers(name string) []string {
	if s := t.Dictionary().Lookup(name); s != nil {
		return s.CAS
	}
	return nil
}
