package limits

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Functions of a substance in a product, in the words of the limit conditions.
const (
	fnPreservative = "preservative"
	fnFragrance    = "fragrance"
	fnColorant     = "colorant"
	fnUVFilter     = "uv-filter"
	fnOther        = "other"
)

// functionOf returns the function that a sheet's wording means in the conditions
// of the limits, false where no table has the word. Of several the most telling
// counts, in the order of the list.
func functionOf(s *formula.Session, wording string) (string, bool) {
	function := formula.MemoryOf[functionMemory](s).Of(wording, func() string {
		f, ok := s.Dict.Names().Function(wording)
		if !ok {
			return ""
		}
		turns := f.Turn("limits")
		for _, function := range []string{"peroxide-stabiliser", fnPreservative, fnUVFilter, fnColorant, fnFragrance,
			"ph-adjuster", "rust-inhibitor", "denaturant"} {
			if slices.Contains(turns, function) {
				return function
			}
		}
		return fnOther
	})
	return function, function != ""
}

// functionMemory keeps the functions of the sheets' wordings; "" where no table has one.
type functionMemory struct{ formula.Memo[string, string] }

// roles is what a substance does in a product.
type roles struct {
	// main holds what it certainly does: the first function of each sheet, and
	// fragrance for what comes in with a scent.
	Main []string
	// all adds what it may do besides: the further functions of a sheet, which
	// describe the material at large.
	All   []string
	Known bool // there are no more than these
}

// rolesOf reads the functions of a substance from the sheets that bring it in.
func rolesOf(in *formula.Input, s *formula.Substance) roles {
	r := roles{Known: true}
	for _, k := range s.Contributions {
		sheet := in.Sheets[k.Ingredient]
		switch {
		case k.Route == formula.ByImpurity || sheet == nil: // a trace serves no purpose
		case k.Route == formula.ByDeclaration || sheet.IsScent():
			r.add(rolesOfSheet(in.Session, nil))
		default:
			r.add(rolesOfSheet(in.Session, sheet))
		}
	}
	if formula.IsCI(s.INCI) {
		r.add(roles{Main: []string{fnColorant}, All: []string{fnColorant}, Known: true})
	}
	return r
}

// rolesOfSheet is what the functions of a sheet say of its substances, read once; without
// a sheet that of what comes in with a scent.
func rolesOfSheet(s *formula.Session, sheet *ingredients.Sheet) roles {
	return formula.MemoryOf[roleMemory](s).Of(sheet, func() roles { return sheetRoles(s, sheet) })
}

func sheetRoles(s *formula.Session, sheet *ingredients.Sheet) roles {
	if sheet == nil {
		return roles{[]string{fnFragrance}, []string{fnFragrance}, true}
	}
	r := roles{Known: len(sheet.Functions) > 0}
	for i, wording := range sheet.Functions {
		f, ok := functionOf(s, wording)
		if !ok {
			r.Known = false
			continue
		}
		r.All = addOnce(r.All, f)
		if i == 0 {
			r.Main = addOnce(r.Main, f)
		}
	}
	return roles{slices.Clip(r.Main), slices.Clip(r.All), r.Known}
}

// add joins what a further material says; the lists of both stay as they are.
func (r *roles) add(more roles) {
	r.Known = r.Known && more.Known
	r.Main, r.All = addOnce(r.Main, more.Main...), addOnce(r.All, more.All...)
}

// addOnce adds to a list that may be another's too.
func addOnce(list []string, more ...string) []string {
	if list == nil {
		return more
	}
	for _, f := range more {
		if !slices.Contains(list, f) {
			list = append(slices.Clip(list), f)
		}
	}
	return list
}

type roleMemory struct {
	formula.Memo[*ingredients.Sheet, roles]
}

// OfFragrance says whether a substance may serve as fragrance, or is an impurity of a
// material that may: a fragrance Standard counts what comes in with such materials.
func (u *LimitUse) OfFragrance(in *formula.Input) bool {
	return slices.Contains(u.Roles.All, fnFragrance) ||
		slices.ContainsFunc(u.S.Contributions, func(k formula.Contribution) bool {
			sheet := in.Sheets[k.Ingredient]
			return k.Route == formula.ByImpurity && sheet != nil &&
				(sheet.IsScent() || slices.Contains(rolesOfSheet(in.Session, sheet).All, fnFragrance))
		})
}

// MayPreserve says whether a sheet lists preserving among what a substance does.
func MayPreserve(in *formula.Input, s *formula.Substance) bool {
	return slices.Contains(rolesOf(in, s).All, fnPreservative)
}

// isNaturalEssence says whether a material is an oil or extract of a plant: at
// least half of it carries such a name.
func isNaturalEssence(tables *table.Tables, m *formula.Material) bool {
	if m == nil {
		return false
	}
	if f := m.Natural.Found.Load(); f != nil && f.Tables == tables {
		return f.Natural
	}
	natural := m.MostlyBotanical(tables)
	m.Natural.Found.Store(&formula.NaturalFound{Tables: tables, Natural: natural})
	return natural
}

// NaturalOf says whether a substance comes in with natural essences only: yes
// when each contribution does, no when one is added as such, unknown when a
// perfume brings it in, since its supplier may have added it or not.
func NaturalOf(in *formula.Input, s *formula.Substance) law.Truth {
	truth := law.Yes
	for _, k := range s.Contributions {
		m := in.Materials[k.Ingredient]
		switch {
		case isNaturalEssence(in.Law, m):
		case m != nil && m.Sheet.IsScent():
			truth = law.Unknown
		case k.Route == formula.ByImpurity: // a trace is not added as such
		default:
			return law.No
		}
	}
	return truth
}

// claimsOf returns the claims of the conditions that the product's own sentences
// plainly make: a wording of the table that no word of denial stands before in
// its part of the sentence.
func claimsOf(tables *table.Tables, claims []formula.Claim) []string {
	var out []string
	for _, c := range claims {
		for _, f := range tables.Words(rows.WordsClaim).All(c.Text) {
			part := f.Before[strings.LastIndexAny(f.Before, ".;,")+1:]
			if !tables.Words(rows.WordsDenial).In(part) && !slices.Contains(out, f.Means) {
				out = append(out, f.Means)
			}
		}
	}
	return out
}

// baseSituation is what the product type and the product file say of every use
// in the product. The product file adds to the type; it takes nothing away.
func baseSituation(in *formula.Input) law.Situation {
	s := law.SituationOf(in.Type)
	s.Areas = append(s.Areas, in.Product.BodyAreas...)
	for _, c := range claimsOf(in.Law, in.Product.Claims) {
		if !slices.Contains(s.Claims, c) {
			s.Claims = append(s.Claims, c)
		}
	}
	if a, err := law.AgesOf(string(in.Product.IntendedFor)); err == nil {
		s.Ages = widest(s.Ages, &a)
	}
	if in.Product.Professional != nil {
		s.Professional = law.Is(*in.Product.Professional)
	}
	return s.Complete()
}

// widest covers the ages of the product type and of the product file.
func widest(a, b *law.Ages) *law.Ages {
	if a == nil || b == nil {
		if a == nil {
			return b
		}
		return a
	}
	return &law.Ages{From: min(a.From, b.From), To: max(a.To, b.To)}
}

// useSituation adds what is particular to one substance.
func useSituation(in *formula.Input, base law.Situation, s *formula.Substance) law.Situation {
	base.Nano = law.Is(s.Nano)
	base.Natural = NaturalOf(in, s)
	base.Massive = massiveOf(in, s)
	base.RefiningKnown = refiningOf(in, s)
	base.ButadienePct = butadieneOf(in, s)
	return base
}

// massiveOf says whether a metal comes in pieces: a powder, paste or liquid does
// not.
func massiveOf(in *formula.Input, s *formula.Substance) law.Truth {
	for _, k := range s.Contributions {
		sheet := in.Sheets[k.Ingredient]
		if sheet == nil {
			return law.Unknown
		}
		switch sheet.Form {
		case "powder", "liquid", "paste", "gas":
		default:
			return law.Unknown
		}
	}
	return law.No
}

// refiningOf takes a purity statement on file as the supplier's word on the
// refining history; the assessor reads it.
func refiningOf(in *formula.Input, s *formula.Substance) law.Truth {
	for _, k := range s.Contributions {
		if sheet := in.Sheets[k.Ingredient]; sheet == nil || paperOf(sheet, in.Date) == "" {
			return law.Unknown
		}
	}
	return law.Yes
}

// paperOf names the purity statement on file of a material on a day, "" where
// there is none.
func paperOf(s *ingredients.Sheet, day exact.Date) string {
	for _, d := range s.Documents {
		if d.Kind == "purity" && d.ThereOn(day) {
			if d.File == "" {
				return ingredients.DocumentKinds[d.Kind]
			}
			return d.File
		}
	}
	return ""
}

// butadieneOf is the highest butadiene content of the materials that bring the
// substance in, % of the material; nil where one does not state it.
func butadieneOf(in *formula.Input, s *formula.Substance) *exact.Num {
	var most *exact.Num
	for _, k := range s.Contributions {
		sheet := in.Sheets[k.Ingredient]
		if sheet == nil {
			return nil
		}
		i := slices.IndexFunc(sheet.Impurities, func(t ingredients.Impurity) bool {
			return t.CAS == "106-99-0" || strings.Contains(strings.ToLower(t.Name), "butadiene")
		})
		if i < 0 {
			return nil
		}
		if m := sheet.Impurities[i].Amount.Max; most == nil || most.Less(m) {
			most = &m
		}
	}
	return most
}
