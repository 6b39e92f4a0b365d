package dossier

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// claimCodes are the codes of findings by the kind of wording. Kinds that are
// not named here call for proof.
var claimCodes = map[law.ClaimKind]string{
	law.ClaimMedicinal:     "claim-medicinal",
	law.ClaimBiocidal:      "claim-biocidal",
	law.ClaimAuthority:     "claim-authority",
	law.ClaimCompliance:    "claim-authority",
	law.ClaimFreeBanned:    "claim-free-from",
	law.ClaimFreeDenigrate: "claim-free-from",
	law.ClaimFreeOther:     "claim-free-from",
	law.ClaimAnimals:       "claim-animal-testing",
	law.ClaimAbsolute:      "claim-absolute",
}

// presentation is one text that a product is presented by.
type presentation struct {
	text       string
	what       string // claim, directions, name …
	pos        ingredients.Pos
	directions bool
	variant    string // the one it names; "" for all
}

// claims reads what the product says of itself for wordings that make a medicine
// or a biocide of it, that the common criteria restrict, or that need proof.
//
// Findings: stop or ask "claim-medicinal", "claim-biocidal", "claim-authority",
// "claim-free-from", "claim-absolute", "claim-animal-testing", "claim-proof".
// Source: claims.csv, which names its sources row by row.
func (f *filing) claims() []ingredients.Finding {
	if f.read {
		return f.wording
	}
	f.read = true
	for _, s := range f.presentations() {
		for _, m := range f.readClaim(s) {
			if x, ok := f.claimFinding(s, m); ok {
				f.wording = append(f.wording, x)
			}
		}
	}
	if x, ok := f.unprovenClaims(); ok {
		f.wording = append(f.wording, x)
	}
	return f.wording
}

// presentations lists claims, directions and names.
func (f *filing) presentations() []presentation {
	var list []presentation
	for _, c := range f.p.Claims {
		list = append(list, presentation{text: c.Text, what: "claim", pos: c.Pos})
	}
	list = append(list, presentation{text: f.p.Name, what: "name", pos: f.p.NamePos},
		presentation{text: f.p.Function.Text, what: "function", pos: f.p.Function.Pos},
		presentation{text: f.p.Directions.Text, what: "directions", pos: f.p.Directions.Pos, directions: true})
	for _, v := range f.p.Variants {
		if v.Name != "" && v.Name != f.p.Name {
			list = append(list, presentation{text: v.Name, what: "name", pos: v.NamePos, variant: v.ID})
		}
	}
	return slices.DeleteFunc(list, func(s presentation) bool { return s.text == "" })
}

// readClaim reads a text under the rules of every market, each rule once.
func (f *filing) readClaim(s presentation) []law.ClaimMatch {
	var list []law.ClaimMatch
	for _, m := range f.a.Markets {
		for _, x := range f.law.ReadClaim(m, s.text, s.directions) {
			if !slices.ContainsFunc(list, func(y law.ClaimMatch) bool { return y.Rule == x.Rule }) {
				list = append(list, x)
			}
		}
	}
	return list
}

// claimFinding words one match. A question that a paper on the product answers
// is none.
func (f *filing) claimFinding(s presentation, m law.ClaimMatch) (ingredients.Finding, bool) {
	r := m.Rule
	against := f.contradicting(r.Contains, s.variant)
	if r.Severity == ingredients.Ask && len(against) == 0 && len(r.SettledBy) > 0 {
		if _, ok := f.document(r.SettledBy...); ok {
			return ingredients.Finding{}, false
		}
	}
	if r.Kind == law.ClaimAudience && f.p.IntendedFor == calc.UnderThree {
		return ingredients.Finding{}, false
	}
	v := with().Term("what", "said-in-"+s.what, nil)
	if len(m.Words) != 1 || m.Words[0] != s.text {
		var list ingredients.Values
		for _, w := range m.Words {
			list = list.Term("", "quoted", with().Quote("word", w))
		}
		v = v.Those("words", list)
	}
	v = v.Those("contains", f.namesOf(against)).Quote("remedy", r.Fix).Quote("reason", r.Why)
	sev := r.Severity
	switch {
	case len(against) > 0:
		sev = ingredients.Stop
	case r.Kind == law.ClaimFreeOther && len(r.Contains) > 0:
		sev = ingredients.Note
		v = v.Flag(true, "uncontradicted")
	case r.Kind == law.ClaimAnimals && f.answer("P5").state == ReadyPresent:
		sev = ingredients.Note
	}
	v = v.Source("law", tableRow(r.File, &r.Row))
	x := ingredients.NewFinding(sev, cmp.Or(claimCodes[r.Kind], "claim-proof"), f.within(s, m), v).On(s.text).By(ingredients.TheMaker).At(s.pos.File, s.what, nil)
	if x.Code == "claim-proof" {
		x = x.As("wording")
	}
	if s.variant != "" {
		x.Variants = []string{f.p.ID + "/" + s.variant}
	}
	return x, true
}

// within narrows the place of a text to the words found, where they stand on
// its line as typed.
func (f *filing) within(s presentation, m law.ClaimMatch) ingredients.Pos {
	pos := s.pos
	if pos.IsZero() || f.p.Source == nil {
		return pos
	}
	line := []rune(f.p.Source.Line(pos.Line))
	words := []rune(s.text[m.From:m.To])
	for at := max(pos.Col-1, 0); at+len(words) <= len(line); at++ {
		if string(line[at:at+len(words)]) == string(words) {
			pos.Col, pos.Len = at+1, len(words)
			return pos
		}
	}
	return pos
}

// contradicting names what the product, or the variant named, holds of what a
// claim says it does not.
func (f *filing) contradicting(contains []string, variant string) []string {
	var names []string
	for _, word := range contains {
		f.eachResult(func(r *calc.Result) {
			if variant != "" && r.Input.Variant.ID != variant {
				return
			}
			for _, name := range holding(r, word) {
				names = addOnce(names, name)
			}
		})
	}
	return names
}

// holding names what a result holds of a word of the table: a word of an INCI
// name, or one of the marks.
func holding(r *calc.Result, word string) []string {
	var names []string
	switch word {
	case law.ContainsScent:
		for _, u := range r.Fragrances {
			names = addOnce(names, u.Ingredient)
		}
	case law.ContainsAllergen:
		for _, t := range r.Allergens {
			if t.OnLabel() {
				names = addOnce(names, t.LabelName)
			}
		}
	case law.ContainsPreservative:
		for _, l := range r.Limits {
			if l.Row.Annex == "V" && l.Content.Max.Sign() > 0 {
				for _, s := range l.Substances {
					names = addOnce(names, s)
				}
			}
		}
	default:
		for _, s := range r.Whole().Substances {
			if s.IsIngredient() && s.Total.Max.Sign() > 0 && namesSubstance(r.Input.Law, word, s.INCI) {
				names = addOnce(names, s.INCI)
			}
		}
	}
	return names
}

// namesSubstance says whether an INCI name holds the words of a claim, each as a
// word of its own or at the end of one.
func namesSubstance(tables *law.Tables, word, inci string) bool {
	have := wordsOf(inci)
	for _, w := range strings.Fields(word) {
		if !slices.ContainsFunc(have, func(h string) bool { return h == w || len(w) > 4 && strings.HasSuffix(h, w) }) {
			return false
		}
	}
	return !(word == "alcohol" && tables.Words(law.WordsNotAlcohol).In(inci))
}

// unprovenClaims asks for proof where claims are made and no paper supports any.
func (f *filing) unprovenClaims() (ingredients.Finding, bool) {
	if len(f.p.Claims) == 0 {
		return ingredients.Finding{}, false
	}
	if _, ok := f.document("claim", "user-test"); ok {
		return ingredients.Finding{}, false
	}
	x := f.p.about(ingredients.NewFinding(ingredients.Ask, "claim-proof", f.p.Claims[0].Pos, with().Count("claims", len(f.p.Claims)))).
		At(f.p.file(), "documents", with().Name("kind", "claim"))
	for _, c := range f.p.Claims {
		x.Sum = append(x.Sum, ingredients.Term{Pos: c.Pos, Key: "claim-made", Values: with().Quote("claim", c.Text)})
	}
	return x, true
}

// namesOf names what contradicts a claim: raw materials by their names, substances
// as they are.
func (f *filing) namesOf(list []string) ingredients.Values {
	return f.w.materialValues(list)
}
