package calc

import (
	"gallipot/ingredients"
)

// Tighten cuts each range of a complete composition to what the others leave
// possible, and scales the typical values inside the ranges so that they add up
// to 100.
//
//	max(i) ≤ 100 − Σ min(others)      min(i) ≥ 100 − Σ max(others)
//	typical(i) moves towards its upper (or lower) bound in proportion to the
//	room it has there, until Σ typical = 100
//
// A constituent given as q.s. starts with the range 0 to 100 and, for its
// typical value, with what the others leave.
//
// Units: % of the material; one pass is exact, since a single sum is the only
// tie between the contents.
// Errors: ok is false when no contents inside the ranges can add up to 100; the
// ranges are then returned as given.
func Tighten(given []ingredients.Range, rest int) (tight []ingredients.Range, ok bool) {
	rs := append([]ingredients.Range(nil), given...)
	if rest >= 0 {
		rs[rest] = ingredients.Range{Min: ingredients.Num{}, Typ: ingredients.Num{}, Max: hundred}
	}
	sum := sumRange(rs)
	if hundred.Less(sum.Min) || sum.Max.Less(hundred) {
		return rs, false
	}
	if rest >= 0 {
		rs[rest].Typ = hundred.Sub(sum.Typ).Max(ingredients.Num{})
	}
	tight = make([]ingredients.Range, len(rs))
	for i, r := range rs {
		tight[i].Max = r.Max.Min(hundred.Sub(sum.Min.Sub(r.Min)))
		tight[i].Min = r.Min.Max(hundred.Sub(sum.Max.Sub(r.Max)))
		tight[i].Typ = r.Typ.Max(tight[i].Min).Min(tight[i].Max)
	}
	balanceTypical(tight)
	return tight, true
}

func sumRange(rs []ingredients.Range) ingredients.Range {
	var sum ingredients.Range
	for _, r := range rs {
		sum = sum.Add(r)
	}
	return sum
}

func balanceTypical(rs []ingredients.Range) {
	missing := hundred.Sub(sumRange(rs).Typ)
	if missing.IsZero() {
		return
	}
	room := func(r ingredients.Range) ingredients.Num {
		if missing.Sign() > 0 {
			return r.Max.Sub(r.Typ)
		}
		return r.Typ.Sub(r.Min)
	}
	var total ingredients.Num
	for _, r := range rs {
		total = total.Add(room(r))
	}
	for i, r := range rs {
		rs[i].Typ = r.Typ.Add(missing.Mul(room(r)).Quo(total))
	}
}

// Part is one constituent of a material after tightening.
type Part struct {
	INCI       string // canonical name; the sheet's wording where the dictionary knows none
	CAS, EC    string
	Pct        ingredients.Range // % of the material
	Given      string            // the content as the sheet gives it
	Nano       bool
	Undeclared bool // the remainder that the supplier has not disclosed
	Pos        ingredients.Pos

	key    string // substanceKey, where it is known already
	joined bool   // some of it is there: its value names it together with others
	otherNames
}

// Material is a sheet made ready for computing: its parts add up to 100.
type Material struct {
	Sheet    *ingredients.Sheet
	Parts    []Part
	Findings []ingredients.Finding

	declared   [][]name // of Sheet.Allergens.Declared, in its order
	impurities [][]name // of Sheet.Impurities, in its order
	natural    naturalMemo
	identity   identityMemo
}

// prepareNames looks up once what every mixture with the material asks for.
func (m *Material) prepareNames(dict *ingredients.Dictionary) *Material {
	for i, p := range m.Parts {
		m.Parts[i].key = substanceKey(p.INCI, p.Nano)
	}
	if d := m.Sheet.Allergens; d != nil {
		for _, a := range d.Declared {
			m.declared = append(m.declared, readNames(dict, a.Name, a.CAS, ""))
		}
	}
	for _, t := range m.Sheet.Impurities {
		m.impurities = append(m.impurities, readNames(dict, t.Name, t.CAS, ""))
	}
	return m
}

// Names by which scents enter composition and ingredient list.
const (
	parfum = "Parfum"
	aroma  = "Aroma"
)

func scentName(s *ingredients.Sheet) string {
	if s.LabelAs == ingredients.LabelAroma {
		return aroma
	}
	return parfum
}

// Prepare tightens the composition of a sheet and adds what is undeclared.
//
// A scent without a composition is Parfum or Aroma as a whole; what a scent does
// not disclose stays under that name. The undeclared remainder of any other
// material becomes a part of its own, since missing is never zero.
//
// Findings: stop "impossible-composition" with the arithmetic; ask
// "undeclared-remainder".
func Prepare(s *ingredients.Sheet, dict *ingredients.Dictionary) *Material {
	m := &Material{Sheet: s, Findings: declarationFindings(s, dict)}
	c := s.Composition
	if len(c.Constituents) == 0 {
		m.Parts = []Part{m.undisclosed(ingredients.Exactly(hundred))}
		return m.prepareNames(dict)
	}
	rest := -1
	var given []ingredients.Range
	var shared []int // places of parts that stand in one value
	for _, k := range c.Constituents {
		if k.Pct.Rest {
			rest = len(given)
		}
		list := readNames(dict, k.INCI, k.CAS, k.EC)
		for i, n := range list {
			if len(list) > 1 {
				shared = append(shared, len(given))
			}
			m.Parts = append(m.Parts, Part{INCI: n.inci, CAS: n.cas, EC: n.ec, Given: k.Pct.Text, Nano: k.Nano || n.nano, Pos: k.Pos,
				joined: len(list) > 1 && (k.Pct.Rest || k.Pct.Range.Min.Sign() > 0), otherNames: n.otherNames})
			given = append(given, shareOf(k.Pct.Range, i, len(list)))
		}
	}
	if !c.Complete {
		rest = len(given)
		given = append(given, ingredients.Range{})
		m.Parts = append(m.Parts, m.undisclosed(ingredients.Range{}))
	}
	tight, ok := Tighten(given, rest)
	if !ok {
		m.Findings = append(m.Findings, impossible(s, given, rest))
	}
	for i := range m.Parts {
		m.Parts[i].Pct = tight[i]
	}
	m.shareRest(shared)
	if last := len(m.Parts) - 1; !c.Complete && m.Parts[last].Pct.IsZero() {
		m.Parts = m.Parts[:last]
	}
	return m.prepareNames(dict)
}

// declarationFindings looks at an allergen declaration on its own.
//
// Findings: stop "declared-over-100" when the declared contents make more than
// the material; ask "declared-twice" when a name stands there twice, which adds.
func declarationFindings(s *ingredients.Sheet, dict *ingredients.Dictionary) []ingredients.Finding {
	if s.Allergens == nil {
		return nil
	}
	var fs []ingredients.Finding
	var sum ingredients.Num
	first := map[string]ingredients.Pos{}
	for _, d := range s.Allergens.Declared {
		sum = sum.Add(d.Pct.Min)
		key := readNames(dict, d.Name, d.CAS, "")[0].key
		if at, known := first[key]; known {
			fs = append(fs, ingredients.NewFinding(ingredients.Ask, "declared-twice", d.Pos, with().Name("allergen", d.Name).Count("line", at.Line)).OnValue(s.Named()).
				By(s.Asked()).At(d.Pos.File, "allergens.declared", nil))
			continue
		}
		first[key] = d.Pos
	}
	if hundred.Less(sum) {
		fs = append(fs, ingredients.NewFinding(ingredients.Stop, "declared-over-100", s.Allergens.Pos, with().Num("sum", sum, "%", ingredients.AsIs)).OnValue(s.Named()).
			By(ingredients.TheMaker).At(s.Allergens.Pos.File, "allergens.declared.pct", nil))
	}
	return fs
}

// undisclosed is the part of a material that the maker knows no names for.
func (m *Material) undisclosed(pct ingredients.Range) Part {
	s := m.Sheet
	p := Part{INCI: "undeclared part of " + s.ID, Pct: pct, Given: "not supplied", Undeclared: true, Pos: s.Composition.Pos}
	if s.IsScent() {
		p.INCI, p.Undeclared, p.Given = scentName(s), false, "not disclosed"
		p.Pos = s.Pos
		return p
	}
	f := ingredients.NewFinding(ingredients.Ask, "undeclared-remainder", p.Pos, with().Name("code", s.Supplier.Code)).OnValue(s.Named()).
		By(s.Asked()).At(s.Pos.File, "composition", nil)
	if s.Composition.HeldByAssessor {
		f.Severity = ingredients.Note
		f = f.As("held").By(ingredients.TheAssessor)
	}
	m.Findings = append(m.Findings, f)
	return p
}

func supplierName(s *ingredients.Sheet) string {
	if s.Supplier.Name == "" {
		return "the supplier"
	}
	return s.Supplier.Name
}

func impossible(s *ingredients.Sheet, given []ingredients.Range, rest int) ingredients.Finding {
	var lows, highs ingredients.Values
	sum := ingredients.Range{}
	for i, r := range given {
		if i == rest {
			continue
		}
		lows = lows.Num("", r.Min, "", ingredients.AsIs)
		highs = highs.Num("", r.Max, "", ingredients.AsIs)
		sum = sum.Add(r)
	}
	form, v := "too-little", with().Those("contents", highs).Num("sum", sum.Max, "%", ingredients.AsIs)
	if hundred.Less(sum.Min) {
		form, v = "too-much", with().Those("contents", lows).Num("sum", sum.Min, "%", ingredients.AsIs)
	}
	return ingredients.NewFinding(ingredients.Stop, "impossible-composition", s.Composition.Pos, v).As(form).OnValue(s.Named()).
		By(ingredients.TheMaker).At(s.Composition.Pos.File, "composition.constituents.pct", nil)
}
