package purpose

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Functions of a substance in a product, in the words of the limit conditions.
const (
	Preservative = "preservative"
	Fragrance    = "fragrance"
	Colorant     = "colorant"
	UVFilter     = "uv-filter"
	other        = "other"
)

// FunctionOf returns the function that a sheet's wording means in the conditions
// of the limits, false where no table has the word. Of several the most telling
// counts, in the order of the list.
func FunctionOf(s *formula.Session, wording string) (string, bool) {
	function := formula.MemoryOf[functionMemory](s).Of(wording, func() string {
		f, ok := s.Dict.Names().Function(wording)
		if !ok {
			return ""
		}
		turns := f.Turn("limits")
		for _, function := range []string{"peroxide-stabiliser", Preservative, UVFilter, Colorant, Fragrance,
			"ph-adjuster", "rust-inhibitor", "denaturant"} {
			if slices.Contains(turns, function) {
				return function
			}
		}
		return other
	})
	return function, function != ""
}

// functionMemory keeps the functions of the sheets' wordings; "" where no table has one.
type functionMemory struct{ formula.Memo[string, string] }

// Roles is what a substance does in a product.
type Roles struct {
	// Main holds what it certainly does: the first function of each sheet, and
	// fragrance for what comes in with a scent.
	Main []string
	// All adds what it may do besides: the further functions of a sheet, which
	// describe the material at large.
	All   []string
	Known bool // there are no more than these
}

// Of reads the functions of a substance from the sheets that bring it in.
func Of(in *formula.Input, s *formula.Substance) Roles {
	r := Roles{Known: true}
	for _, k := range s.Contributions {
		sheet := in.Sheets[k.Ingredient]
		switch {
		case k.Route == formula.ByImpurity || sheet == nil: // a trace serves no purpose
		case k.Route == formula.ByDeclaration || sheet.IsScent():
			r.add(OfSheet(in, nil))
		default:
			r.add(OfSheet(in, sheet))
		}
	}
	if formula.IsCI(s.INCI) {
		r.add(Roles{Main: []string{Colorant}, All: []string{Colorant}, Known: true})
	}
	return r
}

// OfSheet is what the functions of a sheet say of its substances, read once for a
// product, which may have sheets of its own: soap has one that is made anew with each
// variant. Without a sheet it is that of what comes in with a scent.
func OfSheet(in *formula.Input, sheet *ingredients.Sheet) Roles {
	known := formula.SharedOf[roleMemory](in)
	if known == nil {
		return sheetRoles(in.Session, sheet)
	}
	return known.Of(sheet, func() Roles { return sheetRoles(in.Session, sheet) })
}

func sheetRoles(s *formula.Session, sheet *ingredients.Sheet) Roles {
	if sheet == nil {
		return Roles{[]string{Fragrance}, []string{Fragrance}, true}
	}
	r := Roles{Known: len(sheet.Functions) > 0}
	for i, wording := range sheet.Functions {
		f, ok := FunctionOf(s, wording)
		if !ok {
			r.Known = false
			continue
		}
		r.All = addOnce(r.All, f)
		if i == 0 {
			r.Main = addOnce(r.Main, f)
		}
	}
	return Roles{slices.Clip(r.Main), slices.Clip(r.All), r.Known}
}

// add joins what a further material says; the lists of both stay as they are.
func (r *Roles) add(more Roles) {
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
	formula.Memo[*ingredients.Sheet, Roles]
}

// MayPreserve says whether a sheet lists preserving among what a substance does.
func MayPreserve(in *formula.Input, s *formula.Substance) bool {
	return slices.Contains(Of(in, s).All, Preservative)
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

// Base is what the product type and the product file say of every use
// in the product. The product file adds to the type; it takes nothing away.
func Base(in *formula.Input) law.Situation {
	known := formula.SharedOf[baseMemory](in)
	if known == nil {
		return productSituation(in)
	}
	return known.Of(baseKey{in.Product, in.Type}, func() law.Situation { return productSituation(in) })
}

// baseMemory keeps what product and product type say, for all variants.
type baseMemory struct {
	formula.Memo[baseKey, law.Situation]
}

type baseKey struct {
	product *formula.Product
	kind    *trade.ProductType
}

func productSituation(in *formula.Input) law.Situation {
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

// Situation adds what is particular to one substance.
func Situation(in *formula.Input, base law.Situation, s *formula.Substance) law.Situation {
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
