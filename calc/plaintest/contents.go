package plaintest

// substanceContent is one substance in one mixture.
type substanceContent struct {
	Comp, Total, Trace Span
	functions          []string // of what brings it in, traces apart
	scent              bool     // Scents alone bring it in
	certain            bool     // it is there whatever the ranges, traces apart
	ingredient         bool     // a constituent, not only declared or a trace
	traced, counted    bool
	unknown            bool
}

// contents multiplies a mixture out: Σ lines share × content / 100. A declared
// allergen that the same material lists too counts for what it has beyond that.
func (x *Run) contents(m mixture) map[string]*substanceContent {
	out := map[string]*substanceContent{}
	of := func(name string) *substanceContent {
		if out[name] == nil {
			out[name] = &substanceContent{Comp: Nothing(), Total: Nothing(), Trace: Nothing(), scent: true}
		}
		return out[name]
	}
	for _, s := range m.Shares {
		mat, here := x.material(s.Material), map[string]Span{}
		by := Over(s.Pct, Q(100, 1))
		function := mat.Function
		if mat.Scent != "" {
			function = "fragrance"
		}
		for _, p := range x.parts[s.Material] {
			name, pct := x.name(p.Name), p.pct.Times(by)
			e := of(name)
			e.Comp, e.Total = e.Comp.plus(pct), e.Total.plus(pct)
			e.ingredient, e.counted, e.unknown = true, true, p.unknown
			e.certain = e.certain || pct.Lo.Sign() > 0
			e.functions = append(e.functions, function)
			e.scent = e.scent && mat.Scent != ""
			if have, ok := here[name]; ok {
				pct = pct.plus(have)
			}
			here[name] = pct
		}
		for _, d := range mat.Declared {
			name, pct := x.name(d.Name), d.pct.Times(by)
			e := of(name)
			e.certain = e.certain || pct.Lo.Sign() > 0
			if have, ok := here[name]; ok {
				pct = pct.beyond(have)
			}
			e.Total = e.Total.plus(pct)
			e.functions, e.counted = append(e.functions, "fragrance"), true
			e.scent = e.scent && mat.Scent != ""
		}
		for _, t := range mat.Traces {
			e := of(x.name(t.Name))
			pct := t.pct.Times(by)
			e.Total, e.Trace, e.traced = e.Total.plus(pct), e.Trace.plus(pct), true
		}
	}
	return out
}
