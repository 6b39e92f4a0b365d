package calc

import (
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
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
func Preservation(in *Input, whole *Composition) []ingredients.Finding {
	water := waterIn(whole, in)
	if !water.wet() && !in.Type.WaterContact {
		return nil
	}
	var fs []ingredients.Finding
	preservatives := preservativesIn(in, whole)
	tested := challengeFindings(in, &fs)
	if in.Product.Evidence.LowRisk != nil {
		fs = append(fs, lowRiskFinding(in, water))
	}
	switch {
	case len(preservatives) == 0 && !tested && in.Product.Evidence.LowRisk == nil:
		fs = append(fs, noPreservative(in, water))
	case len(preservatives) > 0 && !tested && in.Product.Evidence.LowRisk == nil:
		fs = append(fs, ingredients.Findingf(ingredients.Ask, "no-challenge-test", in.Product.Pos,
			"no challenge test is on record: that %s in it does not show that it is protected", areIn(preservatives)).
			On(in.Product.ID).AskOf("a laboratory").
			WithWhy("a preservation challenge test is part of the report for a product in which germs can grow; Regulation (EC) 1223/2009 Annex I part A 3").
			WithFix("have the finished formula tested (ISO 11930) and enter it under microbiology"))
	}
	return fs
}

// waterContent is what a product holds of water.
type waterContent struct {
	names []string
	pct   ingredients.Range
}

func (w waterContent) wet() bool { return w.pct.Max.Sign() > 0 }

// waterIn adds water and aqueous plant waters.
func waterIn(c *Composition, in *Input) waterContent {
	var w waterContent
	aqua := in.Dict.Canonical("Aqua")
	for _, s := range c.Substances {
		if s.INCI == aqua || in.Law.Words(law.WordsWater).In(s.INCI) {
			w.names = append(w.names, s.INCI)
			w.pct = w.pct.Add(s.Pct)
		}
	}
	return w
}

// preservativesIn names the substances of the preservative annex in the product.
func preservativesIn(in *Input, c *Composition) []string {
	var names []string
	for _, s := range c.Substances {
		if s.IsIngredient() && in.Law.IsPreservative(s.INCI, s.CAS, in.Market, in.Date) {
			names = append(names, s.INCI)
		}
	}
	return names
}

func challengeFindings(in *Input, fs *[]ingredients.Finding) (tested bool) {
	for _, t := range in.Product.Evidence.ChallengeTests {
		switch strings.ToUpper(t.Verdict) {
		case "A":
			tested = true
			*fs = append(*fs, ingredients.Findingf(ingredients.Note, "challenge-test", t.Pos, "challenge test %s of %s: criterion A", t.Method, t.Dated).
				On(in.Product.ID).WithFix("check that the formula tested is this one"))
		case "B":
			tested = true
			*fs = append(*fs, ingredients.Findingf(ingredients.Ask, "challenge-test-b", t.Pos, "challenge test %s of %s meets criterion B only", t.Method, t.Dated).
				On(in.Product.ID).AskOf("the assessor").WithFix("give the reasons, such as the pack, why criterion B is enough here"))
		default:
			tested = true
			*fs = append(*fs, ingredients.Findingf(ingredients.Stop, "challenge-test-failed", t.Pos, "challenge test %s of %s failed", t.Method, t.Dated).
				On(in.Product.ID).WithFix("change the preservation and test again"))
		}
	}
	return tested
}

func noPreservative(in *Input, w waterContent) ingredients.Finding {
	reason := "water gets in when it is used (" + lowerFirst(in.Type.Name) + ")"
	if w.wet() {
		reason = "it holds " + rangeText(w.pct) + " % of " + joinAnd(w.names)
	}
	f := ingredients.Findingf(ingredients.Ask, "no-preservative", in.Product.Pos, "no preservative is in the product, yet %s: germs may grow", reason).
		On(in.Product.ID).AskOf("a laboratory or the assessor").
		WithWhy("microbiological quality must be shown; Regulation (EC) 1223/2009 Annex I part A 3, ISO 29621")
	f.Fix = "add a preservative and have it tested (ISO 11930), or enter low_risk with one of: " + lowRiskList(in.Law)
	return f
}

// lowRiskList words the criteria of the table.
func lowRiskList(tables *law.Tables) string {
	var items []string
	for _, row := range tables.LowRiskCriteria() {
		if row.LowRisk == law.LowRiskRemark {
			continue
		}
		items = append(items, lowRiskWords(row))
	}
	return strings.Join(items, "; ")
}

// lowRiskWords words one criterion: "water activity at most 0.75".
func lowRiskWords(row *law.StabilityItem) string {
	switch {
	case row.LowRisk == law.LowRiskAlone:
		return row.Item
	case row.LowRisk == law.LowRiskSupports:
		return row.Item + ", which only supports a case"
	}
	text := row.Item + " " + strings.NewReplacer("<=", specSigns["<="]+" ", ">=", specSigns[">="]+" ", "<", specSigns["<"]+" ", ">", specSigns[">"]+" ").Replace(row.Value)
	switch row.Unit {
	case "", "flag", "pH", "aw":
	case "deg C":
		text += " °C"
	default:
		text += " " + row.Unit
	}
	return text
}

// areIn says of substances that they are in something.
func areIn(names []string) string {
	if len(names) == 1 {
		return names[0] + " is"
	}
	return joinAnd(names) + " are"
}

func lowRiskFinding(in *Input, w waterContent) ingredients.Finding {
	c := in.Product.Evidence.LowRisk
	f := ingredients.Findingf(ingredients.Ask, "low-risk", c.Pos, "a low-risk case is made (%s): the assessor judges it", c.Reason).
		On(in.Product.ID).AskOf("the assessor").
		WithWhy("criteria of ISO 29621: %s", lowRiskList(in.Law))
	switch {
	case c.WaterActivity == nil && c.PH == nil && c.EthanolPct == nil:
		f.Fix = "add the measured figure (water_activity, ph or ethanol_pct) and the report"
	case c.File == "":
		f.Fix = "add the report of the measurement under evidence"
	default:
		f.Fix = "show the assessor " + c.File
	}
	if in.Type.WaterContact && !w.wet() {
		f.Message += "; water gets in when it is used, so being without water is no reason on its own"
	}
	return f
}
