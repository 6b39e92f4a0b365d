package ready

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/claims"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// claimCodes are the codes of findings by the kind of wording. Kinds that are
// not named here call for proof.
var claimCodes = map[claims.ClaimKind]string{
	claims.ClaimMedicinal:     "claim-medicinal",
	claims.ClaimBiocidal:      "claim-biocidal",
	claims.ClaimAuthority:     "claim-authority",
	claims.ClaimCompliance:    "claim-authority",
	claims.ClaimFreeBanned:    "claim-free-from",
	claims.ClaimFreeDenigrate: "claim-free-from",
	claims.ClaimFreeOther:     "claim-free-from",
	claims.ClaimAnimals:       "claim-animal-testing",
	claims.ClaimAbsolute:      "claim-absolute",
}

// presentation is one text that a product is presented by.
type presentation struct {
	text       string
	what       string // claim, directions, name …
	pos        exact.Pos
	directions bool
	variant    string // the one it names; "" for all
}

// claimsOfFiling reads what the product says of itself for wordings that make a medicine
// or a biocide of it, that the common criteria restrict, or that need proof.
//
// Findings: stop or ask "claim-medicinal", "claim-biocidal", "claim-authority",
// "claim-free-from", "claim-absolute", "claim-animal-testing", "claim-proof".
// Source: claims.csv, which names its sources row by row.
func claimsOfFiling(f *evidence.Filing) []finding.Finding {
	if f.Read {
		return f.Wording
	}
	f.Read = true
	for _, s := range presentations(f) {
		for _, m := range readClaim(f, s) {
			if x, ok := claimFinding(f, s, m); ok {
				f.Wording = append(f.Wording, x)
			}
		}
	}
	if x, ok := unprovenClaims(f); ok {
		f.Wording = append(f.Wording, x)
	}
	return f.Wording
}

// presentations lists claims, directions and names.
func presentations(f *evidence.Filing) []presentation {
	var list []presentation
	for _, c := range f.P.Claims {
		list = append(list, presentation{text: c.Text, what: "claim", pos: c.Pos})
	}
	list = append(list, presentation{text: f.P.Name, what: "name", pos: f.P.NamePos},
		presentation{text: f.P.Function.Text, what: "function", pos: f.P.Function.Pos},
		presentation{text: f.P.Directions.Text, what: "directions", pos: f.P.Directions.Pos, directions: true})
	for _, v := range f.P.Variants {
		if v.Name != "" && v.Name != f.P.Name {
			list = append(list, presentation{text: v.Name, what: "name", pos: v.NamePos, variant: v.ID})
		}
	}
	return slices.DeleteFunc(list, func(s presentation) bool { return s.text == "" })
}

// readClaim reads a text under the rules of every market, each rule once.
func readClaim(f *evidence.Filing, s presentation) []claims.ClaimMatch {
	var list []claims.ClaimMatch
	known := formula.MemoryOf[claimMemory](f.A.Options.Session.Session)
	for _, m := range f.A.Markets {
		for _, x := range known.Of(claimKey{m, s.text, s.directions}, func() []claims.ClaimMatch {
			return law.ReadClaim(f.Law, m, s.text, s.directions)
		}) {
			if !slices.ContainsFunc(list, func(y claims.ClaimMatch) bool { return y.Rule == x.Rule }) {
				list = append(list, x)
			}
		}
	}
	return list
}

// claimMemory keeps what is found in a text: products and their variants share most of theirs.
type claimMemory struct {
	formula.Memo[claimKey, []claims.ClaimMatch]
}

type claimKey struct {
	market     rows.Market
	text       string
	directions bool
}

// claimFinding words one match. A question that a paper on the product answers
// is none.
func claimFinding(f *evidence.Filing, s presentation, m claims.ClaimMatch) (finding.Finding, bool) {
	r := m.Rule
	against := Contradicting(f, r.Contains, s.variant)
	if r.Severity == finding.Ask && len(against) == 0 && len(r.SettledBy) > 0 {
		if _, ok := f.Document(r.SettledBy...); ok {
			return finding.Finding{}, false
		}
	}
	if r.Kind == claims.ClaimAudience && f.P.IntendedFor == formula.UnderThree {
		return finding.Finding{}, false
	}
	v := workshop.With().Term("what", "said-in-"+s.what, nil)
	if len(m.Words) != 1 || m.Words[0] != s.text {
		var list finding.Values
		for _, w := range m.Words {
			list = list.Term("", "quoted", workshop.With().Quote("word", w))
		}
		v = v.Those("words", list)
	}
	v = v.Those("contains", namesOf(f, against)).Quote("remedy", r.Fix).Quote("reason", r.Why)
	sev := r.Severity
	switch {
	case len(against) > 0:
		sev = finding.Stop
	case r.Kind == claims.ClaimFreeOther && len(r.Contains) > 0:
		sev = finding.Note
		v = v.Flag(true, "uncontradicted")
	case r.Kind == claims.ClaimAnimals && f.Answer("P5").State == evidence.ReadyPresent:
		sev = finding.Note
	}
	v = v.Source("law", workshop.TableRow(r.File, &r.Row))
	x := finding.NewFinding(sev, cmp.Or(claimCodes[r.Kind], "claim-proof"), within(f, s, m), v).On(s.text).
		By(finding.TheMaker).At(s.pos.File, s.what, nil)
	if x.Code == "claim-proof" {
		x = x.As("wording")
	}
	if s.variant != "" {
		x.Variants = []string{f.P.ID + "/" + s.variant}
	}
	return x, true
}

// within narrows the place of a text to the words found, where they stand on
// its line as typed.
func within(f *evidence.Filing, s presentation, m claims.ClaimMatch) exact.Pos {
	pos := s.pos
	if pos.IsZero() || f.P.Source == nil {
		return pos
	}
	line := []rune(f.P.Source.Line(pos.Line))
	words := []rune(s.text[m.From:m.To])
	for at := max(pos.Col-1, 0); at+len(words) <= len(line); at++ {
		if string(line[at:at+len(words)]) == string(words) {
			pos.Col, pos.Len = at+1, len(words)
			return pos
		}
	}
	return pos
}

// Contradicting names what the product, or the variant named, holds of what a
// claim says it does not.
func Contradicting(f *evidence.Filing, contains []string, variant string) []string {
	var names []string
	for _, word := range contains {
		f.EachResult(func(r *calc.Result) {
			if variant != "" && r.Input.Variant.ID != variant {
				return
			}
			for _, name := range holding(r, word) {
				names = words.AddOnce(names, name)
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
	case claims.ContainsScent:
		for _, u := range r.Fragrances {
			names = words.AddOnce(names, u.Ingredient)
		}
	case claims.ContainsAllergen:
		for _, t := range r.Allergens {
			if t.OnLabel() {
				names = words.AddOnce(names, t.LabelName)
			}
		}
	case claims.ContainsPreservative:
		for _, l := range r.Limits {
			if l.Row.Annex == "V" && l.Content.Max.Sign() > 0 {
				for _, s := range l.Substances {
					names = words.AddOnce(names, s)
				}
			}
		}
	default:
		for _, s := range r.Whole().Substances {
			if s.IsIngredient() && s.Total.Max.Sign() > 0 && namesSubstance(r.Input.Law, word, s.INCI) {
				names = words.AddOnce(names, s.INCI)
			}
		}
	}
	return names
}

// namesSubstance says whether an INCI name holds the words of a claim, each as a
// word of its own or at the end of one.
func namesSubstance(tables *table.Tables, word, inci string) bool {
	have := evidence.WordsOf(inci)
	for _, w := range strings.Fields(word) {
		if !slices.ContainsFunc(have, func(h string) bool {
			return h == w || len(w) > 4 &&
				strings.HasSuffix(h, w)
		}) {
			return false
		}
	}
	return !(word == "alcohol" && tables.Words(rows.WordsNotAlcohol).In(inci))
}

// unprovenClaims asks for proof where claims are made and no paper supports any.
func unprovenClaims(f *evidence.Filing) (finding.Finding, bool) {
	if len(f.P.Claims) == 0 {
		return finding.Finding{}, false
	}
	if _, ok := f.Document("claim", "user-test"); ok {
		return finding.Finding{}, false
	}
	x := f.P.About(finding.NewFinding(finding.Ask, "claim-proof", f.P.Claims[0].Pos, workshop.With().
		Count("claims", len(f.P.Claims)))).
		At(f.P.File(), "documents", workshop.With().Name("kind", "claim"))
	for _, c := range f.P.Claims {
		x.Sum = append(x.Sum, finding.Term{Pos: c.Pos, Key: "claim-made", Values: workshop.With().
			Quote("claim", c.Text)})
	}
	return x, true
}

// namesOf names what contradicts a claim: raw materials by their names, substances
// as they are.
func namesOf(f *evidence.Filing, list []string) finding.Values {
	return f.W.MaterialValues(list)
}
