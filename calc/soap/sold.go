package soap

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// reactionID is what the soap of a mixture is called where a material is named.
// It holds a space, so that no sheet can have it as its id.
const reactionID = "lye reaction"

// Saponify turns the mixtures of a recipe into what they are when sold: fats and
// lye become soap and glycerin, water dries off, and all contents are shares of
// what is left. A product that declares no reaction comes back as it is.
//
// The lines that take part become one material of each mixture, whose parts add
// up to 100 like those of any sheet; the input that comes back holds it, so that
// order, limits and exposure see the product as sold. What those sheets say of
// impurities, allergens and toxicology goes with it.
//
//	share as sold = share as poured × 100 / (100 − water loss)
//
// Findings: stop "no-lye", "no-fat", "wrong-alkali", "lye-excess", "water-loss";
// ask "lye-excess-possible", "excess-fat", "soap-name", "fat-unknown". After a
// stop that leaves nothing to compute the mixture comes back as poured.
// Source: see react.
func Saponify(in *formula.Input,
	recipe *formula.Recipe) (*formula.Input, []formula.Mixture, []*Reaction, []finding.Finding) {
	mixtures := recipe.Mixtures()
	if in.Product.Saponify == nil {
		return in, mixtures, nil, nil
	}
	sold := *in
	sold.Materials, sold.Sheets = maps.Clone(in.Materials), maps.Clone(in.Sheets)
	var reactions []*Reaction
	var fs []finding.Finding
	for i, mix := range mixtures {
		r := react(in, mix)
		reactions = append(reactions, r)
		found, computable := r.judge(in, mix)
		fs = append(fs, found...)
		if !computable {
			continue
		}
		m := r.material(in, mix)
		sold.Materials[m.Sheet.ID], sold.Sheets[m.Sheet.ID] = m, m.Sheet
		mixtures[i] = r.sold(in, mix, m)
	}
	return &sold, mixtures, reactions, fs
}

// loss is the water that dries off, % of the poured mixture; 0 where more is
// stated than there is.
func (r *Reaction) loss(in *formula.Input) exact.Num {
	loss := in.Product.Saponify.WaterLossPct
	if r.waterFormed(in).Add(r.water).Typ.Less(loss) {
		return exact.Num{}
	}
	return loss
}

// waterFormed is the water of the free fatty acids that react.
func (r *Reaction) waterFormed(in *formula.Input) (water exact.Range) {
	per := law.Fact(in.Law, "soap-water-per-koh").Number
	for _, f := range r.Fats {
		if f.Kind == trade.FatAcid {
			water = water.Add(f.AlkaliKOH.Scale(per))
		}
	}
	return water
}

// sold replaces the lines that take part by the material they become.
func (r *Reaction) sold(in *formula.Input, mix formula.Mixture, m *formula.Material) formula.Mixture {
	left := formula.Hundred.Sub(r.loss(in))
	out := mix
	out.Shares = []formula.Share{{Ingredient: m.Sheet.ID, Pct: formula.Hundred.Mul(r.mass(in)).Quo(left),
		Phase: r.From[0].Phase, Pos: in.Product.Saponify.Pos}}
	for _, s := range mix.Shares {
		if !slices.ContainsFunc(r.From, func(f formula.Share) bool { return f == s }) {
			s.Pct = formula.Hundred.Mul(s.Pct).Quo(left)
			out.Shares = append(out.Shares, s)
		}
	}
	return out
}

// IsReaction says whether a material of the product as sold is what fats and lye
// become, and no raw material.
func IsReaction(in *formula.Input, id string) bool {
	return strings.HasPrefix(id, reactionID) && in.Product.Saponify != nil
}

// mass is what becomes of the lines that take part, % of the poured mixture.
func (r *Reaction) mass(in *formula.Input) (sum exact.Num) {
	for _, s := range r.From {
		sum = sum.Add(s.Pct)
	}
	return sum.Sub(r.loss(in))
}

// material makes the soap of a mixture into a material.
func (r *Reaction) material(in *formula.Input, mix formula.Mixture) *formula.Material {
	id := reactionID
	if mix.Name != "" {
		id += " of " + mix.Name
	}
	pos := in.Product.Saponify.Pos
	sheet := &ingredients.Sheet{ID: id, Name: "soap from the reaction with lye", LabelAs: ingredients.LabelINCI,
		Form:        "solid",
		Composition: ingredients.Composition{Complete: true, Pos: pos}, Pos: pos}
	m := &formula.Material{Sheet: sheet}
	mass := r.mass(in)
	ofMass := func(x exact.Range) exact.Range { return x.Scale(formula.Hundred.Quo(mass)) }
	r.carry(in, sheet, mass)
	for _, p := range r.parts(in) {
		p.Pct = ofMass(p.Pct)
		m.Parts = append(m.Parts, p)
	}
	r.leaveTraces(in, sheet, ofMass)
	var given []exact.Range
	for _, p := range m.Parts {
		given = append(given, p.Pct)
	}
	if tight, ok := formula.Tighten(given, -1); ok {
		for i := range m.Parts {
			m.Parts[i].Pct = tight[i]
		}
	}
	r.total(in, m)
	return m.PrepareNames(in.Dict)
}

// parts lists what is left of fats and lye, % of the poured mixture: soaps,
// unreacted fat, glycerin, water, lye that is left over, and what passed through.
func (r *Reaction) parts(in *formula.Input) []formula.Part {
	var parts []formula.Part
	add := func(p formula.Part) {
		if p.Pct.Max.Sign() > 0 {
			parts = append(parts, p)
		}
	}
	var glycerin exact.Range
	perKOH := law.Fact(in.Law, "soap-glycerin-per-koh").Number
	for _, f := range r.Fats {
		for _, p := range r.soaps(in, f) {
			add(p)
		}
		add(formula.Part{INCI: f.INCI, CAS: r.casOf(in, f.INCI), Pct: minusRange(f.Pct, f.Reacted),
			Given: "unreacted: " + f.given(), Pos: f.linePos})
		if f.Kind == trade.FatGlyceride {
			glycerin = glycerin.Add(f.AlkaliKOH.Scale(perKOH))
		}
	}
	name := in.Dict.Canonical("Glycerin")
	add(formula.Part{INCI: name, CAS: r.casOf(in, name), Pct: glycerin, Given: "set free by the lye",
		Pos: in.Product.Saponify.Pos})
	loss := r.loss(in)
	water := r.water.Add(r.waterFormed(in))
	water = exact.Range{Min: water.Min.Sub(loss).Max(exact.Num{}), Typ: water.Typ.Sub(loss),
		Max: water.Max.Sub(loss)}
	aqua := in.Dict.Canonical("Aqua")
	add(formula.Part{INCI: aqua, CAS: r.casOf(in, aqua), Pct: water, Given: "water after drying",
		Pos: in.Product.Saponify.Pos})
	if free := r.free(); free.Typ.Sign() > 0 {
		for _, a := range r.Alkalis {
			add(formula.Part{INCI: a.INCI, CAS: a.alkali.cas, Pct: timesRange(free, a.share).
				Scale(a.alkali.perKOH(in.Law)), Given: "lye left over", Pos: a.linePos})
		}
	}
	return append(parts, r.pass...)
}

// free is the lye that finds no fat, as KOH, % of the poured mixture.
func (r *Reaction) free() exact.Range {
	var zero exact.Num
	return exact.Range{
		Min: r.GivenKOH.Min.Sub(r.TakesKOH.Max).Max(zero), Typ: r.GivenKOH.Typ.Sub(r.TakesKOH.Typ).
			Max(zero), Max: r.GivenKOH.Max.Sub(r.TakesKOH.Min).Max(zero),
	}
}

// leaveTraces enters lye that only may be left over as an impurity: it counts for
// limits and stays out of the ingredient list.
func (r *Reaction) leaveTraces(in *formula.Input, sheet *ingredients.Sheet,
	ofMass func(exact.Range) exact.Range) {
	free := r.free()
	if free.Typ.Sign() > 0 || free.Max.IsZero() {
		return
	}
	for _, a := range r.Alkalis {
		pct := ofMass(timesRange(free, a.share).Scale(a.alkali.perKOH(in.Law)))
		sheet.Impurities = append(sheet.Impurities, ingredients.Impurity{Name: a.INCI, CAS: a.alkali.cas,
			Pos: a.linePos,
			Amount: exact.Amount{Range: pct, Text: "may be left over: saponification values are ranges",
				Pos: a.linePos}})
	}
}

// soaps lists the soaps of one fat, each named as the table has it.
func (r *Reaction) soaps(in *formula.Input, f *FatUse) []formula.Part {
	lessPerKOH := map[string]exact.Num{trade.FatGlyceride: law.Fact(in.Law, "soap-glycerin-per-koh").Number,
		trade.FatAcid: law.Fact(in.Law, "soap-water-per-koh").Number}[f.Kind]
	var parts []formula.Part
	for _, a := range r.Alkalis {
		gain := a.alkali.perKOH(in.Law).Sub(lessPerKOH)
		soap := timesRange(f.Reacted.Add(f.AlkaliKOH.Scale(gain)), a.share)
		p := formula.Part{Given: "from " + f.given(), Pos: f.linePos}
		names := f.soapNames(a.alkali.potassium)
		if len(names) == 0 {
			p.INCI, p.Pct, p.Undeclared = strings.ToLower(strings.Fields(a.INCI)[0])+" soap of "+f.INCI, soap, true
			parts = append(parts, p)
		}
		for _, n := range names {
			p.INCI, p.CAS = in.Dict.Canonical(n.INCI), r.casOf(in, n.INCI)
			p.Pct = timesRange(soap, n.Pct).Scale(exact.Frac(1, 100))
			parts = append(parts, p)
		}
	}
	return parts
}

// soapNames returns the soaps of a fat with shares that add up to 100.
func (f *FatUse) soapNames(potassium bool) []trade.SoapShare {
	if len(f.Rows) == 0 {
		return nil
	}
	soaps := slices.Clone(f.Rows[0].Soaps(potassium))
	if len(soaps) < 2 {
		return soaps
	}
	var given []exact.Range
	for _, s := range soaps {
		given = append(given, s.Pct)
	}
	tight, ok := formula.Tighten(given, -1)
	if !ok { // the pattern names more acids: scale to those with a name
		sum := formula.SumRange(given)
		for i, g := range given {
			tight[i] = exact.Range{Max: formula.Hundred, Typ: formula.Hundred.Mul(g.Typ).Quo(sum.Typ)}
		}
	}
	for i := range soaps {
		soaps[i].Pct = tight[i]
	}
	return soaps
}

func (f *FatUse) given() string {
	text := fmt.Sprintf("%s %% %s, %s mg KOH/g", formula.RangeText(f.Pct), f.Ingredient,
		formula.RangeText(f.MgKOH))
	if f.Own {
		return text + " (own value)"
	}
	var keys []string
	for _, row := range f.Rows {
		keys = append(keys, row.Key)
	}
	return text + " (saponification.csv, " + strings.Join(keys, ", ") + ")"
}

func (r *Reaction) casOf(in *formula.Input, inci string) string {
	if s := in.Dict.Lookup(inci); s != nil && len(s.CAS) > 0 {
		return s.CAS[0]
	}
	return ""
}

// carry takes over what the sheets of the lines say beside their composition.
func (r *Reaction) carry(in *formula.Input, sheet *ingredients.Sheet, mass exact.Num) {
	for _, s := range r.From {
		from := in.Materials[s.Ingredient].Sheet
		share := s.Pct.Quo(mass)
		for _, f := range from.Functions {
			if !slices.Contains(sheet.Functions, f) {
				sheet.Functions = append(sheet.Functions, f)
			}
		}
		for _, i := range from.Impurities {
			i.Amount.Range = i.Amount.Range.Scale(share)
			sheet.Impurities = append(sheet.Impurities, i)
		}
		sheet.Toxicology = append(sheet.Toxicology, from.Toxicology...)
		if d := from.Allergens; d != nil {
			if sheet.Allergens == nil {
				sheet.Allergens = &ingredients.AllergenDeclaration{List: d.List, Dated: d.Dated, Pos: d.Pos}
			}
			if d.List == ingredients.List2003 { // the shorter list answers for the whole
				sheet.Allergens.List = d.List
			}
			for _, a := range d.Declared {
				a.Pct.Range = a.Pct.Range.Scale(share)
				sheet.Allergens.Declared = append(sheet.Allergens.Declared, a)
			}
		}
	}
}

// total sums what the report shows, % of the mixture as sold.
func (r *Reaction) total(in *formula.Input, m *formula.Material) {
	left := formula.Hundred.Sub(r.loss(in))
	ofSold := func(x exact.Range) exact.Range { return x.Scale(r.mass(in).Quo(left)) }
	glycerin, aqua := in.Dict.Canonical("Glycerin"), in.Dict.Canonical("Aqua")
	for _, p := range m.Parts {
		switch pct := ofSold(p.Pct); {
		case strings.HasPrefix(p.Given, "from "):
			r.Soap = r.Soap.Add(pct)
		case strings.HasPrefix(p.Given, "unreacted: "):
			r.UnreactedFat = r.UnreactedFat.Add(pct)
		case p.INCI == glycerin:
			r.Glycerin = r.Glycerin.Add(pct)
		case p.INCI == aqua:
			r.Water = r.Water.Add(pct)
		}
	}
	for _, a := range r.Alkalis {
		r.FreeAlkali = r.FreeAlkali.Add(timesRange(r.free(), a.share).Scale(a.alkali.perKOH(in.Law)).
			Scale(formula.Hundred.Quo(left)))
	}
	for _, x := range []*exact.Range{&r.Soap, &r.UnreactedFat} {
		x.Max = x.Max.Min(formula.Hundred)
	}
}

// minusRange is the range of a − b, where b is a part of a.
func minusRange(a, b exact.Range) exact.Range {
	var zero exact.Num
	return exact.Range{Min: a.Min.Sub(b.Max).Max(zero), Typ: a.Typ.Sub(b.Typ), Max: a.Max.Sub(b.Min)}
}

// timesRange is the range of a × b, neither below 0.
func timesRange(a, b exact.Range) exact.Range {
	return exact.Range{Min: a.Min.Mul(b.Min), Typ: a.Typ.Mul(b.Typ), Max: a.Max.Mul(b.Max)}
}
