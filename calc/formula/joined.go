package formula

import (
	"gallipot/ingredients/exact"
)

// JoinNumbers puts substances with the same CAS number together, for what counts
// the substance and not its name: exposure and margins. One substance can stand
// on sheets under several names. The name met first in the whole product, the
// one with most of it, is kept. Nano forms stay apart.
//
// Compositions without such a pair are returned as they are.
func JoinNumbers(comps []*Composition) []*Composition {
	if n := comps[0].numbers; n != nil && !n.mayPair() {
		return comps
	}
	lead := make(map[string]*Substance, len(comps[0].Substances))
	pairs := false
	for _, s := range comps[0].Substances {
		if k := numberKey(s); k != "" {
			if lead[k] == nil {
				lead[k] = s
			} else {
				pairs = true
			}
		}
	}
	if !pairs {
		return comps
	}
	joined := make([]*Composition, len(comps))
	for i, c := range comps {
		joined[i] = joinNumbersIn(c, lead)
	}
	return joined
}

func joinNumbersIn(c *Composition, lead map[string]*Substance) *Composition {
	j := &Composition{Mixture: c.Mixture, numbers: new(numbers)}
	at := map[string]*Substance{}
	for _, s := range c.Substances {
		name := s
		if l := lead[numberKey(s)]; l != nil {
			name = l
		}
		one := at[name.Key()]
		if one == nil {
			copied := *s
			copied.INCI, copied.CAS, copied.EC, copied.MergeKey, copied.Contributions = name.INCI, name.CAS,
				name.EC, name.Key(), nil
			copied.Pct, copied.Total = exact.Range{}, exact.Range{}
			one = &copied
			at[name.Key()] = one
			j.Substances = append(j.Substances, one)
		}
		one.Pct, one.Total = one.Pct.Add(s.Pct), one.Total.Add(s.Total)
		one.Contributions = append(one.Contributions, s.Contributions...)
	}
	for _, s := range j.Substances {
		s.numbers, s.number = j.numbers, j.numbers.number(&Name{merge: s.Key()})
		j.at = append(j.at, placed{Substance: s})
	}
	return j
}

// numberKey is what two names of one substance have in common; "" for none.
func numberKey(s *Substance) string {
	if s.CAS == "" || s.Undeclared {
		return ""
	}
	return casKey(s.CAS, s.Nano)
}

func casKey(cas string, nano bool) string {
	if nano {
		return cas + " (nano)"
	}
	return cas
}
