package soap

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// DriesPct is what dries off between filling and sale, % of the mass filled; 0 for
// a product that is sold as it is filled.
func DriesPct(p *formula.Product) (pct exact.Num) {
	if p.Saponify != nil {
		pct = p.Saponify.WaterLossPct
	}
	return pct
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

// AlkaliOf returns the lye of a name, or nil.
func AlkaliOf(inci string) *alkali {
	for i := range alkalis {
		if ingredients.NameKey(alkalis[i].inci) == ingredients.NameKey(inci) {
			return &alkalis[i]
		}
	}
	return nil
}

// perKOH returns the mass of an alkali that does the work of 1 g of KOH.
func (a *alkali) perKOH(tables *table.Tables) exact.Num {
	if a.potassium {
		return exact.Int(1)
	}
	return law.Fact(tables, "soap-naoh-per-koh").Number
}

// FatUse is one fat of the mixture as poured and what becomes of it.
type FatUse struct {
	INCI       string
	Ingredient string
	Kind       string       // law.FatGlyceride, law.FatAcid or law.FatWax
	Pct        exact.Range  // % of the poured mixture
	MgKOH      exact.Range  // mg KOH for 1 g of fat
	Own        bool         // the value is the maker's own, from a certificate
	Rows       []*trade.Fat // rows of the table; several where they share a name
	TakesKOH   exact.Range  // % of the poured mixture, as KOH, if all of it reacts
	Reacted    exact.Range  // % of the poured mixture
	AlkaliKOH  exact.Range  // % of the poured mixture, as KOH, that it takes up
	linePos    exact.Pos
}

// Reaction is the balance of lye and fat in one mixture.
type Reaction struct {
	Mixture string // "" for the whole
	Fats    []*FatUse
	// Lye in the mixture and lye that all fat could take up, % of the poured
	// mixture, both as KOH.
	GivenKOH, TakesKOH exact.Range
	// ExcessFatPct is the share of the fat that finds no lye, %; below 0: lye is
	// left over.
	ExcessFatPct exact.Range
	// Needed is the pure alkali for the planned excess of fat by typical values,
	// % of the poured mixture; Safe the most that leaves no free lye at the lowest
	// saponification values. nil where no excess is planned or nothing is known.
	NeededPct, SafePct *exact.Num
	Alkalis            []alkaliUse

	// What is in the mixture as sold, %.
	Soap, Glycerin, UnreactedFat, Water, FreeAlkali exact.Range

	pass  []formula.Part  // what does not react, % of the poured mixture
	water exact.Range     // % of the poured mixture
	From  []formula.Share // lines that take part
}

// alkaliUse is one lye of a mixture.
type alkaliUse struct {
	INCI    string
	Pct     exact.Range // % of the poured mixture, as the pure hydroxide
	koh     exact.Range // the same as KOH
	share   exact.Range // of all lye, by KOH, 0 to 1
	alkali  *alkali
	linePos exact.Pos
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
func react(in *formula.Input, mix formula.Mixture) *Reaction {
	r := &Reaction{Mixture: mix.Name}
	for _, share := range mix.Shares {
		if m := in.Materials[share.Ingredient]; m != nil && takesPart(in, m) {
			r.From = append(r.From, share)
			r.take(in, share, m)
		}
	}
	for _, f := range r.Fats {
		f.TakesKOH = exact.Range{Min: f.Pct.Min.Mul(f.MgKOH.Min), Typ: f.Pct.Typ.Mul(f.MgKOH.Typ),
			Max: f.Pct.Max.Mul(f.MgKOH.Max)}.Scale(exact.Frac(1, 1000))
		if f.Kind == trade.FatWax {
			f.TakesKOH.Min = exact.Num{}
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
func takesPart(in *formula.Input, m *formula.Material) bool {
	if m.Sheet.IsScent() || m.Sheet.FragranceLimits != nil || in.Scents(m.Sheet) {
		return false
	}
	aqua := in.Dict.Canonical("Aqua")
	if len(m.Parts) == 1 && m.Parts[0].INCI == aqua {
		return true
	}
	return slices.ContainsFunc(m.Parts, func(p formula.Part) bool {
		return AlkaliOf(p.INCI) != nil || len(law.FatsOf(in.Law, p.INCI)) > 0 || ownSV(in, m.Sheet.ID) != nil
	})
}

func ownSV(in *formula.Input, ingredient string) *formula.OwnSV {
	for i := range in.Product.Saponify.Values {
		if v := &in.Product.Saponify.Values[i]; v.Ingredient == ingredient {
			return v
		}
	}
	return nil
}

// take sorts the constituents of one line.
func (r *Reaction) take(in *formula.Input, share formula.Share, m *formula.Material) {
	aqua := in.Dict.Canonical("Aqua")
	own := ownSV(in, share.Ingredient)
	for _, p := range m.Parts {
		pct := p.Pct.Pct(share.Pct)
		tableRows := law.FatsOf(in.Law, p.INCI)
		a := AlkaliOf(p.INCI)
		switch {
		case a != nil:
			r.addAlkali(in, a, pct, share.Pos)
		case p.INCI == aqua:
			r.water = r.water.Add(pct)
		case len(tableRows) > 0 || own != nil && !p.Undeclared && in.Law.Words(rows.WordsSoapFat).In(p.INCI):
			f := &FatUse{INCI: p.INCI, Ingredient: share.Ingredient, Kind: trade.FatGlyceride, Pct: pct,
				Rows: tableRows, linePos: share.Pos}
			f.MgKOH = tableSV(tableRows)
			if len(tableRows) > 0 {
				f.Kind = tableRows[0].Kind
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
func tableSV(rows []*trade.Fat) (sv exact.Range) {
	for i, f := range rows {
		if f.SVMin == nil || f.SVMax == nil {
			continue
		}
		one := exact.Range{Min: *f.SVMin, Max: *f.SVMax}
		if i > 0 {
			one = exact.Range{Min: one.Min.Min(sv.Min), Max: one.Max.Max(sv.Max)}
		}
		one.Typ = one.Min.Add(one.Max).Quo(exact.Int(2))
		sv = one
	}
	return sv
}

func (r *Reaction) addAlkali(in *formula.Input, a *alkali, pct exact.Range, pos exact.Pos) {
	koh := pct.Scale(exact.Int(1).Quo(a.perKOH(in.Law)))
	for i := range r.Alkalis {
		if u := &r.Alkalis[i]; u.alkali == a {
			u.Pct, u.koh = u.Pct.Add(pct), u.koh.Add(koh)
			return
		}
	}
	r.Alkalis = append(r.Alkalis, alkaliUse{INCI: in.Dict.Canonical(a.inci), Pct: pct, koh: koh, alkali: a,
		linePos: pos})
}

// degrees sets how much of each fat reacts and how much lye it takes.
func (r *Reaction) degrees() {
	given, takes := r.GivenKOH, r.TakesKOH
	degree := exact.Range{Min: upToOne(given.Min, takes.Max), Typ: upToOne(given.Typ, takes.Typ),
		Max: upToOne(given.Max, takes.Min)}
	for _, f := range r.Fats {
		f.Reacted = exact.Range{Min: f.Pct.Min.Mul(degree.Min), Typ: f.Pct.Typ.Mul(degree.Typ),
			Max: f.Pct.Max.Mul(degree.Max)}
		d := f.TakesKOH
		f.AlkaliKOH = exact.Range{
			Min: d.Min.Mul(upToOne(given.Min, takes.Max.Sub(d.Max).Add(d.Min))),
			Typ: d.Typ.Mul(degree.Typ),
			Max: d.Max.Mul(upToOne(given.Max, takes.Min.Sub(d.Min).Add(d.Max))),
		}
	}
	for i := range r.Alkalis {
		a := &r.Alkalis[i]
		others := exact.Range{Min: given.Min.Sub(a.koh.Min), Max: given.Max.Sub(a.koh.Max)}
		a.share = exact.Range{Min: upToOne(a.koh.Min, a.koh.Min.Add(others.Max)),
			Typ: upToOne(a.koh.Typ, given.Typ), Max: upToOne(a.koh.Max, a.koh.Max.Add(others.Min))}
	}
	if takes.Min.Sign() > 0 {
		excess := func(lye, fat exact.Num) exact.Num {
			return formula.Hundred.Sub(formula.Hundred.Mul(lye).
				Quo(fat))
		}
		r.ExcessFatPct = exact.Range{Min: excess(given.Max, takes.Min), Typ: excess(given.Typ, takes.Typ),
			Max: excess(given.Min, takes.Max)}
	} else if takes.Typ.Sign() > 0 {
		e := formula.Hundred.Sub(formula.Hundred.Mul(given.Typ).Quo(takes.Typ))
		r.ExcessFatPct = exact.Exactly(e)
	}
}

// upToOne returns a / b, at most 1, and 1 where b is 0.
func upToOne(a, b exact.Num) exact.Num {
	if b.Sign() <= 0 || b.Less(a) {
		return exact.Int(1)
	}
	return a.Quo(b)
}
