package ready_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/trade"
	"gallipot/dossier/assess"
	"gallipot/dossier/evidence"
	"gallipot/dossier/ready"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// changes leave a product as no file can: what the reader refuses, or takes many files to
// come to. Each names the item that answers, and what it says.
var changes = []struct {
	id, want string
	change   func(*evidence.Filing)
}{
	{"P1", "name or revision is not stated", func(f *evidence.Filing) { f.P.Revision = 0 }},
	{"N2", "name or type of the product is not stated", func(f *evidence.Filing) { f.P.Name = "" }},
	{"A1", "none of A1a, A1b, A1c, A1d, A1e, A1f is needed", func(f *evidence.Filing) { f.Rules = unneeded(f.Rules) }},
	{"A1a", "the formula cannot be computed", func(f *evidence.Filing) { f.A.Results[0].Recipe.Whole.Shares = nil }},
	{"A1a", "no substance is known", func(f *evidence.Filing) { f.A.Results = nil }},
	{"A5", "not stated: directions; whom it is intended for; where it is used; warnings, or that none are needed",
		func(f *evidence.Filing) {
			f.P.Directions.Text, f.P.IntendedFor, f.P.BodyAreas = "", "", nil
			f.P.Warnings, f.P.WarningsPos = nil, exact.Pos{}
		}},
	{"A6", "no exposure figure is known for this type of product", func(f *evidence.Filing) { f.A.Results = nil }},
	{"A6a", "no default is in the tables for this type of product", func(f *evidence.Filing) { f.A.Results = nil }},
	{"A6b", "to be considered: can be breathed in", func(f *evidence.Filing) { f.Kind = inhaled(f.Kind) }},
	{"P7", "no address for GB, no address for EU",
		func(f *evidence.Filing) { persons(f, func(p *workshop.Party) { p.Address = nil }) }},
	{"P7", "no country for GB, no country for EU",
		func(f *evidence.Filing) { persons(f, func(p *workshop.Party) { p.Country = "" }) }},
	{"P2", "signed on 2026-05-01 by T for these figures", func(f *evidence.Filing) { sign(f, "evidence/report.txt") }},
	{"P2", "the assessment of 2026-05-01 is entered, the signed report is not on file",
		func(f *evidence.Filing) { sign(f, "") }},
	{"P8", "nothing that the figures rest on has changed since 2026-05-01", func(f *evidence.Filing) { sign(f, "") }},
	{"B1", "the report of 2026-05-01 is not on file", func(f *evidence.Filing) { sign(f, "") }},
	{"B1", "the conclusion is in the report of 2026-05-01", func(f *evidence.Filing) { sign(f, "evidence/report.txt") }},
	{"B2", "the statement on warnings and instructions is in the report of 2026-05-01",
		func(f *evidence.Filing) { sign(f, "evidence/report.txt") }},
	{"B3", "the reasoning is in the report of 2026-05-01", func(f *evidence.Filing) { sign(f, "evidence/report.txt") }},
	{"G1", "a statement of good manufacturing practice", func(*evidence.Filing) {}},
	{"G2", "a batch is planned and none is made yet", plan},
	{"N8c", "less than 1 % of water in it", func(f *evidence.Filing) {
		f.P.Specification.PH = nil
		for _, c := range f.A.Results[0].Compositions {
			for _, s := range c.Substances {
				if s.INCI == "Aqua" {
					s.Pct.Max = exact.Frac(1, 2)
				}
			}
		}
		f.A.Results = f.A.Results[:1]
	}},
	{"A4b", "no trace of a prohibited substance is among the impurities that the sheets state", func(f *evidence.Filing) {
		for _, s := range f.Sheets {
			s.Impurities = append(s.Impurities, ingredients.Impurity{Name: "Water"})
		}
	}},
}

// unneeded answers every item as one that is not needed, but for the one that sums them up.
func unneeded(rules map[string]func(*evidence.Filing) evidence.Answer) map[string]func(*evidence.Filing) evidence.Answer {
	out := map[string]func(*evidence.Filing) evidence.Answer{}
	for id := range rules {
		out[id] = func(*evidence.Filing) evidence.Answer { return evidence.NotNeeded("no-claim", nil) }
	}
	out["A1"] = rules["A1"]
	return out
}

// inhaled is a type of product that can be breathed in.
func inhaled(kind *trade.ProductType) *trade.ProductType {
	x := *kind
	x.Forms = []string{"inhalable"}
	return &x
}

// persons changes every responsible person.
func persons(f *evidence.Filing, change func(*workshop.Party)) {
	for m, p := range f.W.ResponsiblePersons {
		change(&p)
		f.W.ResponsiblePersons[m] = p
	}
}

// sign enters an assessment of today's figures, with its report where there is one.
func sign(f *evidence.Filing, report string) {
	f.P.Assessments = []workshop.Recorded{{Assessor: "T", Dated: 20260501, Fingerprint: f.A.Fingerprint, File: report}}
}

// plan enters a batch that nobody has made yet.
func plan(f *evidence.Filing) { f.W.BatchRecords = []*workshop.Batch{{Product: f.P.ID}} }

// TestChangedProducts looks at what the changes come to.
func TestChangedProducts(t *testing.T) {
	for _, c := range changes {
		f := changed(t, c.change)
		assert.True(t, strings.HasPrefix(words.InFull(f.Answer(c.id).Says), c.want), "%s: %s is not %s", c.id,
			words.InFull(f.Answer(c.id).Says), c.want)
	}
}

// changed is what is on file of the full workshop after a change.
func changed(t *testing.T, change func(*evidence.Filing)) *evidence.Filing {
	t.Helper()
	f := evidence.New(assessFiles(t, workshoptest.FullFiles()))
	f.Rules = ready.DossierRules()
	change(f)
	return f
}

// TestEveryRemarkIsSaid says every wording of templates/readiness at least once, and holds
// each to what the rule passes: no value is missing, none unused, none a sentence.
func TestEveryRemarkIsSaid(t *testing.T) {
	said, faults := map[string]bool{}, map[string]bool{}
	var look func(finding.Values)
	look = func(list finding.Values) {
		for _, v := range list {
			if v.Kind == finding.KindTerm {
				said[v.Text] = true
			}
			look(v.List)
		}
	}
	told := func(x evidence.Answer) {
		for _, r := range x.Says {
			said[r.Code] = true
			look(r.Values)
			for _, fault := range words.RemarkFaults(r) {
				faults[fault] = true
			}
		}
		look(ready.Suppliers(x.From))
	}
	hear := func(a *assess.Assessment) {
		for _, x := range ready.Readiness(a) {
			assert.NotContains(t, x.Because(), "  ", x.ID)
			told(evidence.Answer{Says: x.Says, From: x.From})
		}
	}
	for _, c := range ruleCases() {
		hear(c.assessed(t))
	}
	for _, c := range batchCases {
		hear(assessFiles(t, withBatch(t, c.old, c.new)))
	}
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		hear(demo(t, id))
	}
	for _, c := range changes {
		f := changed(t, c.change)
		told(f.Answer(c.id))
	}
	many := make([]evidence.Asked, assess.MostMaterials+2)
	for i := range many {
		many[i] = evidence.Asked{Who: "S", Material: fmt.Sprint("M", i)}
	}
	look(ready.Suppliers(many))
	assert.Empty(t, slices.Sorted(maps.Keys(faults)))
	for _, code := range words.RemarkCodes() {
		assert.True(t, said[code], "%s is said in no case", code)
	}
}
