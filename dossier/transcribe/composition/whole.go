package composition

import (
	"strings"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/phrases"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// MainIngredient adds the substance that the head of the paper names by INCI name
// and CAS number, without a content.
func (s *Reader) MainIngredient() {
	if len(s.Out.Composition) > 1 || s.Is("ifra-certificate") || s.Is("allergen-declaration") {
		return
	}
	c := reading.Constituent{CAS: []string{}, EC: []string{}, LowIn: true, HighIn: true, Status: "not-stated"}
	for _, l := range s.Labels {
		switch l.Key {
		case "inci":
			if c.Name == "" && l.Sign && len(strings.Fields(l.Value)) <= 10 && l.Value != "" {
				c.Name, c.INCI, c.Printed, c.Place = l.Value, l.Value, l.Value, l.Place
			}
		case "cas", "ec", "casec":
			if len(c.CAS) == 0 || len(c.EC) == 0 {
				cas, ec, _, _ := pieces.Numbers(l.Value)
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
	for _, k := range s.Out.Composition {
		if k.Name == c.Name || len(k.CAS) > 0 {
			return
		}
	}
	s.otherEC(&c)
	s.Out.Composition = append([]reading.Constituent{c}, s.Out.Composition...)
}

// Sums asks where contents cannot add up.
func (s *Reader) Sums() {
	var lows, highs, typicals []string
	open, bounded, single := false, 0, true
	for _, c := range s.Out.Composition {
		if c.Ask != "" {
			open = true
			continue
		}
		if c.Low == nil && c.High == nil {
			open = true
			continue
		}
		bounded++
		lows, highs = append(lows, reading.ValueOf(c.Low)), append(highs, reading.ValueOf(c.High))
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
		s.Ask("sum-over", reading.Place{}, "sum", low.Exact())
	case bounded >= 3 && !open && high.Less(hundred):
		s.Ask("sum-below", reading.Place{}, "sum", high.Exact())
	}
	if t := figure.Sum(typicals...); len(typicals) >= 3 && t.Cmp(hundred) != 0 {
		more := ""
		if len(typicals) < bounded {
			more = phrases.Questions().Say("sum-typical-open")
		}
		s.Ask("sum-typical", reading.Place{}, "sum", t.Exact(), "open", more)
	}
	if s.Is("sds") && bounded > 0 {
		s.Warn("bands-open", reading.Place{})
	}
}
