package limits

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Functions of a substance in a product, in the words of the limit conditions.
const (
	fnPreservative = "preservative"
	FnFragrance    = "fragrance"
	fnColorant     = "colorant"
	fnUVFilter     = "uv-filter"
	fnOther        = "other"
)

// functionWords turns the wording of a sheet's functions into the vocabulary of
// the conditions. The first fragment that stands in the wording counts, so the
// telling ones come first. A wording without any of them is not understood, and
// the functions of that material are then not all known.
var functionWords = []struct{ fragment, function string }{
	{"peroxide stabil", "peroxide-stabiliser"},
	{"preserv", fnPreservative},
	{"uv filter", fnUVFilter}, {"uv-filter", fnUVFilter}, {"sunscreen", fnUVFilter}, {"sun filter", fnUVFilter},
	{"colour", fnColorant}, {"color", fnColorant}, {"pigment", fnColorant}, {"dye", fnColorant}, {"ci 7", fnColorant},
	{"fragran", FnFragrance}, {"perfum", FnFragrance}, {"parfum", FnFragrance}, {"scent", FnFragrance},
	{"flavour", FnFragrance}, {"flavor", FnFragrance}, {"aroma", FnFragrance}, {"essential oil", FnFragrance},
	{"ph adjust", "ph-adjuster"}, {"ph-adjust", "ph-adjuster"}, {"ph regul", "ph-adjuster"}, {"ph control", "ph-adjuster"},
	{"buffer", "ph-adjuster"}, {"acidity", "ph-adjuster"}, {"neutralis", "ph-adjuster"}, {"neutraliz", "ph-adjuster"},
	{"rust", "rust-inhibitor"}, {"corrosion", "rust-inhibitor"},
	{"denatur", "denaturant"},
	{"abras", fnOther}, {"absor", fnOther}, {"acid", fnOther}, {"active", fnOther}, {"anticak", fnOther}, {"antidandruff", fnOther},
	{"antifoam", fnOther}, {"antimicrob", fnOther}, {"antioxid", fnOther}, {"antiperspir", fnOther}, {"antiseb", fnOther},
	{"antistat", fnOther}, {"astring", fnOther}, {"base", fnOther}, {"bath", fnOther}, {"bind", fnOther}, {"bleach", fnOther},
	{"bulk", fnOther}, {"butter", fnOther}, {"carrier", fnOther}, {"chelat", fnOther}, {"clean", fnOther}, {"condition", fnOther},
	{"cool", fnOther}, {"deodor", fnOther}, {"depilat", fnOther}, {"dispers", fnOther}, {"emolli", fnOther}, {"emuls", fnOther},
	{"exfoli", fnOther}, {"fatty", fnOther}, {"filler", fnOther}, {"film", fnOther}, {"foam", fnOther}, {"gel", fnOther},
	{"glid", fnOther}, {"hair", fnOther}, {"harden", fnOther}, {"humect", fnOther}, {"keratol", fnOther}, {"lather", fnOther},
	{"lubric", fnOther}, {"lye", fnOther}, {"mask", fnOther}, {"moist", fnOther}, {"nail", fnOther}, {"occlus", fnOther},
	{"oil", fnOther}, {"opaci", fnOther}, {"oral", fnOther}, {"oxidis", fnOther}, {"pearl", fnOther}, {"plastic", fnOther},
	{"propell", fnOther}, {"protect", fnOther}, {"reduc", fnOther}, {"refat", fnOther}, {"refresh", fnOther}, {"saponif", fnOther},
	{"sequest", fnOther}, {"skin", fnOther}, {"slip", fnOther}, {"smooth", fnOther}, {"soap", fnOther}, {"solubil", fnOther},
	{"solvent", fnOther}, {"sooth", fnOther}, {"stabil", fnOther}, {"structur", fnOther}, {"surfact", fnOther}, {"suspend", fnOther},
	{"sweeten", fnOther}, {"tanning", fnOther}, {"textur", fnOther}, {"thick", fnOther}, {"tonic", fnOther}, {"viscos", fnOther},
	{"warming", fnOther}, {"water", fnOther}, {"wax", fnOther}, {"wett", fnOther},
}

// functionOf returns the function that a sheet's wording means, false where it
// is not understood.
func functionOf(wording string) (string, bool) {
	if f, ok := functionsRead.Load(wording); ok {
		return f.(string), f != ""
	}
	function := ""
	w := strings.ToLower(wording)
	for _, f := range functionWords {
		if strings.Contains(w, f.fragment) {
			function = f.function
			break
		}
	}
	functionsRead.Store(wording, function)
	return function, function != ""
}

// functionsRead remembers what functionOf found, since all products ask for the
// same wordings: string → string, "" where a wording is not understood.
var functionsRead sync.Map

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
	add := func(list *[]string, f string) {
		if !slices.Contains(*list, f) {
			*list = append(*list, f)
		}
	}
	for _, k := range s.Contributions {
		sheet := in.Sheets[k.Ingredient]
		switch {
		case k.Route == formula.ByImpurity || sheet == nil: // a trace serves no purpose
		case k.Route == formula.ByDeclaration || sheet.IsScent():
			add(&r.Main, FnFragrance)
			add(&r.All, FnFragrance)
		default:
			r.Known = r.Known && len(sheet.Functions) > 0
			for i, wording := range sheet.Functions {
				f, ok := functionOf(wording)
				if !ok {
					r.Known = false
					continue
				}
				add(&r.All, f)
				if i == 0 {
					add(&r.Main, f)
				}
			}
		}
	}
	if formula.IsCI(s.INCI) {
		add(&r.Main, fnColorant)
		add(&r.All, fnColorant)
	}
	return r
}

// isNaturalEssence says whether a material is an oil or extract of a plant: at
// least half of it carries such a name.
func isNaturalEssence(m *formula.Material) bool { return m != nil && m.Natural }

// NaturalOf says whether a substance comes in with natural essences only: yes
// when each contribution does, no when one is added as such, unknown when a
// perfume brings it in, since its supplier may have added it or not.
func NaturalOf(in *formula.Input, s *formula.Substance) law.Truth {
	truth := law.Yes
	for _, k := range s.Contributions {
		m := in.Materials[k.Ingredient]
		switch {
		case isNaturalEssence(m):
		case m != nil && m.Sheet.IsScent():
			truth = law.Unknown
		case k.Route == formula.ByImpurity: // a trace is not added as such
		default:
			return law.No
		}
	}
	return truth
}

// claimPhrases are the wordings that plainly make a claim of the conditions.
var claimPhrases = []struct {
	claim string
	form  *regexp.Regexp
}{
	{"sun-protection", regexp.MustCompile(`(?i)\b(spf|sun[- ]?screen|sun[- ]?block|(sun|uv)[- ]protect(ion|s|ing)?|protects? (against|from) (the )?(sun|uv))`)},
	{"bronzing", regexp.MustCompile(`(?i)\b(bronz(e|es|ing|er)|self[- ]tan(s|ning|ner)?|tans? (your|the) skin)`)},
	{"uv-exposure", regexp.MustCompile(`(?i)\b(sun[- ]?bed|solarium|sunbathing|tanning (bed|lamp)|sun tan(ning)?|suntan)`)},
}

// denial stands before a phrase that is not claimed.
var denial = regexp.MustCompile(`(?i)\b(no|not|non|without|never|isn't|doesn't)\b[^.;,]*$`)

// claimsOf returns the claims that the product's own sentences plainly make.
func claimsOf(claims []formula.Claim) []string {
	var out []string
	for _, p := range claimPhrases {
		for _, c := range claims {
			at := p.form.FindStringIndex(c.Text)
			if at != nil && !denial.MatchString(c.Text[:at[0]]) && !slices.Contains(out, p.claim) {
				out = append(out, p.claim)
			}
		}
	}
	return out
}

// BaseSituation is what the product type and the product file say of every use
// in the product. The product file adds to the type; it takes nothing away.
func BaseSituation(in *formula.Input) law.Situation {
	s := law.SituationOf(in.Type)
	s.Areas = append(s.Areas, in.Product.BodyAreas...)
	for _, c := range claimsOf(in.Product.Claims) {
		if !slices.Contains(s.Claims, c) {
			s.Claims = append(s.Claims, c)
		}
	}
	if a, err := law.AgesOf(string(in.Product.IntendedFor)); err == nil {
		s.Ages = Widest(s.Ages, &a)
	}
	if in.Product.Professional != nil {
		s.Professional = law.Is(*in.Product.Professional)
	}
	return s.Complete()
}

// Widest covers the ages of the product type and of the product file.
func Widest(a, b *law.Ages) *law.Ages {
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
	base.Massive = MassiveOf(in, s)
	base.RefiningKnown = RefiningOf(in, s)
	base.ButadienePct = ButadieneOf(in, s)
	return base
}

// MassiveOf says whether a metal comes in pieces: a powder, paste or liquid does
// not.
func MassiveOf(in *formula.Input, s *formula.Substance) law.Truth {
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

// RefiningOf takes a purity statement on file as the supplier's word on the
// refining history; the assessor reads it.
func RefiningOf(in *formula.Input, s *formula.Substance) law.Truth {
	for _, k := range s.Contributions {
		if sheet := in.Sheets[k.Ingredient]; sheet == nil || PaperOf(sheet, in.Date) == "" {
			return law.Unknown
		}
	}
	return law.Yes
}

// PaperOf names the purity statement on file of a material on a day, "" where
// there is none.
func PaperOf(s *ingredients.Sheet, day exact.Date) string {
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

// ButadieneOf is the highest butadiene content of the materials that bring the
// substance in, % of the material; nil where one does not state it.
func ButadieneOf(in *formula.Input, s *formula.Substance) *exact.Num {
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
