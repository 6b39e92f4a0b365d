package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/figure"
)

// mainIngredient adds the substance that the head of the paper names by INCI name
// and CAS number, without a content.
func (s *composer) mainIngredient() {
	if len(s.out.Composition) > 1 || s.is("ifra-certificate") || s.is("allergen-declaration") {
		return
	}
	c := Constituent{CAS: []string{}, EC: []string{}, LowIn: true, HighIn: true, Status: "not-stated"}
	for _, l := range s.labels {
		switch l.key {
		case "inci":
			if c.Name == "" && l.sign && len(strings.Fields(l.value)) <= 10 && l.value != "" {
				c.Name, c.INCI, c.Printed, c.Place = l.value, l.value, l.value, l.place
			}
		case "cas", "ec", "casec":
			if len(c.CAS) == 0 || len(c.EC) == 0 {
				cas, ec, _, _ := numbers(l.value)
				if len(c.CAS) == 0 {
					c.CAS = append(c.CAS, cas...)
				}
				if len(c.EC) == 0 {
					c.EC = append(c.EC, ec...)
				}
			}
		}
	}
	if c.Name == "" {
		return
	}
	for _, k := range s.out.Composition {
		if k.Name == c.Name || len(k.CAS) > 0 {
			return
		}
	}
	s.otherEC(&c)
	s.out.Composition = append([]Constituent{c}, s.out.Composition...)
}

// sums asks where contents cannot add up.
func (s *composer) sums() {
	var lows, highs, typicals []string
	open, bounded, single := false, 0, true
	for _, c := range s.out.Composition {
		if c.Ask != "" {
			open = true
			continue
		}
		if c.Low == nil && c.High == nil {
			open = true
			continue
		}
		bounded++
		lows, highs = append(lows, deref(c.Low)), append(highs, deref(c.High))
		if c.High == nil {
			open = true
		}
		if c.Typical != "" {
			typicals = append(typicals, c.Typical)
		}
		single = single && c.Low != nil && c.High != nil && *c.Low == *c.High
	}
	hundred := figure.Sum("100")
	low, high := figure.Sum(lows...), figure.Sum(highs...)
	switch {
	case hundred.Less(low):
		s.ask("sum-over", Place{}, "sum", low.Exact())
	case bounded >= 3 && !open && high.Less(hundred):
		s.ask("sum-below", Place{}, "sum", high.Exact())
	}
	if t := figure.Sum(typicals...); len(typicals) >= 3 && t.Cmp(hundred) != 0 {
		more := ""
		if len(typicals) < bounded {
			more = " without the rows that give a bound alone"
		}
		s.ask("sum-typical", Place{}, "sum", t.Exact(), "open", more)
	}
	if s.is("sds") && bounded > 0 {
		s.warn("bands-open", Place{})
	}
}
