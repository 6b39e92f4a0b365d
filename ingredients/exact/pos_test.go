package exact

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPlacesInOrder(t *testing.T) {
	a := Pos{File: "a.yaml", Line: 2, Col: 3}
	for _, c := range []struct {
		p, q Pos
		want bool
	}{
		{a, Pos{File: "b.yaml", Line: 1, Col: 1}, true}, {Pos{File: "b.yaml", Line: 1, Col: 1}, a, false},
		{a, Pos{File: "a.yaml", Line: 3, Col: 1}, true}, {a, Pos{File: "a.yaml", Line: 2, Col: 4}, true}, {a, a, false},
		{Pos{File: "a.yaml", Line: 9, Col: 1}, Pos{File: "a.yaml", Line: 10, Col: 1}, true},
	} {
		assert.Equal(t, c.want, c.p.Before(c.q), "%s %s", c.p, c.q)
	}
	assert.Equal(t, "a.yaml:2:3", a.String())
	assert.Equal(t, "a.yaml", Pos{File: "a.yaml"}.String())
	assert.Empty(t, Pos{Line: 2}.String())
	assert.True(t, Pos{Line: 2}.IsZero())
	assert.False(t, a.IsZero())
}
