package limits

import (
	"slices"
	"strconv"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// SenseFindings looks at whether a product file agrees with itself.
//
// Findings: ask "area-contradicts" when a body area and the product type do not
// go together; ask "acid-above-ph" when a weak acid that preserves is hardly
// undissociated at the highest pH of the specification; ask "density-unusual" when
// a density is one that liquids and powders hardly have.
func SenseFindings(in *formula.Input, whole *formula.Composition) []finding.Finding {
	fs := areaFindings(in)
	fs = append(fs, acidFindings(in, whole)...)
	if d := in.Product.Evidence.DensityGML; d != nil && unusualDensity(in, *d) {
		fs = append(fs, densityFinding(in, *d, in.Product.Pos, in.Product.ID))
	}
	for _, s := range formula.SheetsIn(in, []*formula.Composition{whole}) {
		if d := s.Physical.DensityGML; d != nil && unusualDensity(in, *d) {
			fs = append(fs, densityFinding(in, *d, s.Pos, s.ID))
		}
	}
	return fs
}

// areaFindings compares the areas of the file with those of the product type: an
// area of the narrow kind (eye, lip, nail, hair, mucous, nappy) that the type does
// not have changes limits and exposure.
func areaFindings(in *formula.Input) []finding.Finding {
	narrow := []string{"eye", "lip", "nail", "hair", "mucous", "nappy"}
	var fs []finding.Finding
	for _, a := range in.Product.BodyAreas {
		if len(in.Type.Areas) == 0 || slices.Contains(in.Type.Areas, a) || !slices.Contains(narrow, a) {
			continue
		}
		fs = append(fs, finding.Findingf(finding.Ask, "area-contradicts", in.Product.AreasPos, "body area %s does not go with product type %s, which is for %s", a, in.Product.Type, formula.JoinAnd(in.Type.Areas)).
			On(in.Product.ID).WithFix("take the type that it is used as (gallipot law --types lists them), or take the area out; limits and exposure differ"))
	}
	return fs
}

func acidFindings(in *formula.Input, whole *formula.Composition) []finding.Finding {
	ph := in.Product.Evidence.PH
	if ph == nil {
		return nil
	}
	least := law.Fact(in.Law, "acid-undissociated-least")
	var fs []finding.Finding
	for _, s := range whole.Substances {
		acid := in.Law.AcidPreservative(s.INCI)
		if acid == nil || !s.IsIngredient() || !law.IsPreservative(in.Law, s.INCI, s.CAS, in.Market, in.Date) || !slices.Contains(rolesOf(in, s).All, fnPreservative) {
			continue
		}
		high := ph.Max.Float()
		if share := acid.UndissociatedPct(high); share < least.Float() {
			fs = append(fs, finding.Findingf(finding.Ask, "acid-above-ph", ph.Pos, "%s preserves as the undissociated acid, and at pH %s only %s %% of it is (pKa %s)",
				s.INCI, ph.Max.Exact(), strconv.FormatFloat(share, 'g', 2, 64), strconv.FormatFloat(acid.PKa, 'f', 2, 64)).
				On(s.INCI).AskOf("the assessor or a laboratory").
				WithWhy("%s; %s (acid-preservatives.csv, row %s)", least.Source, acid.Source, acid.Key).
				WithFix("lower the pH, or show by a challenge test that it is protected"))
		}
	}
	return fs
}

func unusualDensity(in *formula.Input, d exact.Num) bool {
	return d.Less(law.Fact(in.Law, "density-usual-low").Number) || law.Fact(in.Law, "density-usual-high").Number.Less(d)
}

func densityFinding(in *formula.Input, d exact.Num, pos finding.Pos, of string) finding.Finding {
	return finding.Findingf(finding.Ask, "density-unusual", pos, "a density of %s g/ml is hardly that of a cosmetic material: most are from %s to %s", d.Exact(),
		law.Fact(in.Law, "density-usual-low").Value, law.Fact(in.Law, "density-usual-high").Value).On(of).
		WithFix("check the figure and its unit: 980 kg/m3 is 0.98 g/ml")
}
