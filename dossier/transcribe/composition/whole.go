package composition

import (
	"strings"

	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/phrases"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
)

// MainIngredient adds the substances that the head of the paper names by INCI name
// and CAS number: one, with its content where one stands behind it, or a list.
func (s *Reader) MainIngredient() {
	if len(s.Out.Composition) > 1 || s.Is("ifra-certificate") || s.Is("allergen-declaration") {
		return
	}
	var named []reading.Constituent
	var cas, ec []string
	for _, l := range s.Labels {
		switch l.Key {
		case "inci":
			if len(named) == 0 && l.Sign && len(strings.Fields(l.Value)) <= 40 {
				named = s.namesOf(l)
			}
		case "cas", "ec", "casec":
			if len(cas) == 0 || len(ec) == 0 {
				c, e, _, _ := pieces.Numbers(l.Value)
				if len(cas) == 0 {
					cas = c
				}
				if len(ec) == 0 {
					ec = e
				}
			}
		}
	}
	if len(named) == 0 {
		return
	}
	for _, k := range s.Out.Composition {
		if k.Name == named[0].Name || len(k.CAS) > 0 {
			return
		}
	}
	if c := &named[0]; len(named) == 1 {
		if len(c.CAS) == 0 {
			c.CAS = append(c.CAS, cas...)
		}
		if len(c.EC) == 0 {
			c.EC = append(c.EC, ec...)
		}
		s.otherEC(c)
	}
	s.Out.Composition = append(named, s.Out.Composition...)
}

// listParts are the signs between the names of a list.
var listParts = pattern.New(`[,;]\s+|\s*\([aA][nN][dD]\)\s*|;`)

// namesOf reads the names behind a label: each with its numbers and, where it ends in
// one, its content.
func (s *Reader) namesOf(l desk.Label) []reading.Constituent {
	var out []reading.Constituent
	parts := listParts.Split(l.Value, -1)
	for _, part := range parts {
		cas, ec, _, rest := pieces.Numbers(part)
		c := reading.Constituent{CAS: append([]string{}, cas...), EC: append([]string{}, ec...), LowIn: true,
			HighIn: true, Status: "not-stated", Printed: pieces.Printed(part), Place: l.Place}
		rest = pieces.CleanName(pieces.WithoutNumberWords(rest))
		for i := range rest {
			if i == 0 || !desk.FigureStart(rest, i) {
				continue
			}
			from := s.SignedAt(rest, i)
			f, after, ok := s.Figures.ParseAt(rest[from:], lexicon.Unit{})
			if !ok {
				from = i
				f, after, ok = s.Figures.ParseAt(rest[i:], lexicon.Unit{})
			}
			if ok && f.Unit.Divisor != 0 && strings.Trim(after, " )].") == "" {
				c.Status = ""
				s.setContent(&c, f)
				rest = pieces.CleanName(strings.TrimRight(rest[:from], " (["))
				break
			}
		}
		if c.Name = s.Unmarked(rest); c.Name == "" || len(strings.Fields(c.Name)) > 10 {
			return nil // no list of names
		}
		c.INCI = c.Name
		out = append(out, c)
	}
	return out
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
