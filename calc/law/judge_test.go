package law

import (
	"gallipot/calc/law/condition"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestKleene checks the three-valued logic against Kleene's tables.
func TestKleene(t *testing.T) {
	y, n, u := itHolds, itDoesNot, missing("x")
	for _, c := range []struct{ a, b, and, or Answer }{
		{y, y, y, y}, {y, n, n, y}, {y, u, u, y}, {n, n, n, n}, {n, u, n, u}, {u, u, u, u},
	} {
		for _, pair := range [][]Answer{{c.a, c.b}, {c.b, c.a}} {
			require.Equal(t, c.and, allOf(pair))
			require.Equal(t, c.or, anyOf(pair))
		}
	}
	require.Equal(t, n, y.Not())
	require.Equal(t, y, n.Not())
	require.Equal(t, u, u.Not())
	require.Equal(t, itHolds, allOf(nil))
	require.Equal(t, itDoesNot, anyOf(nil))
	require.Equal(t, []string{"a", "b"}, allOf([]Answer{missing("b"), itHolds, missing("a"), missing("b")}).Missing)
}

// TestTwoFunctions: a substance with two purposes meets the rules of both.
func TestTwoFunctions(t *testing.T) {
	both := Situation{Functions: []string{"preservative", "fragrance"}, FunctionsKnown: true}
	for _, text := range []string{"function=preservative", "function=non-preservative", "function=fragrance",
		"function=non-colorant"} {
		c, err := condition.Parse(text)
		require.NoError(t, err)
		require.Equal(t, Holds, JudgeCondition(c, both).Verdict, text)
	}
	half := Situation{Functions: []string{"preservative"}}
	c, _ := condition.Parse("function=non-preservative")
	require.Equal(t, missing(MissingFunction), JudgeCondition(c, half), "there may be another purpose")
	c, _ = condition.Parse("function=preservative")
	require.Equal(t, Holds, JudgeCondition(c, half).Verdict)
}
