package decide_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/dossier/decide"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func rowsOf(list ...finding.Value) finding.Values { return list }

func row(name, market, source string) finding.Value {
	return finding.Value{Kind: finding.KindTerm, Text: "law-row",
		List: finding.With().Quote("source", source).Name("market", market).Name("row", name)}
}

func TestMark(t *testing.T) {
	base := func() *finding.Finding {
		f := finding.NewFinding(finding.Ask, "over", exact.Pos{File: "a.yaml", Line: 3},
			finding.With().Name("x", "salt").Num("n", exact.Frac(1, 3), "%", finding.ThreeDigits).
				Day("d", 20260101).Count("c", 2).Those("list", finding.With().Name("", "a")).Source("law",
				rowsOf(row("III/1", "EU", "Annex III")))).On("Salt")
		f.Sum = []finding.Term{{Key: "part", Values: finding.With().Num("n", exact.Int(1), "g", finding.AsIs)}}
		return &f
	}
	mark := decide.Mark(base())
	assert.Regexp(t, `^v[0-9a-f]{10}$`, mark)
	for name, change := range map[string]func(*finding.Finding){
		"place":    func(f *finding.Finding) { f.Pos.Line = 9; f.Sum[0].Pos.Line = 4 },
		"variants": func(f *finding.Finding) { f.Variants = []string{"tide/a"} },
		"markets":  func(f *finding.Finding) { f.Markets = []string{"GB"} },
		"decided":  func(f *finding.Finding) { f.Severity = finding.Decided },
		"citation": func(f *finding.Finding) { f.Values[5].List = rowsOf(row("III/1", "EU", "Annex III, acts to 2026")) },
		"the same row in another market too": func(f *finding.Finding) {
			f.Values[5].List = rowsOf(row("III/1", "EU", "Annex III"), row("III/1", "GB", "GB text of Annex III"))
		},
	} {
		f := base()
		change(f)
		assert.Equal(t, mark, decide.Mark(f), name)
	}
	for name, change := range map[string]func(*finding.Finding){
		"code":              func(f *finding.Finding) { f.Code = "under" },
		"form":              func(f *finding.Finding) { f.Form = "more" },
		"subject":           func(f *finding.Finding) { f.Subject = "Sugar" },
		"name":              func(f *finding.Finding) { f.Values[0].Text = "sugar" },
		"number as printed": func(f *finding.Finding) { f.Values[1].Low = exact.Frac(33301, 100000) }, // rounds alike
		"unit":              func(f *finding.Finding) { f.Values[1].Unit = "g" },
		"date":              func(f *finding.Finding) { f.Values[2] = finding.With().Day("d", 20260102)[0] },
		"count":             func(f *finding.Finding) { f.Values[3] = finding.With().Count("c", 3)[0] },
		"list":              func(f *finding.Finding) { f.Values[4].List[0].Text = "b" },
		"what it rests on":  func(f *finding.Finding) { f.Values[5].List = rowsOf(row("III/2", "EU", "Annex III")) },
		"a row more": func(f *finding.Finding) {
			f.Values[5].List = rowsOf(row("III/1", "EU", "Annex III"), row("III/2", "EU", "Annex III"))
		},
		"summand": func(f *finding.Finding) { f.Sum[0].Values[0].Low = exact.Int(2) },
		"thing":   func(f *finding.Finding) { f.Things = finding.With().Name("", "a") },
		"inner":   func(f *finding.Finding) { f.Inner = base() },
	} {
		f := base()
		change(f)
		assert.NotEqual(t, mark, decide.Mark(f), name)
	}
}
