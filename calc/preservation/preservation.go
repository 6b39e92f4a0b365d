package preservation

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Preservation asks what protects a product in which germs can grow: one with
// water in it, or one that gets wet in use.
//
// Findings: ask "no-preservative" with the evidence that would settle it; ask
// "no-challenge-test" where a preservative is there but no test shows that it
// protects; ask "low-risk" where the maker makes a low-risk case, for the
// assessor to judge; note "challenge-test" where a test is on record, stop
// "challenge-test-failed" where it failed.
// Source: stability-micro.csv rows of topic "low risk" (ISO 29621) and
// "challenge" (ISO 11930).
func Preservation(in *formula.Input, whole *formula.Composition) []finding.Finding {
	water := waterIn(whole, in)
	if !water.wet() && !in.Type.WaterContact {
		return nil
	}
	var fs []finding.Finding
	preservatives := preservativesIn(in, whole)
	tested := challengeFindings(in, &fs)
	if in.Product.Evidence.LowRisk != nil {
		fs = append(fs, lowRiskFinding(in, water))
	}
	switch {
	case len(preservatives) == 0 && !tested && in.Product.Evidence.LowRisk == nil:
		fs = append(fs, noPreservative(in, water))
	case len(preservatives) > 0 && !tested && in.Product.Evidence.LowRisk == nil:
		f := in.OnProduct(finding.NewFinding(finding.Ask, "no-challenge-test", in.Product.Pos, nil)).
			By(finding.ALaboratory).At(in.Product.Pos.File, "microbiology", nil)
		fs = append(fs, f.AboutNames(preservatives))
	}
	return fs
}

// waterContent is what a product holds of water.
type waterContent struct {
	names []string
	pct   exact.Range
}

func (w waterContent) wet() bool { return w.pct.Max.Sign() > 0 }

// waterMemory keeps which names are those of water or of a plant water.
type waterMemory struct{ formula.Memo[string, bool] }

func isWater(s *formula.Session, inci string) bool {
	return formula.MemoryOf[waterMemory](s).Of(inci, func() bool {
		return inci == s.Dict.Canonical("Aqua") || s.Law.Words(rows.WordsWater).In(inci) || isPlantWater(s, inci)
	})
}

// isPlantWater says whether a name is that of a plant water, however it is called.
func isPlantWater(s *formula.Session, inci string) bool {
	if p := formula.Plant(s, inci); p != nil {
		return slices.Contains(p.Preparation, "water")
	}
	return strings.HasSuffix(strings.ToLower(inci), " water")
}

// waterIn adds water and aqueous plant waters.
func waterIn(c *formula.Composition, in *formula.Input) waterContent {
	var w waterContent
	for _, s := range c.Substances {
		if isWater(in.Session, s.INCI) {
			w.names = append(w.names, s.INCI)
			w.pct = w.pct.Add(s.Pct)
		}
	}
	return w
}

// preservativesIn names the substances of the preservative annex in the product.
func preservativesIn(in *formula.Input, c *formula.Composition) []string {
	var names []string
	for _, s := range c.Substances {
		if s.IsIngredient() && law.IsPreservative(in.Law, s.INCI, s.CAS, in.Market, in.Date) {
			names = append(names, s.INCI)
		}
	}
	return names
}

func challengeFindings(in *formula.Input, fs *[]finding.Finding) (tested bool) {
	for _, t := range in.Product.Evidence.ChallengeTests {
		say := func(sev finding.Severity, code string, who finding.Party) {
			*fs = append(*fs,
				in.OnProduct(finding.NewFinding(sev, code, t.Pos, formula.With().Name("method", t.Method).
					Day("dated", t.Dated))).By(who))
		}
		tested = true
		switch strings.ToUpper(t.Verdict) {
		case "A":
			say(finding.Note, "challenge-test", finding.TheMaker)
		case "B":
			say(finding.Ask, "challenge-test-b", finding.TheAssessor)
		default:
			say(finding.Stop, "challenge-test-failed", finding.TheMaker)
		}
	}
	return tested
}

func noPreservative(in *formula.Input, w waterContent) finding.Finding {
	v := formula.With().Those("criteria", lowRiskCriteria(in.Session))
	form := "in-use"
	if w.wet() {
		form, v = "", v.Range("water", w.pct, "%", finding.FourDigits).Names("names", w.names)
	} else {
		v = v.Quote("type", formula.LowerFirst(in.Type.Name))
	}
	return in.OnProduct(finding.NewFinding(finding.Ask, "no-preservative", in.Product.Pos, v)).As(form).
		By(finding.ALaboratory, finding.TheAssessor).At(in.Product.Pos.File, "low_risk", nil)
}

// lowRiskWords words one criterion: "water activity at most 0.75".
func lowRiskWords(row *safety.StabilityItem) string {
	switch {
	case row.LowRisk == safety.LowRiskAlone:
		return row.Item
	case row.LowRisk == safety.LowRiskSupports:
		return row.Item + ", which only supports a case"
	}
	text := row.Item + " " + strings.NewReplacer("<=", formula.SpecSigns["<="]+" ", ">=",
		formula.SpecSigns[">="]+" ", "<", formula.SpecSigns["<"]+" ", ">", formula.SpecSigns[">"]+" ").
		Replace(row.Value)
	switch row.Unit {
	case "", "flag", "pH", "aw":
	case "deg C":
		text += " °C"
	default:
		text += " " + row.Unit
	}
	return text
}

func lowRiskFinding(in *formula.Input, w waterContent) finding.Finding {
	c := in.Product.Evidence.LowRisk
	v := formula.With().Quote("reason", c.Reason).Those("criteria", lowRiskCriteria(in.Session)).
		Flag(in.Type.WaterContact && !w.wet(), "wet-in-use")
	form := "shown"
	switch {
	case c.WaterActivity == nil && c.PH == nil && c.EthanolPct == nil:
		form = "no-figure"
	case c.File == "":
		form = "no-report"
	default:
		v = v.Name("document", c.File)
	}
	return in.OnProduct(finding.NewFinding(finding.Ask, "low-risk", c.Pos, v)).As(form).By(finding.TheAssessor).
		At(c.Pos.File, "low_risk", nil)
}

// lowRiskCriteria are the criteria of the table.
func lowRiskCriteria(s *formula.Session) finding.Values {
	return formula.MemoryOf[criteriaMemory](s).Of(struct{}{}, func() (items finding.Values) {
		for _, row := range law.LowRiskCriteria(s.Law) {
			if row.LowRisk != safety.LowRiskRemark {
				items = items.Quote("", lowRiskWords(row))
			}
		}
		return items
	})
}

// criteriaMemory keeps the criteria of the table in words.
type criteriaMemory struct {
	formula.Memo[struct{}, finding.Values]
}
