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
		fs = append(fs, in.onProduct(ingredients.NewFinding(ingredients.Ask, "area-contradicts", in.Product.AreasPos,
			with().Name("area", a).Name("type", in.Product.Type).Names("areas", in.Type.Areas))).By(ingredients.TheMaker).At(in.Product.Pos.File, "body_area", nil))
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
			fs = append(fs, ingredients.NewFinding(ingredients.Ask, "acid-above-ph", ph.Pos, with().Num("ph", ph.Max, "", ingredients.AsIs).
				Figure("share", strconv.FormatFloat(share, 'g', 2, 64), "%").Figure("pka", strconv.FormatFloat(acid.PKa, 'f', 2, 64), "").
				Source("least", rowSource(least.Source, "facts.csv", least.Key, least.FromMemory())).
				Source("acid", rowSource(acid.Source, "acid-preservatives.csv", acid.Key, acid.FromMemory()))).
				On(s.INCI).By(ingredients.TheAssessor, ingredients.ALaboratory).At(ph.Pos.File, "specification.ph", nil))
		}
	}
	return fs
}

func unusualDensity(in *Input, d ingredients.Num) bool {
	return d.Less(in.Law.Fact("density-usual-low").Number) || in.Law.Fact("density-usual-high").Number.Less(d)
}

func densityFinding(in *Input, d ingredients.Num, pos ingredients.Pos, of string) ingredients.Finding {
	return ingredients.NewFinding(ingredients.Ask, "density-unusual", pos, with().Num("density", d, "g/ml", ingredients.AsIs).
		Num("low", in.Law.Fact("density-usual-low").Number, "", ingredients.AsIs).Num("high", in.Law.Fact("density-usual-high").Number, "", ingredients.AsIs)).
		On(of).By(ingredients.TheMaker).At(pos.File, "density_g_ml", nil)
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
		pos := t.Pos
		if pos.Line == 0 {
			pos = b.facts.Pos
		}
		b.say(ingredients.NewFinding(ingredients.Ask, "label-use-contradicts", pos, with().Quote("phrase", strings.TrimSpace(p.Phrase)).
			Name("type", b.in.Product.Type).Term("says", useTerm(p.RinseOff), nil).Term("kind", useTerm(b.in.Type.RinseOff), nil)), "L60")
	}
}

// useTerm names the term for what is rinsed off or stays on.
func useTerm(rinseOff bool) string {
	if rinseOff {
		return "use-rinse-off"
	}
	return "use-leave-on"
}
