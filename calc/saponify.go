package calc

import (
	"slices"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Saponification says that the fats of a formula react with lye. The lye is a
// line of the formula like any other: one mass is weighed, and what it does is
// computed.
type Saponification struct {
	Alkali       []string         // NaOH, KOH or both
	ExcessFatPct *ingredients.Num // % of the fat meant to stay unreacted; nil: not stated
	WaterLossPct ingredients.Num  // % of the poured mass that dries off before sale
	Values       []OwnSV          // saponification values of the lots in hand
	Pos          ingredients.Pos
}

// DriesPct is what dries off between filling and sale, % of the mass filled; 0 for
// a product that is sold as it is filled.
func (p *Product) DriesPct() (pct ingredients.Num) {
	if p.Saponify != nil {
		pct = p.Saponify.WaterLossPct
	}
	return pct
}

// OwnSV is a saponification value from a supplier's certificate. It replaces
// the table's for the fats of one material.
type OwnSV struct {
	Ingredient string
	MgKOH      ingredients.Range // mg KOH for 1 g of fat
	Pos        ingredients.Pos
}

// alkali is a lye that the formula may hold.
type alkali struct {
	inci, short, cas string
	potassium        bool
}

var alkalis = []alkali{
	{"Sodium Hydroxide", "NaOH", "1310-73-2", false},
	{"Potassium Hydroxide", "KOH", "1310-58-3", true},
}

// alkaliOf returns the lye of a name, or nil.
func alkaliOf(inci string) *alkali {
	for i := range alkalis {
		if ingredients.NameKey(alkalis[i].inci) == ingredients.NameKey(inci) {
			return &alkalis[i]
		}
	}
	return nil
}

// perKOH returns the mass of an alkali that does the work of 1 g of KOH.
func (a *alkali) perKOH(tables *law.Tables) ingredients.Num {
	if a.potassium {
		return ingredients.Int(1)
	}
	return tables.Fact("soap-naoh-per-koh").Number
}

// FatUse is one fat of the mixture as poured and what becomes of it.
type FatUse struct {
	INCI       string
	Ingredient string
	Kind       string            // law.FatGlyceride, law.FatAcid or law.FatWax
	Pct        ingredients.Range // % of the poured mixture
	MgKOH      ingredients.Range // mg KOH for 1 g of fat
	Own        bool              // the value is the maker's own, from a certificate
	Rows       []*law.Fat        // rows of the table; several where they share a name
	TakesKOH   ingredients.Range // % of the poured mixture, as KOH, if all of it reacts
	Reacted    ingredients.Range // % of the poured mixture
	alkaliKOH  ingredients.Range // % of the poured mixture, as KOH, that it takes up
	linePos    ingredients.Pos
}

// Reaction is the balance of lye and fat in one mixture.
type Reaction struct {
	Mixture string // "" for the whole
	Fats    []*FatUse
	// Lye in the mixture and lye that all fat could take up, % of the poured
	// mixture, both as KOH.
	GivenKOH, TakesKOH ingredients.Range
	// ExcessFatPct is the share of the fat that finds no lye, %; below 0: lye is
	// left over.
	ExcessFatPct ingredients.Range
	// Needed is the pure alkali for the planned excess of fat by typical values,
	// % of the poured mixture; Safe the most that leaves no free lye at the lowest
	// saponification values. nil where no excess is planned or nothing is known.
	NeededPct, SafePct *ingredients.Num
	Alkalis            []AlkaliUse

	// What is in the mixture as sold, %.
	Soap, Glycerin, UnreactedFat, Water, FreeAlkali ingredients.Range

	pass  []Part            // what does not react, % of the poured mixture
	water ingredients.Range // % of the poured mixture
	from  []Share           // lines that take part
}

// AlkaliUse is one lye of a mixture.
type AlkaliUse struct {
	INCI    string
	Pct     ingredients.Range // % of the poured mixture, as the pure hydroxide
	koh     ingredients.Range // the same as KOH
	share   ingredients.Range // of all lye, by KOH, 0 to 1
	alkali  *alkali
	linePos ingredients.Pos
}

// react works out how far the lye of a mixture goes.
//
//	fat i takes    d(i) = fat(i) × SV(i) / 1000                as KOH
//	degree         φ = lye / Σ d, at most 1, the same for all fats
//	lye used by i  a(i) = d(i) × φ
//	soap of i      fat(i) × φ + lye used − glycerin (or water of a free acid)
//	glycerin       a(i) × 92.09 / 168.33
//	free lye       lye − Σ d, where above 0
//
// Ranges hold every combination of contents and saponification values. Waxes
// react slowly and in part, so that their lowest demand is 0: the cautious side
// for free lye. That all fats react to the same degree is an assumption; which
// one is left over is not known.
//
// Units: % of the mixture as poured; exact, so that the typical contents add up.
// Source: saponification.csv; molar masses in facts.csv, rows soap-…; worked
// cases in testdata/published/saponification.csv.
func react(in *Input, mix Mixture) *Reaction {
	r := &Reaction{Mixture: mix.Name}
	for _, share := range mix.Shares {
		if m := in.Materials[share.Ingredient]; m != nil && takesPart(in, m) {
			r.from = append(r.from, share)
			r.take(in, share, m)
		}
	}
	for _, f := range r.Fats {
		f.TakesKOH = ingredients.Range{Min: f.Pct.Min.Mul(f.MgKOH.Min), Typ: f.Pct.Typ.Mul(f.MgKOH.Typ), Max: f.Pct.Max.Mul(f.MgKOH.Max)}.Scale(ingredients.Frac(1, 1000))
		if f.Kind == law.FatWax {
			f.TakesKOH.Min = ingredients.Num{}
		}
		r.TakesKOH = r.TakesKOH.Add(f.TakesKOH)
	}
	for _, a := range r.Alkalis {
		r.GivenKOH = r.GivenKOH.Add(a.koh)
	}
	r.degrees()
	return r
}

// takesPart says whether a material reacts or is the water that dries off: one
// with a fat or lye in it, and plain water. Scents are added for their own sake.
func takesPart(in *Input, m *Material) bool {
	if m.Sheet.IsScent() || m.Sheet.FragranceLimits != nil || in.scents(m.Sheet) {
		return false
	}
	aqua := in.Dict.Canonical("Aqua")
	if len(m.Parts) == 1 && m.Parts[0].INCI == aqua {
		return true
	}
	return slices.ContainsFunc(m.Parts, func(p Part) bool {
		return alkaliOf(p.INCI) != nil || len(in.Law.FatsOf(p.INCI)) > 0 || ownSV(in, m.Sheet.ID) != nil
	})
}

func ownSV(in *Input, ingredient string) *OwnSV {
	for i := range in.Product.Saponify.Values {
		if v := &in.Product.Saponify.Values[i]; v.Ingredient == ingredient {
			return v
		}
	}
	return nil
}

// take sorts the constituents of one line.
func (r *Reaction) take(in *Input, share Share, m *Material) {
	aqua := in.Dict.Canonical("Aqua")
	own := ownSV(in, share.Ingredient)
	for _, p := range m.Parts {
		pct := p.Pct.Pct(share.Pct)
		rows := in.Law.FatsOf(p.INCI)
		a := alkaliOf(p.INCI)
		switch {
		case a != nil:
			r.addAlkali(in, a, pct, share.Pos)
		case p.INCI == aqua:
			r.water = r.water.Add(pct)
		case len(rows) > 0 || own != nil && !p.Undeclared && in.Law.Words(law.WordsSoapFat).In(p.INCI):
			f := &FatUse{INCI: p.INCI, Ingredient: share.Ingredient, Kind: law.FatGlyceride, Pct: pct, Rows: rows, linePos: share.Pos}
			f.MgKOH = tableSV(rows)
			if len(rows) > 0 {
				f.Kind = rows[0].Kind
			}
			if own != nil {
				f.MgKOH, f.Own = own.MgKOH, true
			}
			r.Fats = append(r.Fats, f)
		default:
			p.Pct = pct
			r.pass = append(r.pass, p)
		}
	}
}

// tableSV covers the rows that share a name; the middle is the typical value.
func tableSV(rows []*law.Fat) (sv ingredients.Range) {
	for i, f := range rows {
		if f.SVMin == nil || f.SVMax == nil {
			continue
		}
		one := ingredients.Range{Min: *f.SVMin, Max: *f.SVMax}
		if i > 0 {
			one = ingredients.Range{Min: one.Min.Min(sv.Min), Max: one.Max.Max(sv.Max)}
		}
		one.Typ = one.Min.Add(one.Max).Quo(ingredients.Int(2))
		sv = one
	}
	return sv
}

func (r *Reaction) addAlkali(in *Input, a *alkali, pct ingredients.Range, pos ingredients.Pos) {
	koh := pct.Scale(ingredients.Int(1).Quo(a.perKOH(in.Law)))
	for i := range r.Alkalis {
		if u := &r.Alkalis[i]; u.alkali == a {
			u.Pct, u.koh = u.Pct.Add(pct), u.koh.Add(koh)
			return
		}
	}
	r.Alkalis = append(r.Alkalis, AlkaliUse{INCI: in.Dict.Canonical(a.inci), Pct: pct, koh: koh, alkali: a, linePos: pos})
}

// degrees sets how much of each fat reacts and how much lye it takes.
func (r *Reaction) degrees() {
	given, takes := r.GivenKOH, r.TakesKOH
	degree := ingredients.Range{Min: upToOne(given.Min, takes.Max), Typ: upToOne(given.Typ, takes.Typ), Max: upToOne(given.Max, takes.Min)}
	for _, f := range r.Fats {
		f.Reacted = ingredients.Range{Min: f.Pct.Min.Mul(degree.Min), Typ: f.Pct.Typ.Mul(degree.Typ), Max: f.Pct.Max.Mul(degree.Max)}
		d := f.TakesKOH
		f.alkaliKOH = ingredients.Range{
			Min: d.Min.Mul(upToOne(given.Min, takes.Max.Sub(d.Max).Add(d.Min))),
			Typ: d.Typ.Mul(degree.Typ),
			Max: d.Max.Mul(upToOne(given.Max, takes.Min.Sub(d.Min).Add(d.Max))),
		}
	}
	for i := range r.Alkalis {
		a := &r.Alkalis[i]
		others := ingredients.Range{Min: given.Min.Sub(a.koh.Min), Max: given.Max.Sub(a.koh.Max)}
		a.share = ingredients.Range{Min: upToOne(a.koh.Min, a.koh.Min.Add(others.Max)), Typ: upToOne(a.koh.Typ, given.Typ), Max: upToOne(a.koh.Max, a.koh.Max.Add(others.Min))}
	}
	if takes.Min.Sign() > 0 {
		excess := func(lye, fat ingredients.Num) ingredients.Num { return hundred.Sub(hundred.Mul(lye).Quo(fat)) }
		r.ExcessFatPct = ingredients.Range{Min: excess(given.Max, takes.Min), Typ: excess(given.Typ, takes.Typ), Max: excess(given.Min, takes.Max)}
	} else if takes.Typ.Sign() > 0 {
		e := hundred.Sub(hundred.Mul(given.Typ).Quo(takes.Typ))
		r.ExcessFatPct = ingredients.Exactly(e)
	}
}

// upToOne returns a / b, at most 1, and 1 where b is 0.
func upToOne(a, b ingredients.Num) ingredients.Num {
	if b.Sign() <= 0 || b.Less(a) {
		return ingredients.Int(1)
	}
	return a.Quo(b)
}
