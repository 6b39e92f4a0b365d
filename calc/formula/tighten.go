package formula

import (
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"slices"
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
func Tighten(given []exact.Range, rest int) (tight []exact.Range, ok bool) {
	rs := append([]exact.Range(nil), given...)
	if rest >= 0 {
		rs[rest] = exact.Range{Min: exact.Num{}, Typ: exact.Num{}, Max: Hundred}
	}
	sum := SumRange(rs)
	if Hundred.Less(sum.Min) || sum.Max.Less(Hundred) {
		return rs, false
	}
	if rest >= 0 {
		rs[rest].Typ = Hundred.Sub(sum.Typ).Max(exact.Num{})
	}
	tight = make([]exact.Range, len(rs))
	for i, r := range rs {
		tight[i].Max = r.Max.Min(Hundred.Sub(sum.Min.Sub(r.Min)))
		tight[i].Min = r.Min.Max(Hundred.Sub(sum.Max.Sub(r.Max)))
		tight[i].Typ = r.Typ.Max(tight[i].Min).Min(tight[i].Max)
	}
	balanceTypical(tight)
	return tight, true
}

func SumRange(rs []exact.Range) exact.Range {
	var sum exact.Range
	for _, r := range rs {
		sum = sum.Add(r)
	}
	return sum
}

func balanceTypical(rs []exact.Range) {
	missing := Hundred.Sub(SumRange(rs).Typ)
	if missing.IsZero() {
		return
	}
	room := func(r exact.Range) exact.Num {
		if missing.Sign() > 0 {
			return r.Max.Sub(r.Typ)
		}
		return r.Typ.Sub(r.Min)
	}
	var total exact.Num
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
	Pct        exact.Range // % of the material
	Given      string      // the content as the sheet gives it
	Nano       bool
	Undeclared bool // the remainder that the supplier has not disclosed
	Pos        exact.Pos

	key    string // substanceKey, where it is known already
	joined bool   // some of it is there: its value names it together with others
	OtherNames
}

// NameKey is the key of a name: of the part's own without making it again.
func (p *Part) NameKey(name string) string {
	if name == p.INCI && !p.Nano && p.key != "" {
		return p.key
	}
	return ingredients.NameKey(name)
}

// Material is a sheet made ready for computing: its parts add up to 100.
type Material struct {
	Sheet    *ingredients.Sheet
	Parts    []Part
	Findings []finding.Finding

	functions  []string // of the sheet, each once
	declared   [][]Name // of Sheet.Allergens.Declared, in its order
	impurities [][]Name // of Sheet.Impurities, in its order
	brings     []coefficient
	Natural    naturalMemo
	identity   identityMemo

	memories
}

// PrepareNames looks up once what every mixture with the material asks for.
func (m *Material) PrepareNames(dict *ingredients.Dictionary) *Material {
	for i, p := range m.Parts {
		m.Parts[i].key = SubstanceKey(p.INCI, p.Nano)
	}
	for _, f := range m.Sheet.Functions {
		if !slices.Contains(m.functions, f) {
			m.functions = append(m.functions, f)
		}
	}
	if d := m.Sheet.Allergens; d != nil {
		for _, a := range d.Declared {
			m.declared = append(m.declared, ReadNames(dict, a.Name, a.CAS, ""))
		}
	}
	for _, t := range m.Sheet.Impurities {
		m.impurities = append(m.impurities, ReadNames(dict, t.Name, t.CAS, ""))
	}
	m.compile()
	return m
}

// Names by which scents enter composition and ingredient list.
const (
	Parfum = "Parfum"
	Aroma  = "Aroma"
)

func ScentName(s *ingredients.Sheet) string {
	if s.LabelAs == ingredients.LabelAroma {
		return Aroma
	}
	return Parfum
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
		m.Parts = []Part{m.undisclosed(exact.Exactly(Hundred))}
		return m.PrepareNames(dict)
	}
	rest := -1
	var given []exact.Range
	var shared [][2]int // parts that stand in one value: from, to
	for _, k := range c.Constituents {
		if k.Pct.Rest {
			rest = len(given)
		}
		list := ReadNames(dict, k.INCI, k.CAS, k.EC)
		if len(list) > 1 {
			shared = append(shared, [2]int{len(given), len(given) + len(list)})
		}
		for i, n := range list {
			m.Parts = append(m.Parts, Part{INCI: n.INCI, CAS: n.cas, EC: n.ec, Given: k.Pct.Text, Nano: k.Nano ||
				n.nano, Pos: k.Pos,
				joined: len(list) > 1 && (k.Pct.Rest || k.Pct.Range.Min.Sign() > 0), OtherNames: n.OtherNames})
			given = append(given, shareOf(k.Pct.Range, i, len(list)))
		}
	}
	if !c.Complete {
		rest = len(given)
		given = append(given, exact.Range{})
		m.Parts = append(m.Parts, m.undisclosed(exact.Range{}))
	}
	tight, ok := Tighten(given, rest)
	if !ok {
		m.Findings = append(m.Findings, impossible(s, given, rest))
	}
	for i := range m.Parts {
		m.Parts[i].Pct = tight[i]
	}
	for _, at := range shared {
		shareTypical(m.Parts[at[0]:at[1]], at[0] == rest)
	}
	if last := len(m.Parts) - 1; !c.Complete && m.Parts[last].Pct.IsZero() {
		m.Parts = m.Parts[:last]
	}
	return m.PrepareNames(dict)
}

// declarationFindings looks at an allergen declaration on its own.
//
// Findings: stop "declared-over-100" when the declared contents make more than
// the material; ask "declared-twice" when a name stands there twice, which adds.
func declarationFindings(s *ingredients.Sheet, dict *ingredients.Dictionary) []finding.Finding {
	if s.Allergens == nil {
		return nil
	}
	var fs []finding.Finding
	var sum exact.Num
	first := map[string]exact.Pos{}
	for _, d := range s.Allergens.Declared {
		sum = sum.Add(d.Pct.Min)
		key := ReadNames(dict, d.Name, d.CAS, "")[0].Key
		if at, known := first[key]; known {
			fs = append(fs, finding.NewFinding(finding.Ask, "declared-twice", d.Pos, With().Name("allergen", d.Name).
				Count("line", at.Line)).OnValue(s.Named()).
				By(s.Asked()).At(d.Pos.File, "allergens.declared", nil))
			continue
		}
		first[key] = d.Pos
	}
	if Hundred.Less(sum) {
		fs = append(fs, finding.NewFinding(finding.Stop, "declared-over-100", s.Allergens.Pos,
			With().Num("sum", sum, "%", finding.AsIs)).OnValue(s.Named()).
			By(finding.TheMaker).At(s.Allergens.Pos.File, "allergens.declared.pct", nil))
	}
	return fs
}

// UndeclaredPart is what stands for the part of a material that the maker knows no names for.
func UndeclaredPart(material string) string { return "undeclared part of " + material }

// undisclosed is the part of a material that the maker knows no names for.
func (m *Material) undisclosed(pct exact.Range) Part {
	s := m.Sheet
	p := Part{INCI: UndeclaredPart(s.ID), Pct: pct, Given: "not supplied", Undeclared: true,
		Pos: s.Composition.Pos}
	if s.IsScent() {
		p.INCI, p.Undeclared, p.Given = ScentName(s), false, "not disclosed"
		p.Pos = s.Pos
		return p
	}
	f := finding.NewFinding(finding.Ask, "undeclared-remainder", p.Pos, With().Name("code", s.Supplier.Code)).
		OnValue(s.Named()).
		By(s.Asked()).At(s.Pos.File, "composition", nil)
	if s.Composition.HeldByAssessor {
		f.Severity = finding.Note
		f = f.As("held").By(finding.TheAssessor)
	}
	m.Findings = append(m.Findings, f)
	return p
}

func SupplierName(s *ingredients.Sheet) string {
	if s.Supplier.Name == "" {
		return "the supplier"
	}
	return s.Supplier.Name
}

func impossible(s *ingredients.Sheet, given []exact.Range, rest int) finding.Finding {
	var lows, highs finding.Values
	sum := exact.Range{}
	for i, r := range given {
		if i == rest {
			continue
		}
		lows = lows.Num("", r.Min, "", finding.AsIs)
		highs = highs.Num("", r.Max, "", finding.AsIs)
		sum = sum.Add(r)
	}
	form, v := "too-little", With().Those("contents", highs).Num("sum", sum.Max, "%", finding.AsIs)
	if Hundred.Less(sum.Min) {
		form, v = "too-much", With().Those("contents", lows).Num("sum", sum.Min, "%", finding.AsIs)
	}
	return finding.NewFinding(finding.Stop, "impossible-composition", s.Composition.Pos, v).As(form).
		OnValue(s.Named()).
		By(finding.TheMaker).At(s.Composition.Pos.File, "composition.constituents.pct", nil)
}

var Hundred = exact.Int(100)

// coefficient is what one statement of a sheet brings of one substance. Contents are
// linear in the share of the material, so that a line of a formula is its coefficients
// times its share.
type coefficient struct {
	name  Name
	route Route
	// content is what the sheet states, tightened; total is what of it counts, since an
	// allergen that stands among the constituents too counts once. % of the material.
	content, total exact.Range
	given          string
	pos            exact.Pos
	undeclared     bool // the undeclared remainder of the material
	present        bool // see [Contribution]
}

// compile lists the coefficients of a material: its parts, then what is declared inside
// of it, then its impurities.
func (m *Material) compile() {
	listed := make(map[string]exact.Range, len(m.Parts))
	m.brings = make([]coefficient, 0, len(m.Parts)+len(m.declared)+len(m.impurities))
	for i := range m.Parts {
		p := &m.Parts[i]
		listed[p.key] = listed[p.key].Add(p.Pct)
		m.brings = append(m.brings, coefficient{name: Name{INCI: p.INCI, merge: p.key, cas: p.CAS, ec: p.EC, nano: p.Nano,
			OtherNames: p.OtherNames}, route: ByComposition, content: p.Pct, total: p.Pct, given: p.Given, pos: p.Pos,
			undeclared: p.Undeclared, present: p.joined})
	}
	if m.Sheet.Allergens != nil {
		for i, d := range m.Sheet.Allergens.Declared {
			for j, n := range m.declared[i] {
				c := coefficient{name: n, route: ByDeclaration, content: shareOf(d.Pct.Range, j, len(m.declared[i])),
					given: d.Pct.Text, pos: d.Pos}
				c.total = c.content
				if have, ok := listed[n.merge]; ok {
					// counted by composition already: widen to what the declaration adds
					c.total = Exceeding(c.content, have)
				}
				m.brings = append(m.brings, c)
			}
		}
	}
	for i, t := range m.Sheet.Impurities {
		for j, n := range m.impurities[i] {
			content := shareOf(t.Amount.Range, j, len(m.impurities[i]))
			m.brings = append(m.brings, coefficient{name: n, route: ByImpurity, content: content, total: content,
				given: t.Amount.Text, pos: t.Pos})
		}
	}
}
