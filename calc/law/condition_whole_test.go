package law_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/table"
)

// TestConditionsPrintBack wants every condition of the table to read and to
// print as it stands there.
func TestConditionsPrintBack(t *testing.T) {
	for _, l := range law.Limits(table.Builtin()) {
		require.Equal(t, l.Condition.Text, l.Condition.String(), l.Key)
		require.NotEmpty(t, l.Condition.Clauses, l.Key)
	}
}

// TestZeroConditionHoldsNowhere keeps a condition that was never read from
// passing for "every product".
func TestZeroConditionHoldsNowhere(t *testing.T) {
	require.Equal(t, law.DoesNot, law.JudgeCondition(condition.Condition{}, law.Situation{}).Verdict)
	c, err := condition.Parse("nonsense")
	require.Error(t, err)
	require.Equal(t, law.DoesNot, law.JudgeCondition(c, law.Situation{}).Verdict)
}

// TestUnknownNeverPasses judges every clause of the table where nothing is
// known: a clause that asks for such a fact must name it.
func TestUnknownNeverPasses(t *testing.T) {
	kinds := map[string]string{
		"population": law.MissingAge, "function": law.MissingFunction, "inhalable": law.MissingInhalable,
		"professional": law.MissingProfessional,
		"nano":         law.MissingNano, "massive": law.MissingMassive, "natural-content": law.MissingNatural,
		"refining-history-unknown": law.MissingRefining,
		"butadiene>=":              law.MissingButadiene, "released-formaldehyde>": law.MissingFormaldehyde,
	}
	met := map[string]bool{}
	for _, l := range law.Limits(table.Builtin()) {
		for _, cl := range l.Condition.Clauses {
			a := law.JudgeCondition(condition.Condition{Clauses: []condition.Clause{cl}}, law.Situation{})
			require.Equal(t, a.Verdict == law.Undecided, len(a.Missing) > 0, l.Key)
			if a.Verdict == law.Holds && !cl.Except {
				require.Contains(t, []string{"all", "leave-on"}, cl.String(), l.Key)
			}
			for _, term := range cl.Terms {
				if fact := kinds[term.Kind]; fact != "" {
					require.Contains(t, a.Missing, fact, "%s: %s", l.Key, cl)
					met[fact] = true
				}
			}
		}
	}
	require.Len(t, met, len(kinds), "each fact is asked for by some row")
}

// populations are the words for ages that a condition takes, as its reader lists them.
func populations(t *testing.T) []string {
	t.Helper()
	_, err := condition.Parse("population=whales")
	require.Error(t, err)
	_, list, said := strings.Cut(err.Error(), "use one of ")
	require.True(t, said, err.Error())
	words := strings.Split(list, ", ")
	require.Subset(t, words, []string{"under-3", "0.5-1", "10-plus", "children"}, "the first and the last too")
	return words
}

func TestAges(t *testing.T) {
	for _, c := range []struct {
		intended string
		hold     []string
	}{
		{"adults", []string{"1-plus", "3-plus", "6-plus", "10-plus"}},
		{"children-3-plus", []string{"under-6", "under-10", "6-10", "3-10", "1-plus", "3-plus", "6-plus", "10-plus",
			"children"}},
		{"under-3", []string{"under-3", "under-6", "under-10", "0.5-1", "1-plus", "children"}},
	} {
		a, err := law.AgesOf(c.intended)
		require.NoError(t, err)
		for _, p := range populations(t) {
			cond, err := condition.Parse("population=" + p)
			require.NoError(t, err)
			want := law.DoesNot
			for _, h := range c.hold {
				if h == p {
					want = law.Holds
				}
			}
			require.Equal(t, want, law.JudgeCondition(cond, law.Situation{Ages: &a}).Verdict, "%s for %s", p, c.intended)
		}
	}
	_, err := law.AgesOf("teenagers")
	require.ErrorContains(t, err, "write adults, children-3-plus or under-3")
}

func TestComplete(t *testing.T) {
	s := law.Situation{Areas: []string{"face", "lip"}, Codes: []string{"mascara"}, Forms: []string{"aerosol"}}.Complete()
	require.Equal(t, []string{"eye", "face", "lip", "skin"}, s.Areas)
	require.Equal(t, []string{"eye-makeup", "eye-product", "lip", "makeup", "mascara"}, s.Codes)
	require.Equal(t, []string{"aerosol", "propellant-spray", "spray"}, s.Forms)
	require.Equal(t, s, s.Complete(), "completing twice adds nothing")
	require.Equal(t, []string{"pump-spray", "spray"}, law.Situation{Forms: []string{"pump-spray"}}.Complete().Forms)
}

// TestAddForm: a spray pack on a type that is none leaves the inhalation open.
func TestAddForm(t *testing.T) {
	lotion, _ := law.ProductType(table.Builtin(), "body-lotion")
	s := law.SituationOf(lotion)
	require.Equal(t, law.No, s.Inhalable)
	require.Nil(t, s.Ages, "a blank population is not a statement")
	sprayed := s.AddForm("pump-spray")
	require.Equal(t, law.Unknown, sprayed.Inhalable)
	require.Contains(t, sprayed.Forms, "spray")
	require.Empty(t, s.Forms, "the first situation stays as it was")
	mist, _ := law.ProductType(table.Builtin(), "face-mist")
	require.Equal(t, law.Yes, law.SituationOf(mist).AddForm("aerosol").Inhalable)
	baby, _ := law.ProductType(table.Builtin(), "baby-lotion")
	require.Equal(t, law.Ages{From: 0, To: 36}, *law.SituationOf(baby).Ages)
}

func FuzzParseCondition(f *testing.F) {
	for _, l := range law.Limits(table.Builtin()) {
		f.Add(l.Condition.Text)
	}
	f.Add("except=|&|=")
	f.Add("released-formaldehyde>1e309")
	f.Fuzz(func(t *testing.T, text string) {
		c, err := condition.Parse(text)
		if err != nil {
			require.Empty(t, c.Clauses)
			return
		}
		again, err := condition.Parse(c.String())
		require.NoError(t, err, "%q printed as %q", text, c.String())
		require.Equal(t, c.Clauses, again.Clauses)
		require.Equal(t, law.JudgeCondition(c, law.Situation{}), law.JudgeCondition(again, law.Situation{}))
	})
}
