package law

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestConditionsPrintBack wants every condition of the table to read and to
// print as it stands there.
func TestConditionsPrintBack(t *testing.T) {
	for _, l := range Builtin().Limits() {
		require.Equal(t, l.Condition.Text, l.Condition.String(), l.Key)
		require.NotEmpty(t, l.Condition.Clauses, l.Key)
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "the condition is empty: write all"},
		{"rinsed-off", `unknown condition "rinsed-off": did you mean rinse-off?`},
		{"rinse-off & ", `unknown condition ""`},
		{"area=foot", `unknown condition "area=foot"`},
		{"area=", `unknown condition "area="`},
		{"areas=face", `unknown condition "areas": did you mean area?`},
		{"product=shampo", `unknown condition "product=shampo": did you mean shampoo?`},
		{"population=under-4", "unknown condition \"population=under-4\": did you mean under-3?"},
		{"function=preservatives", "did you mean preservative?"},
		{"claim=sun", `unknown condition "claim=sun"`},
		{"except=area=face", `unknown condition "area=face"`},
		{"except=body", `unknown condition "body"`},
		{"except=areas:face", `unknown condition "areas"`},
		{"area:face", `unknown condition "area:face"`},
		{"released-formaldehyde>", "has no figure in % behind released-formaldehyde>"},
		{"released-formaldehyde>-1", "has no figure in %"},
		{"released-formaldehyde>=0.1", "has no figure in %"},
		{"butadiene>0.1", `unknown condition "butadiene>0.1"`},
		{"ALL", `unknown condition "ALL": did you mean all?`},
	} {
		_, err := Parse(c.text)
		require.ErrorContains(t, err, c.want, "%q", c.text)
	}
}

// TestZeroConditionHoldsNowhere keeps a condition that was never read from
// passing for "every product".
func TestZeroConditionHoldsNowhere(t *testing.T) {
	require.Equal(t, DoesNot, Condition{}.Judge(Situation{}).Verdict)
	c, err := Parse("nonsense")
	require.Error(t, err)
	require.Equal(t, DoesNot, c.Judge(Situation{}).Verdict)
}

// TestKleene checks the three-valued logic against Kleene's tables.
func TestKleene(t *testing.T) {
	y, n, u := holds, doesNot, missing("x")
	for _, c := range []struct{ a, b, and, or Answer }{
		{y, y, y, y}, {y, n, n, y}, {y, u, u, y}, {n, n, n, n}, {n, u, n, u}, {u, u, u, u},
	} {
		for _, pair := range [][]Answer{{c.a, c.b}, {c.b, c.a}} {
			require.Equal(t, c.and, allOf(pair))
			require.Equal(t, c.or, anyOf(pair))
		}
	}
	require.Equal(t, n, y.not())
	require.Equal(t, y, n.not())
	require.Equal(t, u, u.not())
	require.Equal(t, holds, allOf(nil))
	require.Equal(t, doesNot, anyOf(nil))
	require.Equal(t, []string{"a", "b"}, allOf([]Answer{missing("b"), holds, missing("a"), missing("b")}).Missing)
}

// TestUnknownNeverPasses judges every clause of the table where nothing is
// known: a clause that asks for such a fact must name it.
func TestUnknownNeverPasses(t *testing.T) {
	kinds := map[string]string{
		"population": MissingAge, "function": MissingFunction, "inhalable": MissingInhalable, "professional": MissingProfessional,
		"nano": MissingNano, "massive": MissingMassive, "natural-content": MissingNatural, "refining-history-unknown": MissingRefining,
		"butadiene>=": MissingButadiene, "released-formaldehyde>": MissingFormaldehyde,
	}
	met := map[string]bool{}
	for _, l := range Builtin().Limits() {
		for _, cl := range l.Condition.Clauses {
			a := Condition{Clauses: []Clause{cl}}.Judge(Situation{})
			require.Equal(t, a.Verdict == Undecided, len(a.Missing) > 0, l.Key)
			if a.Verdict == Holds && !cl.Except {
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

func TestAges(t *testing.T) {
	for _, c := range []struct {
		intended string
		hold     []string
	}{
		{"adults", []string{"1-plus", "3-plus", "6-plus", "10-plus"}},
		{"children-3-plus", []string{"under-6", "under-10", "6-10", "3-10", "1-plus", "3-plus", "6-plus", "10-plus", "children"}},
		{"under-3", []string{"under-3", "under-6", "under-10", "0.5-1", "1-plus", "children"}},
	} {
		a, err := AgesOf(c.intended)
		require.NoError(t, err)
		for _, p := range populationWords {
			cond, err := Parse("population=" + p)
			require.NoError(t, err)
			want := DoesNot
			for _, h := range c.hold {
				if h == p {
					want = Holds
				}
			}
			require.Equal(t, want, cond.Judge(Situation{Ages: &a}).Verdict, "%s for %s", p, c.intended)
		}
	}
	_, err := AgesOf("teenagers")
	require.ErrorContains(t, err, "write adults, children-3-plus or under-3")
}

func TestComplete(t *testing.T) {
	s := Situation{Areas: []string{"face", "lip"}, Codes: []string{"mascara"}, Forms: []string{"aerosol"}}.Complete()
	require.Equal(t, []string{"eye", "face", "lip", "skin"}, s.Areas)
	require.Equal(t, []string{"eye-makeup", "eye-product", "lip", "makeup", "mascara"}, s.Codes)
	require.Equal(t, []string{"aerosol", "propellant-spray", "spray"}, s.Forms)
	require.Equal(t, s, s.Complete(), "completing twice adds nothing")
	require.Equal(t, []string{"pump-spray", "spray"}, Situation{Forms: []string{"pump-spray"}}.Complete().Forms)
}

// TestAddForm: a spray pack on a type that is none leaves the inhalation open.
func TestAddForm(t *testing.T) {
	lotion, _ := Builtin().ProductType("body-lotion")
	s := SituationOf(lotion)
	require.Equal(t, No, s.Inhalable)
	require.Nil(t, s.Ages, "a blank population is not a statement")
	sprayed := s.AddForm("pump-spray")
	require.Equal(t, Unknown, sprayed.Inhalable)
	require.Contains(t, sprayed.Forms, "spray")
	require.Empty(t, s.Forms, "the first situation stays as it was")
	mist, _ := Builtin().ProductType("face-mist")
	require.Equal(t, Yes, SituationOf(mist).AddForm("aerosol").Inhalable)
	baby, _ := Builtin().ProductType("baby-lotion")
	require.Equal(t, Ages{0, 36}, *SituationOf(baby).Ages)
}

// TestTwoFunctions: a substance with two purposes meets the rules of both.
func TestTwoFunctions(t *testing.T) {
	both := Situation{Functions: []string{"preservative", "fragrance"}, FunctionsKnown: true}
	for _, text := range []string{"function=preservative", "function=non-preservative", "function=fragrance", "function=non-colorant"} {
		c, err := Parse(text)
		require.NoError(t, err)
		require.Equal(t, Holds, c.Judge(both).Verdict, text)
	}
	half := Situation{Functions: []string{"preservative"}}
	c, _ := Parse("function=non-preservative")
	require.Equal(t, missing(MissingFunction), c.Judge(half), "there may be another purpose")
	c, _ = Parse("function=preservative")
	require.Equal(t, Holds, c.Judge(half).Verdict)
}

func FuzzParseCondition(f *testing.F) {
	for _, l := range Builtin().Limits() {
		f.Add(l.Condition.Text)
	}
	f.Add("except=|&|=")
	f.Add("released-formaldehyde>1e309")
	f.Fuzz(func(t *testing.T, text string) {
		c, err := Parse(text)
		if err != nil {
			require.Empty(t, c.Clauses)
			return
		}
		again, err := Parse(c.String())
		require.NoError(t, err, "%q printed as %q", text, c.String())
		require.Equal(t, c.Clauses, again.Clauses)
		require.Equal(t, c.Judge(Situation{}), again.Judge(Situation{}))
	})
}
