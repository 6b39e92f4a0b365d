package sense

import (
	"slices"
	"strconv"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/calc/purpose"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Findings looks at whether a product file agrees with itself.
//
// Findings: ask "area-contradicts" when a body area and the product type do not
// go together; ask "acid-above-ph" when a weak acid that preserves is hardly
// undissociated at the highest pH of the specification; ask "density-unusual" when
// a density is one that liquids and powders hardly have.
func Findings(in *formula.Input, whole *formula.Composition) []finding.Finding {
	fs := areaFindings(in)
	fs = append(fs, acidFindings(in, whole)...)
	if d := in.Product.Evidence.DensityGML; d != nil && UnusualDensity(in.Law, *d) {
		fs = append(fs, densityFinding(in, *d, in.Product.Evidence.DensityPos, in.Product.ID,
			"specification.density"))
	}
	for _, s := range formula.SheetsIn(in, []*formula.Composition{whole}) {
		if d := s.Physical.DensityGML; d != nil && UnusualDensity(in.Law, *d) {
			fs = append(fs, densityFinding(in, *d, s.Pos, s.ID, "physical.density_g_ml"))
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
		fs = append(fs, in.OnProduct(finding.NewFinding(finding.Ask, "area-contradicts", in.Product.AreasPos,
			formula.With().Name("area", a).Name("type", in.Product.Type).Names("areas", in.Type.Areas))).
			By(finding.TheMaker).At(in.Product.Pos.File, "body_area", nil))
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
		if acid == nil || !s.IsIngredient() || !law.IsPreservative(in.Law, s.INCI, s.CAS, in.Market, in.Date) ||
			!purpose.MayPreserve(in, s) {
			continue
		}
		high := ph.Max.Float()
		share := acid.UndissociatedPct(high)
		if share >= least.Float() {
			continue
		}
		say := func() finding.Finding {
			return finding.NewFinding(finding.Ask, "acid-above-ph", ph.Pos, formula.With().
				Num("ph", ph.Max, "", finding.AsIs).
				Figure("share", strconv.FormatFloat(share, 'g', 2, 64), "%").
				Figure("pka", strconv.FormatFloat(acid.PKa, 'f', 2, 64), "").
				Source("least", formula.RowSource(least.Source, "facts.csv", least.Key, least.FromMemory())).
				Source("acid", formula.RowSource(acid.Source, "acid-preservatives.csv", acid.Key, acid.FromMemory()))).
				On(s.INCI).By(finding.TheAssessor, finding.ALaboratory).At(ph.Pos.File, "specification.ph", nil)
		}
		if known := formula.SharedOf[acidMemory](in); known != nil {
			fs = append(fs, known.Of(acidKey{in.Product, s.INCI}, say))
		} else {
			fs = append(fs, say())
		}
	}
	return fs
}

// acidMemory keeps what is said of an acid: it is the same for all variants and markets.
type acidMemory struct {
	formula.Memo[acidKey, finding.Finding]
}

type acidKey struct {
	product *formula.Product
	inci    string
}

// UnusualDensity says whether a density, in g/ml, is one that cosmetics hardly have: it
// is then a slip of the unit or of the point, more often than not.
//
// Source: facts.csv, rows density-usual-low and density-usual-high.
func UnusualDensity(tables *table.Tables, d exact.Num) bool {
	return d.Less(law.Fact(tables, "density-usual-low").Number) || law.Fact(tables, "density-usual-high").
		Number.Less(d)
}

func densityFinding(in *formula.Input, d exact.Num, pos exact.Pos, of, key string) finding.Finding {
	return finding.NewFinding(finding.Ask, "density-unusual", pos, formula.With().
		Num("density", d, "g/ml", finding.AsIs).
		Num("low", law.Fact(in.Law, "density-usual-low").Number, "", finding.AsIs).
		Num("high", law.Fact(in.Law, "density-usual-high").Number, "", finding.AsIs)).
		On(of).By(finding.TheMaker).At(pos.File, key, nil)
}
