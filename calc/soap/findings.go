package soap

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/inventory"
)

// judge says what is wrong with lye and fats, works out how much lye is wanted,
// and whether the mixture as sold can be computed.
func (r *Reaction) judge(in *formula.Input, mix formula.Mixture) (fs []finding.Finding, computable bool) {
	s := in.Product.Saponify
	if len(r.Fats) == 0 {
		return []finding.Finding{in.Product.About(finding.NewFinding(finding.Stop, "no-fat", s.Pos,
			formula.PortionNamed(formula.With(), mix.Name))).
			At(s.Pos.File, "saponify.values", nil)}, false
	}
	r.want(in)
	fs = append(fs, r.strangeFats(in, mix)...)
	if len(r.Alkalis) == 0 {
		return append(fs,
			in.Product.About(finding.NewFinding(finding.Stop, "no-lye", s.Pos,
				formula.PortionNamed(r.lye(in), mix.Name))).At(s.Pos.File, "formula", nil)), false
	}
	for _, a := range r.Alkalis {
		if !slices.Contains(s.Alkali, a.alkali.short) {
			fs = append(fs, finding.NewFinding(finding.Stop, "wrong-alkali", a.linePos, formula.With().
				Names("stated", s.Alkali).Name("short", a.alkali.short)).
				On(a.INCI).By(finding.TheMaker).At(s.Pos.File, "saponify.alkali", formula.With().
				Name("alkali", a.alkali.short)))
		}
	}
	fs = append(fs, r.lyeFindings(in, mix.Name)...)
	if s.WaterLossPct.Sign() > 0 && r.loss(in).IsZero() {
		fs = append(fs, finding.NewFinding(finding.Stop, "water-loss", s.Pos,
			formula.PortionNamed(formula.With().Num("loss", s.WaterLossPct, "%", finding.AsIs).
				Num("water", r.water.Add(r.waterFormed(in)).Typ, "%", finding.FourDigits),
				mix.Name)).On("water_loss_pct").
			By(finding.TheMaker).
			At(s.Pos.File, "saponify.water_loss_pct", nil))
	}
	return append(append(fs, r.unnamed(in)...), r.formedNames(in)...), true
}

// want works out the lye for the planned excess of fat, and the most lye that
// is safe at the lowest saponification values. Both are for the first alkali
// stated, as pure hydroxide.
func (r *Reaction) want(in *formula.Input) {
	s := in.Product.Saponify
	per := exact.Int(1)
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
		n := r.TakesKOH.Typ.Mul(per).Pct(formula.Hundred.Sub(*s.ExcessFatPct))
		r.NeededPct = &n
	}
}

// downTo rounds down to four decimals: what is printed as the most must hold.
func downTo(n exact.Num) string {
	step := exact.Frac(1, 10_000)
	return n.Quo(step).Floor().Mul(step).Exact()
}

// lyeFindings compares the lye given with the lye the fats can take.
func (r *Reaction) lyeFindings(in *formula.Input, where string) []finding.Finding {
	given, takes := r.GivenKOH, r.TakesKOH
	say := func(sev finding.Severity, code string, v finding.Values) *finding.Finding {
		v = formula.PortionNamed(append(v, r.lye(in)...), where).Range("given", given, "%", finding.FourDigits).
			Range("taken", takes, "%", finding.FourDigits).
			Source("sources", r.Sources())
		f := finding.NewFinding(sev, code, r.Alkalis[0].linePos, v).On(r.Alkalis[0].INCI).By(finding.TheMaker)
		f.Sum = r.terms()
		return &f
	}
	planned := in.Product.Saponify.ExcessFatPct
	switch {
	case takes.Typ.Less(given.Typ):
		return []finding.Finding{*say(finding.Stop, "lye-excess", formula.With().
			Num("free", formula.Hundred.Mul(given.Typ.Sub(takes.Typ)).Quo(given.Typ), "%", finding.ThreeDigits))}
	case takes.Min.Less(given.Max):
		widest := r.Widest()
		f := say(finding.Ask, "lye-excess-possible", formula.With().Range("left", r.ExcessFatPct, "%",
			finding.FourDigits).Those("materials", in.MaterialsNamed(widest)))
		var who []finding.Party
		for _, id := range widest {
			if p := in.SupplierOf(id); !slices.Contains(who, p) {
				who = append(who, p)
			}
		}
		return []finding.Finding{f.By(who...).At(in.Product.Saponify.Pos.File, "saponify.values", nil)}
	case planned != nil && (planned.Less(r.ExcessFatPct.Min) || r.ExcessFatPct.Max.Less(*planned)):
		f := say(finding.Ask, "excess-fat", formula.With().Num("planned", *planned, "%", finding.AsIs).
			Range("left", r.ExcessFatPct, "%", finding.FourDigits))
		return []finding.Finding{f.On("excess_fat_pct").At(in.Product.Saponify.Pos.File,
			"saponify.excess_fat_pct", nil)}
	}
	return nil
}

func (r *Reaction) terms() []finding.Term {
	var terms []finding.Term
	for _, f := range r.Fats {
		terms = append(terms, finding.Term{Pos: f.linePos, Key: "takes-koh", Values: formula.With().
			Range("takes", f.TakesKOH, "%", finding.FourDigits).Quote("value", f.given())})
	}
	return terms
}

// Sources names the rows the saponification values come from.
func (r *Reaction) Sources() finding.Values {
	var out finding.Values
	add := func(x finding.Values) {
		if !formula.HasValue(out, x[0]) {
			out = append(out, x[0])
		}
	}
	for _, f := range r.Fats {
		if f.Own {
			add(formula.With().Term("", "own-saponification", nil))
			continue
		}
		for _, row := range f.Rows {
			add(formula.With().Term("", "saponification-row", formula.With().Name("row", row.Key).
				Flag(row.FromMemory(), "unverified")))
		}
	}
	return out
}

// Widest names the materials whose saponification values leave most open.
func (r *Reaction) Widest() []string {
	var ids []string
	var most exact.Num
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
func (r *Reaction) unnamed(in *formula.Input) []finding.Finding {
	var fs []finding.Finding
	for _, f := range r.Fats {
		for _, a := range r.Alkalis {
			if len(f.soapNames(a.alkali.potassium)) == 0 {
				fs = append(fs, finding.NewFinding(finding.Ask, "soap-name", f.linePos, formula.With().
					Name("alkali", a.alkali.short)).On(f.INCI).
					By(in.SupplierOf(f.Ingredient), finding.TheAssessor))
			}
		}
	}
	return fs
}

// strangeFats asks about oils, butters and waxes that the table has no value for.
func (r *Reaction) strangeFats(in *formula.Input, mix formula.Mixture) []finding.Finding {
	var fs []finding.Finding
	for _, s := range mix.Shares {
		m := in.Materials[s.Ingredient]
		if m == nil || m.Sheet.IsScent() || m.Sheet.FragranceLimits != nil || in.Scents(m.Sheet) ||
			ownSV(in, s.Ingredient) != nil {
			continue
		}
		for _, p := range m.Parts {
			fatty := in.Law.Words(rows.WordsFatEnding).In(p.INCI)
			if fatty && len(law.FatsOf(in.Law, p.INCI)) == 0 {
				fs = append(fs, finding.NewFinding(finding.Ask, "fat-unknown", s.Pos, formula.With().
					Is("material", in.Material(s.Ingredient)).Name("id", s.Ingredient)).On(p.INCI).
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
		return !f.Own && slices.ContainsFunc(f.Rows, func(row *trade.Fat) bool { return row.FromMemory() })
	})
}

// lye is how much pure lye the formula takes, per 100 of it as it stands; rounded
// down, since what is printed as the most must hold.
func (r *Reaction) lye(in *formula.Input) finding.Values {
	name := ""
	if s := in.Product.Saponify; len(s.Alkali) > 0 {
		name = s.Alkali[0]
	}
	v := formula.With().Figure("safe", downTo(*r.SafePct), "%").Name("alkali", name)
	if r.NeededPct != nil {
		v = v.Num("needed", *r.NeededPct, "%", finding.FourDigits).Num("excess", *in.Product.Saponify.ExcessFatPct,
			"%", finding.AsIs)
	}
	return formula.With().Term("lye", "lye", v)
}

// formedNames names the soaps whose names are in no edition of the inventory: the
// table formed them after the names of others.
//
// Findings: note "soap-name-formed".
func (r *Reaction) formedNames(in *formula.Input) []finding.Finding {
	var fs []finding.Finding
	for _, f := range r.Fats {
		for _, a := range r.Alkalis {
			for _, n := range f.soapNames(a.alkali.potassium) {
				if listedName(in.Dict, n.INCI) {
					continue
				}
				fs = append(fs, finding.NewFinding(finding.Note, "soap-name-formed", f.linePos, formula.With().
					Name("fat", f.INCI)).
					On(n.INCI).By(finding.TheAssessor))
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
