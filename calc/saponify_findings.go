package calc

import (
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// judge says what is wrong with lye and fats, works out how much lye is wanted,
// and whether the mixture as sold can be computed.
func (r *Reaction) judge(in *Input, mix Mixture) (fs []ingredients.Finding, computable bool) {
	s := in.Product.Saponify
	where := ""
	if mix.Name != "" {
		where = " in " + mix.Name
	}
	if len(r.Fats) == 0 {
		return []ingredients.Finding{ingredients.Findingf(ingredients.Stop, "no-fat", s.Pos, "a reaction with lye is stated, and no oil, butter or wax of the tables is in the formula%s", where).
			On(in.Product.ID).WithFix("check the INCI names of the fats, or enter their saponification values under saponify: values")}, false
	}
	r.want(in)
	fs = append(fs, r.strangeFats(in, mix)...)
	if len(r.Alkalis) == 0 {
		return append(fs, r.noLye(in, where)), false
	}
	for _, a := range r.Alkalis {
		if !slices.Contains(s.Alkali, a.alkali.short) {
			fs = append(fs, ingredients.Findingf(ingredients.Stop, "wrong-alkali", a.linePos, "%s is in the formula, and saponify names %s", a.INCI, strings.Join(s.Alkali, " and ")).
				On(a.INCI).WithFix("write alkali: %s if this lye is meant; the two are not alike by mass", a.alkali.short))
		}
	}
	fs = append(fs, r.lyeFindings(in, where)...)
	if s.WaterLossPct.Sign() > 0 && r.loss(in).IsZero() {
		fs = append(fs, ingredients.Findingf(ingredients.Stop, "water-loss", s.Pos, "%s %% is said to dry off%s, and the water of the lines that react is %s %%",
			s.WaterLossPct.Exact(), where, r.water.Add(r.waterFormed(in)).Typ.Sig(4)).On("water_loss_pct").
			WithFix("write the loss as per cent of the mass poured, found by weighing bars before and after"))
	}
	return append(fs, r.unnamed(in)...), true
}

// want works out the lye for the planned excess of fat, and the most lye that
// is safe at the lowest saponification values. Both are for the first alkali
// stated, as pure hydroxide.
func (r *Reaction) want(in *Input) {
	s := in.Product.Saponify
	per := ingredients.Int(1)
	if len(s.Alkali) > 0 {
		for i := range alkalis {
			if alkalis[i].short == s.Alkali[0] {
				per = alkalis[i].perKOH(in.Law)
			}
		}
	}
	safe := r.TakesKOH.Min.Mul(per)
	r.SafePct = &safe
	if s.ExcessFatPct != nil {
		n := r.TakesKOH.Typ.Mul(per).Pct(hundred.Sub(*s.ExcessFatPct))
		r.NeededPct = &n
	}
}

// lyeText names how much pure lye the formula takes, per 100 of it as it stands.
func (r *Reaction) lyeText(in *Input) string {
	name := "alkali"
	if s := in.Product.Saponify; len(s.Alkali) > 0 {
		name = s.Alkali[0]
	}
	text := "at most " + downTo(*r.SafePct) + " % pure " + name + " leaves no free lye at the lowest saponification values"
	if r.NeededPct != nil {
		text = r.NeededPct.Sig(4) + " % pure " + name + " leaves " + in.Product.Saponify.ExcessFatPct.Exact() + " % of the fat by middle values; " + text
	}
	return text + "; divide by the purity of the lye"
}

// downTo rounds down to four decimals: what is printed as the most must hold.
func downTo(n ingredients.Num) string {
	step := ingredients.Frac(1, 10_000)
	return n.Quo(step).Floor().Mul(step).Exact()
}

func (r *Reaction) noLye(in *Input, where string) ingredients.Finding {
	return ingredients.Findingf(ingredients.Stop, "no-lye", in.Product.Saponify.Pos, "a reaction with lye is stated, and no lye is in the formula%s", where).
		On(in.Product.ID).
		WithFix("write a sheet of the lye and a line for it; of the formula as it stands, %s", r.lyeText(in))
}

// lyeFindings compares the lye given with the lye the fats can take.
func (r *Reaction) lyeFindings(in *Input, where string) []ingredients.Finding {
	given, takes := r.GivenKOH, r.TakesKOH
	why := "free lye burns; saponification values in " + strings.Join(r.sources(), ", ") + "; as KOH " + rangeText(given) + " % given, " + rangeText(takes) + " % taken up"
	pos := r.Alkalis[0].linePos
	switch {
	case takes.Typ.Less(given.Typ):
		f := ingredients.Findingf(ingredients.Stop, "lye-excess", pos, "more lye than the fats can take up%s: %s %% of it stays free by middle saponification values", where, hundred.Mul(given.Typ.Sub(takes.Typ)).Quo(given.Typ).Sig(3)).
			On(r.Alkalis[0].INCI).WithWhy("%s", why).WithFix("do not make this batch; lower the lye: %s", r.lyeText(in))
		f.Sum = r.terms()
		return []ingredients.Finding{f}
	case takes.Min.Less(given.Max):
		f := ingredients.Findingf(ingredients.Ask, "lye-excess-possible", pos, "at the lowest saponification values lye would stay free%s: the fat left over is %s %%, a figure below 0 means free lye", where, rangeText(r.ExcessFatPct)).
			On(r.Alkalis[0].INCI).AskOf("the supplier of "+strings.Join(r.widest(), " and ")).WithWhy("%s", why).
			WithFix("ask for the saponification value of the lot of %s and enter it under saponify: values, or lower the lye: %s", strings.Join(r.widest(), " and "), r.lyeText(in))
		f.Sum = r.terms()
		return []ingredients.Finding{f}
	}
	planned := in.Product.Saponify.ExcessFatPct
	if planned != nil && (planned.Less(r.ExcessFatPct.Min) || r.ExcessFatPct.Max.Less(*planned)) {
		f := ingredients.Findingf(ingredients.Ask, "excess-fat", pos, "%s %% of the fat is meant to stay%s, and this lye leaves %s %%", planned.Exact(), where, rangeText(r.ExcessFatPct)).
			On("excess_fat_pct").WithWhy("%s", why).WithFix("change the lye or excess_fat_pct: %s", r.lyeText(in))
		f.Sum = r.terms()
		return []ingredients.Finding{f}
	}
	return nil
}

func (r *Reaction) terms() []ingredients.Term {
	var terms []ingredients.Term
	for _, f := range r.Fats {
		terms = append(terms, ingredients.Term{Pos: f.linePos, Text: "takes " + rangeText(f.TakesKOH) + " % KOH: " + f.given()})
	}
	return terms
}

// sources names the rows the saponification values come from.
func (r *Reaction) sources() []string {
	var out []string
	for _, f := range r.Fats {
		text := "saponify: values"
		if !f.Own {
			for _, row := range f.Rows {
				mark := ""
				if row.FromMemory() {
					mark = " (memory)"
				}
				text = "saponification.csv row " + row.Key + mark
				if !slices.Contains(out, text) {
					out = append(out, text)
				}
			}
			continue
		}
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}

// widest names the materials whose saponification values leave most open.
func (r *Reaction) widest() []string {
	var ids []string
	var most ingredients.Num
	for _, f := range r.Fats {
		switch open := f.TakesKOH.Max.Sub(f.TakesKOH.Min); {
		case most.Less(open):
			ids, most = []string{f.Ingredient}, open
		case open.Equal(most) && !slices.Contains(ids, f.Ingredient):
			ids = append(ids, f.Ingredient)
		}
	}
	return ids
}

// unnamed asks for the names of soaps that the table does not confirm.
func (r *Reaction) unnamed(in *Input) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, f := range r.Fats {
		for _, a := range r.Alkalis {
			if len(f.soapNames(a.alkali.potassium)) == 0 {
				fs = append(fs, ingredients.Findingf(ingredients.Ask, "soap-name", f.linePos, "the name of the soap of %s with %s is not in the tables: the list cannot be printed", f.INCI, a.alkali.short).
					On(f.INCI).AskOf("the supplier or the assessor").WithFix("ask for the glossary name of that soap"))
			}
		}
	}
	return fs
}

// strangeFats asks about oils, butters and waxes that the table has no value for.
func (r *Reaction) strangeFats(in *Input, mix Mixture) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, s := range mix.Shares {
		m := in.Materials[s.Ingredient]
		if m == nil || m.Sheet.IsScent() || m.Sheet.FragranceLimits != nil || in.scents(m.Sheet) || ownSV(in, s.Ingredient) != nil {
			continue
		}
		for _, p := range m.Parts {
			fatty := in.Law.Words(law.WordsFatEnding).In(p.INCI)
			if fatty && len(in.Law.FatsOf(p.INCI)) == 0 {
				fs = append(fs, ingredients.Findingf(ingredients.Ask, "fat-unknown", s.Pos, "%s in %s has no saponification value in the tables: it is counted as taking up no lye", p.INCI, s.Ingredient).
					On(p.INCI).AskOf(m.Sheet.Supplier.Name).WithWhy("saponification.csv has no row for it").
					WithFix("enter the value of the supplier's certificate: saponify: {values: [{ingredient: %s, mg_koh_g: …}]}", s.Ingredient))
			}
		}
	}
	return fs
}

// FromMemory says whether a saponification value behind the reaction was not
// read in its source.
func (r *Reaction) FromMemory() bool {
	return slices.ContainsFunc(r.Fats, func(f *FatUse) bool {
		return !f.Own && slices.ContainsFunc(f.Rows, func(row *law.Fat) bool { return row.FromMemory() })
	})
}
