package annex

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/finding"
)

// A maker's table with the columns of earlier days: what its notes steered until
// the columns came is taken over and asked about, row by row (invented rows).
func TestWordsOfOwnRows(t *testing.T) {
	const head = "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"
	read := func(row string) (*Limit, []finding.Finding) {
		rows, findings := ReadOwn("limits/house.csv", []byte(head+row+"\n"))
		require.Len(t, rows, 1, row)
		return rows[0], findings
	}
	for _, c := range []struct {
		name, row string
		taken     string // columns that are asked about
		check     func(*testing.T, *Limit)
	}{
		{"no words", `h,own,1,GB,Exemplum,,,all,1,,,,,,,,letter,seen,for babies`, "", func(t *testing.T, l *Limit) {
			assert.Equal(t, LabelDuty{}, l.Label)
			assert.Equal(t, Basis{}, l.Basis)
		}},
		{"label above", `h,own,1,GB,Exemplum,,,all,1,,,,Contains it,,,,letter,seen,Label only above 0.05 %.`,
			"label_above_pct", func(t *testing.T, l *Limit) {
				assert.Equal(t, "0.05", l.Label.AbovePct.Exact())
				assert.Equal(t, "Label only above 0.05 %", l.Label.When)
			}},
		{"label up to", `h,own,1,GB,Exemplum,,,all,1,,,,Contains it,,,,letter,seen,Label not needed at 0.5 % or less used only to protect.`, "label_not_up_to_pct", func(t *testing.T, l *Limit) {
			assert.Equal(t, "0.5", l.Label.NotUpToPct.Exact())
		}},
		{"label on a type", `h,own,1,GB,Exemplum,,,all,1,,,,Contains it,,,,letter,seen,Label on toothpaste only.`,
			"label_condition", func(t *testing.T, l *Limit) {
				assert.Equal(t, "product=toothpaste", l.Label.Condition.Text)
				assert.False(t, l.Label.Alone)
			}},
		{"label on an unknown type", `h,own,1,GB,Exemplum,,,all,1,,,,Contains it,,,,letter,seen,Label on tinctures only.`, "label_open", func(t *testing.T, l *Limit) { assert.True(t, l.Label.Open) }},
		{"label for the young", `h,own,1,GB,Exemplum,,,all,1,,,,Contains it,,,,letter,seen,The label text goes on rinse-off products designed for children under 3.`, "label_condition, label_alone", func(t *testing.T, l *Limit) {
			assert.Equal(t, "rinse-off & population=under-3", l.Label.Condition.Text)
			assert.True(t, l.Label.Alone)
		}},
		{"label left open", `h,own,1,GB,Exemplum,,,all,1,,,,Contains it,,,,letter,seen,The label depends on the pack. More.`, "label_open", func(t *testing.T, l *Limit) {
			assert.Equal(t, "The label depends on the pack", l.Label.When)
		}},
		{"no wording, no duty", `h,own,1,GB,Exemplum,,,all,1,,,,,,,,letter,seen,Label only above 0.05 %.`, "",
			func(t *testing.T, l *Limit) { assert.Nil(t, l.Label.AbovePct) }},
		{"dates", `h,own,1,EU+GB,Exemplum,,,all,1,,,,,,,,letter,seen,offshelf:2028-07-01. In EU this row is replaced for placing on the market from 2027-01-01.`,
			"off_shelf_until, replaced_from, replaced_in", func(t *testing.T, l *Limit) {
				assert.Equal(t, "2028-07-01", l.OffShelf.String())
				assert.True(t, l.In(rows.EU, 20261231))
				assert.False(t, l.In(rows.EU, 20270101))
				assert.False(t, l.In(rows.NI, 20270101))
				assert.True(t, l.In(rows.GB, 20270101))
			}},
		{"exception", `h,II,1,GB,Exemplum,,,all,0,,,,,,,,letter,seen,except as III/14`, "excepted",
			func(t *testing.T, l *Limit) { assert.Equal(t, []string{"III/14"}, l.Excepted) }},
		{"traces", `h,II,1,GB,Exemplum,,,all,0,,,,,,,,letter,seen,traces: III/186`, "traces",
			func(t *testing.T, l *Limit) { assert.Equal(t, "III/186", l.Traces) }},
		{"class", `h,II,1,GB,Barium salts,,,all,0,,,,,,,,letter,seen,"class entry; excepted: barium sulfide as III/23, barium sulfate, and lakes of Annex IV colorants"`, "class, excepted, exempt, exempt_names",
			func(t *testing.T, l *Limit) {
				assert.Equal(t, ClassNames, l.Class)
				assert.Equal(t, []string{"III/23"}, l.Excepted)
				assert.Equal(t, []string{"III/23", "IV"}, l.Exempt)
				assert.Equal(t, []string{"barium sulfide", "barium sulfate"}, l.ExemptNames)
				assert.Equal(t, []string{"barium"}, l.Elements)
				assert.False(t, l.ElementSelf)
			}},
		{"examples of a class", `h,III,1,GB,Aluminium and its compounds,,,all,1,,,,,,,,letter,seen,"Exempt: III/34, 50. Examples; the entry is by class."`, "class, exempt", func(t *testing.T, l *Limit) {
			assert.Equal(t, ClassExamples, l.Class)
			assert.Equal(t, []string{"III/34", "III/50"}, l.Exempt)
			assert.Equal(t, []string{"aluminium", "aluminum"}, l.Elements)
			assert.True(t, l.ElementSelf)
		}},
		{"criteria and shade", `h,IV,1,GB,Exemplum,,,all,1,,,,,1,,,letter,seen,"spec:ph 7-9.5;purity_pct>=99; colour:Red; CAS from memory"`, "colour, spec, ph", func(t *testing.T, l *Limit) {
			assert.Equal(t, []string{"purity_pct>=99"}, l.Spec)
			assert.Equal(t, "Red", l.Colour)
			assert.Equal(t, "7", l.PH.Min.Exact())
			assert.Equal(t, "9.5", l.PH.Max.Exact())
		}},
		{"a criterion before a new sentence", `h,III,1,GB,Exemplum,,,all,1,,,,,,,,letter,seen,spec:purity_pct>=99. Further words; and more`,
			"spec", func(t *testing.T, l *Limit) { assert.Equal(t, []string{"purity_pct>=99"}, l.Spec) }},
		{"a criterion that ends in brackets", `h,III,1,GB,Exemplum,,,all,1,,,,,,,,letter,seen,spec:assay (dry) See the act; more`,
			"spec", func(t *testing.T, l *Limit) { assert.Equal(t, []string{"assay (dry)"}, l.Spec) }},
		{"whatever the row names", `h,V,1,GB,Exemplum,,,all,1,as the salt (dry),,,,,,,letter,seen,`, "",
			func(t *testing.T, l *Limit) { assert.Equal(t, []string{"*"}, l.Basis.As) }},
		{"without water", `h,V,1,GB,Exemplum,,,all,1,as anhydrous salt,,,,,,,letter,seen,`, "",
			func(t *testing.T, l *Limit) { assert.Equal(t, []string{"*"}, l.Basis.As) }},
		{"as another", `h,V,1,GB,Exemplum,,,all,1,as Exemplol (free),,,,,,,letter,seen,`, "",
			func(t *testing.T, l *Limit) { assert.Equal(t, []string{"exemplol"}, l.Basis.As) }},
		{"criteria of the nano form", `h,VI,1,GB,Exemplum,,,all,1,,,,,,,,letter,seen,spec nano:uncoated`,
			"spec, spec_for", func(t *testing.T, l *Limit) { assert.True(t, l.SpecForNano) }},
		{"form, draft, whole", `h,III,1,GB,Exemplum,,,all,1,as acid,,,,,,,letter,seen,Only powder. Read as the cautious limit.`, "only_form, whole", func(t *testing.T, l *Limit) {
			assert.Equal(t, "powder", l.OnlyForm)
			assert.True(t, l.Basis.Whole)
			assert.Equal(t, []string{"*acid"}, l.Basis.As)
		}},
		{"draft", `h,III,1,GB,Exemplum,,,all,1,,,,,,,,letter,seen,Draft: not confirmed`, "instrument",
			func(t *testing.T, l *Limit) { assert.Equal(t, InstrumentDraft, l.Instrument) }},
		{"secondary", `h,III,1,GB,Exemplum,,,all,1,,,,,,,,letter,seen,Secondary reports only: news`, "instrument",
			func(t *testing.T, l *Limit) { assert.Equal(t, InstrumentSecondary, l.Instrument) }},
		{"factors in the basis", `h,V,1,GB,Exemplum,,,all,1,"as H2O2, present or released; factors: Urea Peroxide=0.3616, Zinc Peroxide (dry)=0.3493",,,,,,,letter,seen,`, "", func(t *testing.T, l *Limit) {
			assert.Equal(t, "as H2O2, present or released", l.Basis.Text)
			assert.Equal(t, []string{"hydrogen peroxide"}, l.Basis.As)
			require.Len(t, l.Basis.Factors, 2)
			assert.Equal(t, []string{"Urea Peroxide", ""}, []string{l.Basis.Factors[0].Name, l.Basis.Factors[0].Form})
			assert.Equal(t, []string{"Zinc Peroxide", "dry"}, []string{l.Basis.Factors[1].Name, l.Basis.Factors[1].Form})
		}},
		{"an unknown basis", `h,V,1,GB,Exemplum,,,all,1,by weight,,,,,,,letter,seen,`, "",
			func(t *testing.T, l *Limit) { assert.Equal(t, BasisResidue, l.Basis.Kind) }},
		{"plants", `h,II,1,GB,Atropa Belladonna L. and its preparations;Aconitum spp. (preparations),,,all,0,,,,,,,,letter,seen,`, "", func(t *testing.T, l *Limit) {
			assert.Equal(t, []string{"atropa belladonna", "aconitum"}, l.Plants)
		}},
		{"a wording for all", `h,own,1,GB,Exemplum,,,all,1,,,,Contains it,,,,letter,seen,For babies.`, "",
			func(t *testing.T, l *Limit) { assert.Equal(t, LabelDuty{}, l.Label) }},
		{"the first words on the label", `h,own,1,GB,Exemplum,,,all,1,,,,Contains it,,,,letter,seen,The label names allergens. A label is due on packs. No label on samples.`,
			"label_open", func(t *testing.T, l *Limit) { assert.Equal(t, "A label is due on packs", l.Label.When) }},
		{"a trigger", `h,own,1,GB,Exemplum,,,all,1,,,,Contains it,,,,letter,seen,Labelling trigger: the label names it.`,
			"", func(t *testing.T, l *Limit) { assert.False(t, l.Label.Open) }},
		{"an exception of another annex", `h,III,1,GB,Exemplum,,,all,1,,,,,,,,letter,seen,except as III/14`, "",
			func(t *testing.T, l *Limit) { assert.Empty(t, l.Excepted) }},
		{"a class that leaves nothing out", `h,III,1,GB,Exemplum salts,,,all,1,,,,,,,,letter,seen,class entry; see III/14`, "class",
			func(t *testing.T, l *Limit) { assert.Empty(t, l.Exempt) }},
		{"an exception of no class", `h,II,1,GB,Exemplum,,,all,0,,,,,,,,letter,seen,Exempt: III/14. Except as III/15`, "excepted",
			func(t *testing.T, l *Limit) {
				assert.Empty(t, l.Exempt)
				assert.Equal(t, []string{"III/15"}, l.Excepted)
			}},
		{"colourants left out", `h,III,1,GB,Exemplum salts,,,all,1,,,,,,,,letter,seen,class entry; lakes of Annex IV are others`,
			"class, exempt", func(t *testing.T, l *Limit) { assert.Equal(t, []string{"IV"}, l.Exempt) }},
		{"names left out", `h,II,1,GB,Exemplum salts,,,all,0,,,,,,,,letter,seen,"class entry; excepted: exemplum sulfide as III/23, , entry 24, and exemplum oxide."`,
			"class, excepted, exempt, exempt_names", func(t *testing.T, l *Limit) {
				assert.Equal(t, []string{"exemplum sulfide", "exemplum oxide"}, l.ExemptNames)
			}},
		{"a share", `h,V,1,GB,Exemplum,,,all,1,as percentage of the acid,,,,,,,letter,seen,`, "",
			func(t *testing.T, l *Limit) { assert.Equal(t, BasisShare, l.Basis.Kind) }},
		{"one plant under two names", `h,II,1,GB,Exemplum novum and its preparations;Exemplum novum L. (preparations),,,all,0,,,,,,,,letter,seen,`, "",
			func(t *testing.T, l *Limit) { assert.Equal(t, []string{"exemplum novum"}, l.Plants) }},
		{"a sum that asks for wording", `h,III,1,GB,Exemplum,,,all,1,,g,sum>1 => label,Contains it,,,,letter,seen,`, "",
			func(t *testing.T, l *Limit) {
				assert.Equal(t, SumLabel, l.Sum.Kind)
				assert.True(t, l.Sum.AnyCondition, "the duty looks at all that the product holds")
			}},
		{"sum", `h,V,1,GB,Exemplum,,,all,0.4,,g,"sum(V/12,12a)<=0.8",,,,,letter,seen,`, "", func(t *testing.T, l *Limit) {
			assert.Equal(t, Sum{Kind: SumAll, LimitPct: l.Sum.LimitPct, Entries: []string{"V/12", "V/12a"},
				Groups: []string{"g"}}, l.Sum)
			assert.Equal(t, "0.8", l.Sum.LimitPct.Exact())
		}},
		{"sum with the nano form, below",
			`h,V,1,GB,Exemplum,,,all,0.4,,g,"sum(nano,non-nano)<max_pct",,,,,letter,seen,`, "", func(t *testing.T, l *Limit) {
				assert.True(t, l.Sum.AnyCondition && l.Sum.Strict)
				assert.Equal(t, "0.4", l.Sum.LimitPct.Exact())
			}},
		{"each", `h,V,1,GB,Exemplum,,,all,0.4,,g,each<=0.4,,,,,letter,seen,`, "",
			func(t *testing.T, l *Limit) { assert.Equal(t, SumEach, l.Sum.Kind) }},
		{"exclusive", `h,V,1,GB,Exemplum,,,all,0.4,,g,A and B exclude each other,,,,,letter,seen,`, "",
			func(t *testing.T, l *Limit) { assert.Equal(t, SumExclusive, l.Sum.Kind) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, findings := read(c.row)
			c.check(t, l)
			if c.taken == "" {
				require.Empty(t, findings)
				return
			}
			require.Len(t, findings, 1)
			f := findings[0]
			assert.Equal(t, []string{"own-limits-note", "ask", "limits/house.csv"},
				[]string{f.Code, f.Severity.String(), f.Subject})
			assert.Equal(t, 2, f.Pos.Line)
			assert.Contains(t, wordstest.Said(f).Fix, "add ")
			for col := range strings.SplitSeq(c.taken, ", ") {
				assert.Contains(t, wordstest.Said(f).Message+wordstest.Said(f).Fix, col)
			}
		})
	}
}

// A column that the table has is read and the note beside it is not.
func TestColumnsWinOverWords(t *testing.T) {
	rows, findings := ReadOwn("limits/house.csv",
		[]byte("key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note,label_above_pct\n"+
			"h,own,1,GB,Exemplum,,,all,1,,,,Contains it,,,,letter,seen,Label only above 0.05 %.,0.1\n"))
	require.Empty(t, findings)
	assert.Equal(t, "0.1", rows[0].Label.AbovePct.Exact())
	rows, findings = ReadOwn("limits/house.csv", []byte(strings.Join(earlierColumns, ",")+",factors\n"+
		"h,own,1,GB,Exemplum,,,all,1,as acid; factors: A=0.5,,,,,,,letter,seen,,\n"))
	require.Empty(t, findings)
	assert.Equal(t, "as acid; factors: A=0.5", rows[0].Basis.Text)
	assert.Empty(t, rows[0].Basis.Factors)
	whole := strings.Join(LimitColumns.All(), ",")
	_, findings = ReadOwn("limits/house.csv", []byte(whole+"\n"))
	require.Empty(t, findings)
	_, findings = ReadOwn("limits/house.csv", []byte(strings.Replace(whole, "annex,", "", 1)+"\n"))
	require.Len(t, findings, 1)
	assert.Contains(t, wordstest.Said(findings[0]).Message, `column "annex" is missing`)
}

// Sum rules that are not understood are refused.
func TestWordsOfSumsNotUnderstood(t *testing.T) {
	for _, rule := range []string{"add them up", "sum>max_pct", "sum(1 and 2)<=max_pct", "sum(x)<=max_pct"} {
		_, findings := ReadOwn("limits/house.csv",
			[]byte(strings.Join(earlierColumns, ",")+"\nh,own,1,GB,Exemplum,,,all,1,,,"+rule+",,,,,letter,seen,\n"))
		require.Len(t, findings, 1, rule)
		assert.Equal(t, "own-limits", findings[0].Code, rule)
	}
}

// So are factors.
func TestWordsOfFactorsNotUnderstood(t *testing.T) {
	_, findings := ReadOwn("limits/house.csv", []byte(strings.Join(earlierColumns, ",")+
		"\nh,own,1,GB,Exemplum,,,all,1,as acid; factors: A=half,,,,,,,letter,seen,\n"))
	require.Len(t, findings, 1)
	assert.Contains(t, wordstest.Said(findings[0]).Message, `"A=half" is no factor`)
}

// Names of entries and the plants they stand for.
func TestPlantsOfNames(t *testing.T) {
	for name, want := range map[string]string{"Atropa Belladonna L. and its preparations": "atropa belladonna",
		"Aconitum spp. and preparations": "aconitum", "Exemplum species (preparations)": "exemplum",
		"Atropa Belladonna": "", "Preparations": "", "1-Exemplum preparations": "", "Exemplum 2-preparations": "",
		"preparations of it": "preparations of"} {
		assert.Equal(t, want, preparationsOf(name), name)
	}
}
