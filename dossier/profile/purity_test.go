package profile_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/tox"
	"gallipot/dossier/profile"
)

// What one supplier states of one raw material says nothing of another's that brings the
// same substance.
func TestPurity(t *testing.T) {
	const second = `-- ingredients/sles-two.yaml --
id: sles-two
name: Second ether sulfate
composition: {complete: true, constituents: [{inci: Sodium Laureth Sulfate, cas: 68891-38-3, pct: 30},
	{inci: Aqua, pct: q.s.}]}
`
	const whole = `toxicology:
  - inci: Sodium Laureth Sulfate
    source: summary (invented)
    endpoints: [{endpoint: id-purity, result: "ROW", source: certificate (invented)}]
`
	line := func(change ...string) profile.Line {
		return find(t, profile.All(view(t, "body-lotion", change...), tox.Builtin()),
			"Sodium Laureth Sulfate").Line("id-purity")
	}
	result := func(said string) string {
		return "{endpoint: id-purity, result: " + said + ", source: report 9 (invented)}"
	}
	both := []string{"-- ingredients/keeper.yaml", second + "-- ingredients/keeper.yaml",
		"- {ingredient: keeper, amount: 1}", "- {ingredient: keeper, amount: 1}\n        - {ingredient: sles-two, amount: 2}"}
	stated := []string{"{endpoint: skin-irrit,", result("98 % pure") + "\n      - {endpoint: skin-irrit,"}

	t.Run("some of what is expected is stated of the only one", func(t *testing.T) {
		l := line()
		assert.Equal(t, profile.Partly, l.State)
		assert.Contains(t, l.Text, "stated: 1,4-Dioxane <10 ppm; expected and not stated: ")
		assert.NotContains(t, l.Text, "Ether sulfate")
	})
	t.Run("one has its purity stated and the other nothing", func(t *testing.T) {
		l := line(append(stated, both...)...)
		assert.Equal(t, profile.Partly, l.State)
		assert.Contains(t, l.Text, "Ether sulfate: 98 % pure")
		assert.Contains(t, l.Text, "Second ether sulfate: expected and not stated: ")
		assert.Equal(t, "report 9 (invented)", l.Source)
	})
	t.Run("the only one has its purity stated", func(t *testing.T) {
		l := line(stated...)
		assert.Equal(t, profile.Value, l.State)
		assert.Equal(t, "98 % pure", l.Text)
	})
	t.Run("each has its own stated", func(t *testing.T) {
		l := line(append(append(stated, both...), "{inci: Aqua, pct: q.s.}]}\n-- ingredients/keeper.yaml",
			"{inci: Aqua, pct: q.s.}]}\n"+whole+"-- ingredients/keeper.yaml")...)
		assert.Equal(t, profile.Value, l.State)
		assert.Equal(t, "Ether sulfate: 98 % pure; Second ether sulfate: ROW", l.Text)
	})
}
