package calc

import (
	"slices"

	"gallipot/calc/law"
	"gallipot/ingredients"
	"gallipot/ingredients/inventory"
)

// judge says what is wrong with lye and fats, works out how much lye is wanted,
// and whether the mixture as sold can be computed.
func (r *Reaction) judge(in *Input, mix Mixture) (fs []ingredients.Finding, computable bool) {
	s := in.Product.Saponify
	if len(r.Fats) == 0 {
		return []ingredients.Finding{in.Product.about(ingredients.NewFinding(ingredients.Stop, "no-fat", s.Pos, portion(with(), mix.Name))).
			At(s.Pos.File, "saponify.values", nil)}, false
	}
	r.want(in)
	fs = append(fs, r.strangeFats(in, mix)...)
	if len(r.Alkalis) == 0 {
		return append(fs, in.Product.about(ingredients.NewFinding(ingredients.Stop, "no-lye", s.Pos, portion(r.lye(in), mix.Name))).At(s.Pos.File, "formula", nil)), false
	}
	for _, a := range r.Alkalis {
		if !slices.Contains(s.Alkali, a.alkali.short) {
			fs = append(fs, ingredients.NewFinding(ingredients.Stop, "wrong-alkali", a.linePos, with().Names("stated", s.Alkali).Name("short", a.alkali.short)).
				On(a.INCI).By(ingredients.TheMaker).At(s.Pos.File, "saponify.alkali", with().Name("alkali", a.alkali.short)))
		}
	}
	fs = append(fs, r.lyeFindings(in, mix.Name)...)
	if s.WaterLossPct.Sign() > 0 && r.loss(in).IsZero() {
		fs = append(fs, ingredients.NewFinding(ingredients.Stop, "water-loss", s.Pos, portion(with().Num("loss", s.WaterLossPct, "%", ingredients.AsIs).
			Num("water", r.water.Add(r.waterFormed(in)).Typ, "%", ingredients.FourDigits), mix.Name)).On("water_loss_pct").By(ingredients.TheMaker).
			At(s.Pos.File, "saponify.water_loss_pct", nil))
	}
	return append(append(fs, r.unnamed(in)...), r.formedNames(in)...), true
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

// downTo rounds down to four decimals: what is printed as the most must hold.
func downTo(n ingredients.Num) string {
	step := ingredients.Frac(1, 10_000)
	return n.Quo(step).Floor().Mul(step).Exact()
}

// lyeFindings compares the lye given with the lye the fats can take.
func (r *Reaction) lyeFindings(in *Input, where string) []ingredients.Finding {
	given, takes := r.GivenKOH, r.TakesKOH
	say := func(sev ingredients.Severity, code string, v ingredients.Values) *ingredients.Finding {
		v = portion(append(v, r.lye(in)...), where).Range("given", given, "%", ingredients.FourDigits).Range("taken", takes, "%", ingredients.FourDigits).
			Source("sources", r.sources())
		f := ingredients.NewFinding(sev, code, r.Alkalis[0].linePos, v).On(r.Alkalis[0].INCI).By(ingredients.TheMaker)
		f.Sum = r.terms()
		return &f
	}
	planned := in.Product.Saponify.ExcessFatPct
	switch {
	case takes.Typ.Less(given.Typ):
		return []ingredients.Finding{*say(ingredients.Stop, "lye-excess", with().Num("free", hundred.Mul(given.Typ.Sub(takes.Typ)).Quo(given.Typ), "%", ingredients.ThreeDigits))}
	case takes.Min.Less(given.Max):
		widest := r.widest()
		f := say(ingredients.Ask, "lye-excess-possible", with().Range("left", r.ExcessFatPct, "%", ingredients.FourDigits).Those("materials", in.materials(widest)))
		var who []ingredients.Party
		for _, id := range widest {
			if p := in.supplierOf(id); !slices.Contains(who, p) {
				who = append(who, p)
			}
		}
		return []ingredients.Finding{f.By(who...).At(in.Product.Saponify.Pos.File, "saponify.values", nil)}
	case planned != nil && (planned.Less(r.ExcessFatPct.Min) || r.ExcessFatPct.Max.Less(*planned)):
		f := say(ingredients.Ask, "excess-fat", with().Num("planned", *planned, "%", ingredients.AsIs).Range("left", r.ExcessFatPct, "%", ingredients.FourDigits))
		return []ingredients.Finding{f.On("excess_fat_pct").At(in.Product.Saponify.Pos.File, "saponify.excess_fat_pct", nil)}
	}
	return nil
}

func (r *Reaction) terms() []ingredients.Term {
	var terms []ingredients.Term
	for _, f := range r.Fats {
		terms = append(terms, ingredients.Term{Pos: f.linePos, Key: "takes-koh", Values: with().Range("takes", f.TakesKOH, "%", ingredients.FourDigits).Quote("value", f.given())})
	}
	return terms
}

// sources names the rows the saponification values come from.
func (r *Reaction) sources() ingredients.Values {
	var out ingredients.Values
	add := func(x ingredients.Values) {
		if !hasValue(out, x[0]) {
			out = append(out, x[0])
		}
	}
	for _, f := range r.Fats {
		if f.Own {
			add(with().Term("", "own-saponification", nil))
			continue
		}
		for _, row := range f.Rows {
			add(with().Term("", "saponification-row", with().Name("row", row.Key).Flag(row.FromMemory(), "unverified")))
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
				fs = append(fs, ingredients.NewFinding(ingredients.Ask, "soap-name", f.linePos, with().Name("alkali", a.alkali.short)).On(f.INCI).
					By(in.supplierOf(f.Ingredient), ingredients.TheAssessor))
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
				fs = append(fs, ingredients.NewFinding(ingredients.Ask, "fat-unknown", s.Pos, with().Is("material", in.material(s.Ingredient)).Name("id", s.Ingredient)).On(p.INCI).
					By(m.Sheet.Asked()).At(in.Product.Saponify.Pos.File, "saponify.values", nil))
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

// lye is how much pure lye the formula takes, per 100 of it as it stands; rounded
// down, since what is printed as the most must hold.
func (r *Reaction) lye(in *Input) ingredients.Values {
	name := ""
	if s := in.Product.Saponify; len(s.Alkali) > 0 {
		name = s.Alkali[0]
	}
	v := with().Figure("safe", downTo(*r.SafePct), "%").Name("alkali", name)
	if r.NeededPct != nil {
		v = v.Num("needed", *r.NeededPct, "%", ingredients.FourDigits).Num("excess", *in.Product.Saponify.ExcessFatPct, "%", ingredients.AsIs)
	}
	return with().Term("lye", "lye", v)
}

// formedNames names the soaps whose names are in no edition of the inventory: the
// table formed them after the names of others.
//
// Findings: note "soap-name-formed".
func (r *Reaction) formedNames(in *Input) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, f := range r.Fats {
		for _, a := range r.Alkalis {
			for _, n := range f.soapNames(a.alkali.potassium) {
				if listedName(in.Dict, n.INCI) {
					continue
				}
				fs = append(fs, ingredients.NewFinding(ingredients.Note, "soap-name-formed", f.linePos, with().Name("fat", f.INCI)).
					On(n.INCI).By(ingredients.TheAssessor))
			}
		}
	}
	return fs
}

// listedName says whether a name is an official one, in whatever edition.
func listedName(dict *ingredients.Dictionary, name string) bool {
	for _, n := range dict.Names().Inventory().Find(name) {
		if n.Kind == inventory.Official {
			return true
		}
	}
	return false
}
