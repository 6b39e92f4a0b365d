package exposure

import (
	"slices"

	"gallipot/calc/formula"
)

// start is what the margins of one substance have in common, whatever the content: what
// is known of it, its absorption and the point of departure. Nothing of it is changed.
type start struct {
	known      *knowledge
	dermal     Absorption
	absorption Absorption // of skin, or of the mouth where the product is swallowed
	pod        *PoD       // the value used; nil: none usable
	others     []PoD
	sys        float64
	target     formula.Stated
	memory     []MemoryFigure // of these, not read in their source
}

// startKey is what that rests on, where no sheet and no assessor gave a figure.
type startKey struct {
	inci, cas       string
	nano, swallowed bool
}

// startMemory keeps it for a session.
type startMemory struct {
	formula.Memo[startKey, *start]
}

// startOf returns what the margins of a substance begin with.
func (m *Marginer) startOf(inci, cas string, nano bool) *start {
	if sheets, judged := m.stated(inci); sheets != nil || judged != nil {
		return m.start(inci, cas, nano)
	}
	return formula.MemoryOf[startMemory](m.In.Session).Of(startKey{inci, cas, nano, m.exp.Swallowed},
		func() *start { return m.start(inci, cas, nano) })
}

func (m *Marginer) start(inci, cas string, nano bool) *start {
	k := m.known(inci, cas)
	k.nano = nano
	s := &start{known: k, target: *m.fact("mos-target"), dermal: m.dermal(k)}
	s.absorption = s.dermal
	if m.exp.Swallowed {
		s.absorption = m.swallowed(k)
	}
	dermal := s.dermal
	s.choose(m.pods(k, &dermal))
	s.memory = slices.Clip(s.unread(m.exp.Swallowed))
	return s
}

// choose takes the first usable value, unless no dose without effect is assumed for the
// substance.
func (s *start) choose(all []PoD) {
	noThreshold := slices.ContainsFunc(all, func(p PoD) bool { return !p.Threshold })
	for i := range all {
		if s.pod == nil && all[i].Unusable == "" && !noThreshold {
			s.pod = &all[i]
			continue
		}
		s.others = append(s.others, all[i])
	}
	s.others = slices.Clip(s.others)
	if s.pod != nil {
		s.sys = s.pod.Sys
		if s.pod.Target != nil {
			s.target = *s.pod.Target
		}
	}
}

// unread names the figures that a margin starts from and that were not read in their
// source.
func (x *start) unread(swallowed bool) []MemoryFigure {
	var out []MemoryFigure
	add := func(what string, s *formula.Stated) {
		if s.FromMemory() && s.Table != "" {
			out = append(out, MemoryFigure{what, s.Table, s.Row, s.Seen})
		}
	}
	absorption := "dermal absorption"
	if swallowed {
		absorption = "oral absorption"
	}
	add(absorption, &x.absorption.Pct)
	if p := x.pod; p != nil {
		if p.FromMemory() && p.Table != "" {
			out = append(out, MemoryFigure{"point of departure", p.Table, p.Row, p.Seen})
		}
		add("absorption in the study", &p.Systemic)
		add("factor for the effect level", p.LOAELFactor)
		add("factor for the length of the study", p.DurationFactor)
		add("target", &x.target)
	}
	return out
}
