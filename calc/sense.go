package calc

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/ingredients"
)

// SenseFindings looks at whether a product file agrees with itself.
//
// Findings: ask "area-contradicts" when a body area and the product type do not
// go together; ask "acid-above-ph" when a weak acid that preserves is hardly
// undissociated at the highest pH of the specification; ask "density-unusual" when
// a density is one that liquids and powders hardly have.
func SenseFindings(in *Input, whole *Composition) []ingredients.Finding {
	fs := areaFindings(in)
	fs = append(fs, acidFindings(in, whole)...)
	if d := in.Product.Evidence.DensityGML; d != nil && unusualDensity(in, *d) {
		fs = append(fs, densityFinding(in, *d, in.Product.Pos, in.Product.ID))
	}
	for _, s := range sheetsIn(in, []*Composition{whole}) {
		if d := s.Physical.DensityGML; d != nil && unusualDensity(in, *d) {
			fs = append(fs, densityFinding(in, *d, s.Pos, s.ID))
		}
	}
	return fs
}

// areaFindings compares the areas of the file with those of the product type: an
// area of the narrow kind (eye, lip, nail, hair, mucous, nappy) that the type does
// not have changes limits and exposure.
func areaFindings(in *Input) []ingredients.Finding {
	narrow := []string{"eye", "lip", "nail", "hair", "mucous", "nappy"}
	var fs []ingredients.Finding
	for _, a := range in.Product.BodyAreas {
		if len(in.Type.Areas) == 0 || slices.Contains(in.Type.Areas, a) || !slices.Contains(narrow, a) {
			continue
		}
		fs = append(fs, ingredients.Findingf(ingredients.Ask, "area-contradicts", in.Product.AreasPos, "body area %s does not go with product type %s, which is for %s", a, in.Product.Type, joinAnd(in.Type.Areas)).
			On(in.Product.ID).WithFix("take the type that it is used as (gallipot law --types lists them), or take the area out; limits and exposure differ"))
	}
	return fs
}

func acidFindings(in *Input, whole *Composition) []ingredients.Finding {
	ph := in.Product.Evidence.PH
	if ph == nil {
		return nil
	}
	least := in.Law.Fact("acid-undissociated-least")
	var fs []ingredients.Finding
	for _, s := range whole.Substances {
		acid := in.Law.AcidPreservative(s.INCI)
		if acid == nil || !s.IsIngredient() || !in.Law.IsPreservative(s.INCI, s.CAS, in.Market, in.Date) || !slices.Contains(rolesOf(in, s).all, fnPreservative) {
			continue
		}
		high := ph.Max.Float()
		if share := acid.UndissociatedPct(high); share < least.Float() {
			fs = append(fs, ingredients.Findingf(ingredients.Ask, "acid-above-ph", ph.Pos, "%s preserves as the undissociated acid, and at pH %s only %s %% of it is (pKa %s)",
				s.INCI, ph.Max.Exact(), strconv.FormatFloat(share, 'g', 2, 64), strconv.FormatFloat(acid.PKa, 'f', 2, 64)).
				On(s.INCI).AskOf("the assessor or a laboratory").
				WithWhy("%s; %s (acid-preservatives.csv, row %s)", least.Source, acid.Source, acid.Key).
				WithFix("lower the pH, or show by a challenge test that it is protected"))
		}
	}
	return fs
}

func unusualDensity(in *Input, d ingredients.Num) bool {
	return d.Less(in.Law.Fact("density-usual-low").Number) || in.Law.Fact("density-usual-high").Number.Less(d)
}

func densityFinding(in *Input, d ingredients.Num, pos ingredients.Pos, of string) ingredients.Finding {
	return ingredients.Findingf(ingredients.Ask, "density-unusual", pos, "a density of %s g/ml is hardly that of a cosmetic material: most are from %s to %s", d.Exact(),
		in.Law.Fact("density-usual-low").Value, in.Law.Fact("density-usual-high").Value).On(of).
		WithFix("check the figure and its unit: 980 kg/m3 is 0.98 g/ml")
}

// useFindings compares what the presentation says of use with the product type.
//
// Findings: ask "label-use-contradicts".
func (b *labelling) useFindings() {
	texts := append([]LabelWords{b.facts.Name, b.facts.Function, b.facts.Directions}, b.facts.Warnings...)
	for _, c := range b.in.Product.Claims {
		texts = append(texts, LabelWords{Text: c.Text, Pos: c.Pos})
	}
	said := map[bool]string{}
	for _, t := range texts {
		p := b.law.UsePhrase(t.Text)
		if p == nil || p.RinseOff == b.in.Type.RinseOff || said[p.RinseOff] != "" {
			continue
		}
		said[p.RinseOff] = p.Phrase
		is, says := "leave-on", "rinse-off"
		if b.in.Type.RinseOff {
			is, says = says, is
		}
		pos := t.Pos
		if pos.Line == 0 {
			pos = b.facts.Pos
		}
		b.say(ingredients.Findingf(ingredients.Ask, "label-use-contradicts", pos, "%q says %s, and the product type %s is %s: limits, allergen thresholds and exposure are those of %s",
			strings.TrimSpace(p.Phrase), says, b.in.Product.Type, is, is).
			WithFix("take the type that it is used as (gallipot law --types lists them), or change the wording"), "L60")
	}
}
