package labelling

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func labelFinding(t testing.TB, l *Label, code string) finding.Finding {
	t.Helper()
	var out []finding.Finding
	for _, f := range l.Findings {
		if f.Code == code {
			out = append(out, f)
		}
	}
	require.Len(t, out, 1, code)
	return out[0]
}

func ruleKeys(i LabelItem) []string {
	var keys []string
	for _, r := range i.Rules {
		keys = append(keys, r.Key)
	}
	return keys
}

// Remarks and findings of durability. Regulation (EC) 1223/2009 Art. 19(1)(c): a date
// up to 30 months, the period after opening above.
func TestDurabilityInWords(t *testing.T) {
	at := exact.Pos{File: "products/test.yaml", Line: 40}
	product := exact.Pos{File: "products/test.yaml", Line: 1}
	l := labelled(t, LabelFacts{BestBeforeMonths: 12, Made: 20261115, DurabilityPos: at}, nil)
	i := itemOf(t, l, ItemDate)
	assert.Equal(t, "10/2027", i.Text)
	assert.Equal(t, "12 months from 2026-11-15", i.Remark)
	assert.Equal(t, "Best used before the end of", i.Lead)
	assert.Equal(t, LabelGiven, i.State)
	i = itemOf(t, labelled(t, LabelFacts{BestBeforeMonths: 12}, nil), ItemDate)
	assert.Equal(t, "[MM/YYYY]", i.Text)
	assert.Equal(t, LabelOpen, i.State)
	assert.Equal(t, "12 months from making; stamped when the pack is filled, or give --made", i.Remark)

	l = labelled(t, LabelFacts{BestBeforeMonths: 31, NoPAO: LabelWords{Text: "a pack that keeps air out"}}, nil)
	i = itemOf(t, l, ItemPAO)
	assert.Equal(t, labelNotNeeded, i.State)
	assert.Equal(t, "a pack that keeps air out", i.Remark)
	l = labelled(t, LabelFacts{BestBeforeMonths: 31, PAOMonths: 12}, nil)
	i = itemOf(t, l, ItemPAO)
	assert.Equal(t, "12M", i.Text)
	assert.Equal(t, "Open-jar sign", i.Lead)

	f := labelFinding(t, labelled(t, LabelFacts{BestBeforeMonths: 31, DurabilityPos: at, Pos: product}, nil),
		"label-no-durability")
	assert.Equal(t, "it keeps 31 months, so the label needs a period after opening", wordstest.Said(f).Message)
	assert.Equal(t, at, f.Pos)
	assert.Contains(t, wordstest.Said(f).Why, "(label-rules.csv, row L32)")
	l = labelled(t, LabelFacts{Pos: product}, nil)
	f = labelFinding(t, l, "label-no-durability")
	assert.Equal(t, "neither a durability nor a period after opening is stated", wordstest.Said(f).Message)
	assert.Equal(t, product, f.Pos)
	assert.Equal(t, "[durability]", itemOf(t, l, ItemDate).Text)
	assert.Equal(t, LabelMissing, itemOf(t, l, ItemDate).State)
	f = labelFinding(t, labelled(t, LabelFacts{PAOMonths: 6, DurabilityPos: at}, nil), "label-durability-basis")
	assert.Equal(t, "only a period after opening is stated, which is enough only if the product keeps more than 30 months unopened", wordstest.Said(f).Message)
	assert.Equal(t, "write best_before_months: what the stability tests support; with 30 or less the label needs a date", wordstest.Said(f).Fix)
	assert.Empty(t, codesOf(labelled(t, LabelFacts{PAOMonths: 6, BestBeforeMonths: 31}, nil), "durability"))
	f = labelFinding(t, labelled(t, LabelFacts{PAOMonths: 6, BestBeforeMonths: 12}, nil), "label-both-dates")
	assert.Equal(t, "both a date and a period after opening are stated, but the law asks for the date alone, since it keeps 12 months", wordstest.Said(f).Message)
	assert.Equal(t, "10/2027", labelled(t, LabelFacts{BestBeforeMonths: 12, Made: 20261115}, nil).BestBefore)
}

// Words, places and remarks of the other items.
func TestOtherItemsInWords(t *testing.T) {
	product := exact.Pos{File: "products/test.yaml", Line: 1}
	l := labelled(t, LabelFacts{Pos: product}, nil)
	assert.Equal(t, labelByChoice, itemOf(t, l, ItemName).State)
	assert.Contains(t, itemOf(t, l, ItemName).Remark, "see the batch")
	batch := itemOf(t, l, ItemBatch)
	assert.Equal(t, "[code]", batch.Text)
	assert.Equal(t, LabelOpen, batch.State)
	assert.Equal(t, "stamped when the pack is filled; give --batch to print it", batch.Remark)
	f := labelFinding(t, l, "label-no-function")
	assert.Equal(t, "no function is stated, and the name “Tide” does not make it clear", wordstest.Said(f).Message)
	assert.Equal(t, "write what it is for, such as function: body lotion or cream", wordstest.Said(f).Fix)
	assert.Equal(t, "test", f.Subject)
	assert.Equal(t, "[function]", itemOf(t, l, ItemFunction).Text)
	l = labelled(t, LabelFacts{Name: LabelWords{Text: "Tide (lotion)"}}, nil)
	assert.Equal(t, `the name holds the word "lotion": a person judges whether that makes it clear`,
		itemOf(t, l, ItemFunction).Remark)
	assert.Equal(t, LabelMissing, itemOf(t, labelled(t, LabelFacts{Name: LabelWords{Text: "Tide or not"}}, nil),
		ItemFunction).State, "a short word tells nothing")
	assert.Equal(t, labelNotNeeded,
		itemOf(t, labelled(t, LabelFacts{Name: LabelWords{Text: "All BODY"}}, nil), ItemFunction).State, "four letters do")
	for r, want := range map[rune]bool{'a': false, 'z': false, 'é': false, '`': true, '{': true, ' ': true,
		'1': true, 127: true} {
		assert.Equal(t, want, notLetter(r), string(r))
	}

	l = labelled(t, LabelFacts{EMark: true}, net(t, "120", ""))
	q := itemOf(t, l, ItemQuantity)
	assert.Equal(t, "figures at least 3 mm high, estimated sign at least 3 mm, where the average rules are kept", q.Remark)
	assert.Contains(t, ruleKeys(q), "Q03")
	assert.NotContains(t, ruleKeys(itemOf(t, labelled(t, LabelFacts{}, net(t, "120", "")), ItemQuantity)), "Q03")
	assert.Equal(t, "below 5 g or ml", itemOf(t, labelled(t, LabelFacts{}, net(t, "4", "")), ItemQuantity).Remark)
	assert.Equal(t, "free sample",
		itemOf(t, labelled(t, LabelFacts{SoldAs: FreeSample}, net(t, "120", "")), ItemQuantity).Remark)

	origin := func(made string, markets ...rows.Market) LabelItem {
		return itemOf(t, labelled(t, LabelFacts{MadeIn: LabelWords{Text: made}}, nil, markets...), ItemOrigin)
	}
	assert.Equal(t, "made in the market: the United Kingdom", origin("GB", rows.GB).Remark)
	assert.Equal(t, labelNotNeeded, origin("GB", rows.GB).State)
	assert.Equal(t, "whether goods of the United Kingdom need it in Northern Ireland is doubtful: printed as the cautious choice", origin("GB", rows.NI).Remark)
	assert.Equal(t, "", origin("GB", rows.EU).Remark)
	assert.Equal(t, "", origin("JP", rows.NI).Remark)
	assert.Equal(t, "", origin("XX", rows.NI).Remark)
	l = labelled(t, LabelFacts{Pos: product}, nil)
	require.Len(t, l.All(ItemOrigin), 1)
	assert.Equal(t, "[made in …, if outside the market]", itemOf(t, l, ItemOrigin).Text)
	assert.Equal(t, LabelMissing, itemOf(t, l, ItemOrigin).State)
	assert.Equal(t, product, labelFinding(t, l, "label-no-origin").Pos)
}

func TestPersonsInWords(t *testing.T) {
	ie := address("IE", "Pier 1")
	l := labelled(t, LabelFacts{Persons: map[rows.Market]LabelPerson{rows.EU: ie}}, nil, rows.GB)
	p := itemOf(t, l, ItemPerson)
	assert.Equal(t, "the details for the EU in place of those for GB, for a time", p.Remark)
	assert.Contains(t, ruleKeys(p), "L14")
	assert.Equal(t, "no responsible person for GB is named: until 2027-12-31 the label may show the details for the EU alone, but a person in the United Kingdom is needed all the same", wordstest.Said(labelFinding(t, l, "label-grace")).Message)
	assert.Equal(t, "", p.Lead)
	assert.NotContains(t, ruleKeys(p), "L15")
	// both persons, each with its market and the rule for it
	persons := map[rows.Market]LabelPerson{rows.GB: address("GB", "Shore Road 1"), rows.EU: ie}
	for _, i := range labelled(t, LabelFacts{Persons: persons}, nil, rows.GB, rows.EU).All(ItemPerson) {
		assert.Contains(t, ruleKeys(i), "L15")
		assert.NotEmpty(t, i.Lead)
		assert.Equal(t, "", i.Remark)
	}
	// the same name at another address is another person
	persons = map[rows.Market]LabelPerson{rows.EU: ie, rows.NI: address("IE", "Pier 2")}
	assert.Len(t, labelled(t, LabelFacts{Persons: persons}, nil, rows.EU, rows.NI).All(ItemPerson), 2)
	f := &LabelFacts{Persons: map[rows.Market]LabelPerson{rows.NI: {}, rows.EU: ie}}
	got, ok := f.person(rows.NI)
	assert.True(t, ok, "an entry without a name is none")
	assert.Equal(t, ie, got)
	f.Persons[rows.EU] = LabelPerson{}
	_, ok = f.person(rows.NI)
	assert.False(t, ok)
	// nobody at all: the grace of GB needs a person in the EU
	l = labelled(t, LabelFacts{}, nil, rows.GB)
	assert.Empty(t, codesOf(l, "grace"))
	assert.Equal(t, "no responsible person for this market is named",
		wordstest.Said(labelFinding(t, l, "label-no-responsible-person")).Message)
	assert.Equal(t, LabelMissing, itemOf(t, l, ItemPerson).State)
	// no grace for NI, whose person the EU's is
	assert.Empty(t, codesOf(labelled(t, LabelFacts{Persons: map[rows.Market]LabelPerson{rows.EU: ie}}, nil,
		rows.NI), "grace"))
	l = labelled(t, LabelFacts{Persons: map[rows.Market]LabelPerson{rows.EU: address("GB", "Shore Road 1")}}, nil, rows.EU)
	assert.Equal(t, "the responsible person for EU has an address in the United Kingdom",
		wordstest.Said(labelFinding(t, l, "label-person-elsewhere")).Message)
	l = labelled(t, LabelFacts{Persons: map[rows.Market]LabelPerson{rows.EU: address("XX", "Shore Road 1")}}, nil, rows.EU)
	assert.Equal(t, "the responsible person for EU has an address in XX",
		wordstest.Said(labelFinding(t, l, "label-person-elsewhere")).Message)
	l = labelled(t, LabelFacts{Persons: map[rows.Market]LabelPerson{rows.GB: address("GB", "Shore Road 1",
		"PO Box 7")}}, nil, rows.GB)
	assert.Equal(t, "the responsible person's address for GB is a PO box; a street address is required: PO Box 7", wordstest.Said(labelFinding(t, l, "label-po-box")).Message)
	assert.Equal(t, []string{"", "A", "Ab"}, []string{upperFirst(""), upperFirst("a"), upperFirst("ab")})
}

// A trace in a raw material and in the product, in words. 0.06 ppm nitrosamine are
// 0.06 mg/kg of the raw material, guidance 50 µg/kg; lead 20 ppm of 25 % are 5 mg/kg.
func TestTracesInWords(t *testing.T) {
	m := formulatest.Supplied(formulatest.Traced(t, formulatest.Sheet(t, "m", "Kaolin", "100"),
		"N-Nitrosodiethanolamine", "0.06 ppm"), "Alder Supplies (invented)", "")
	m.Pos = exact.Pos{File: "ingredients/m.yaml", Line: 1}
	f := calctest.Findings(calctest.Job(t, "shampoo", "1", m, nil), "trace-above-guidance")
	require.Len(t, f, 1)
	assert.Contains(t, wordstest.Said(f[0]).Message, "up to 0.06 mg/kg in m; published guidance is 0.05 mg/kg")
	assert.Equal(t, "Alder Supplies (invented) or the assessor", wordstest.Said(f[0]).Ask)
	assert.Equal(t, m.Pos, f[0].Pos)
	assert.Equal(t, "ask for the measured content of the batch; the assessor judges what is left",
		wordstest.Said(f[0]).Fix)
	assert.Contains(t, wordstest.Said(f[0]).Why,
		"a trace of a prohibited substance is allowed only if it is technically unavoidable, Regulation (EC) 1223/2009 Article 17")

	// the supplier of most of it is asked: 15 % with 20 ppm, 25 % with 10 ppm are 3 and 2.5
	a := formulatest.Supplied(formulatest.Traced(t, formulatest.Sheet(t, "a", "Kaolin", "100"), "Lead",
		"20 ppm"), "Alder Supplies (invented)", "")
	b := formulatest.Supplied(formulatest.Traced(t, formulatest.Sheet(t, "b", "Talc", "100"), "Lead", "10 ppm"),
		"Birch Supplies (invented)", "")
	for _, order := range [][]string{{"a", "15", "b", "25"}, {"b", "25", "a", "15"}} {
		p := formulatest.WithFormula(t, formula.Percent, append([]string{"water", "q.s."}, order...)...)
		r := calctest.Assess(t, p, &formula.Variant{}, "face-cream", rows.GB, 20261125, a, b,
			formulatest.Sheet(t, "water", "Aqua", "100"))
		f = calctest.Findings(r, "trace-above-guidance")
		require.Len(t, f, 1)
		assert.Contains(t, wordstest.Said(f[0]).Message, "up to 5.5 mg/kg in the product; published guidance is 2 mg/kg")
		assert.Equal(t, "Alder Supplies (invented) or the assessor", wordstest.Said(f[0]).Ask)
		lead := traceOf(t, r, "Lead")
		assert.Equal(t, "5.5", lead.MgPerKg.Max.Exact())
		assert.Equal(t, "0.00055", lead.Margin.Whole.Max.Exact())
		assert.Equal(t, "0.00055", lead.Margin.Content.Max.Exact())
		assert.Len(t, lead.Margin.Contributions, 2)
	}
	// of raw materials the worst counts, whichever comes first; none without a trace
	a = formulatest.Traced(t, formulatest.Sheet(t, "a", "Kaolin", "100"), "N-Nitrosodiethanolamine", "0.01 ppm")
	b = formulatest.Traced(t, formulatest.Sheet(t, "b", "Talc", "100"), "N-Nitrosodiethanolamine", "0.03 ppm")
	for _, order := range [][]string{{"a", "1", "b", "1"}, {"b", "1", "a", "1"}} {
		r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent,
			append([]string{"water", "q.s."}, order...)...), &formula.Variant{}, "shampoo", rows.GB, 20261125, a, b,
			formulatest.Sheet(t, "water", "Aqua", "100"))
		require.NotEmpty(t, r.Traces)
		c := checkFor(t, &r.Traces[0], "eu-nitrosamines")
		assert.Equal(t, []string{"b", "0.03"}, []string{c.In, c.FoundMg.Max.Exact()})
		assert.Equal(t, exposure.TraceWithin, c.Verdict)
		assert.Len(t, c.Members, 1)
	}
	assert.Empty(t, calctest.Job(t, "shampoo", "1", formulatest.Sheet(t, "m", "Kaolin", "100"), nil).Traces)
}
