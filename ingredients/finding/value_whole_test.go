package finding_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

func TestMaterialAsValue(t *testing.T) {
	assert.Equal(t, finding.Value{Kind: finding.KindName, Text: "Kelp Extract", ID: "kelp"},
		(&ingredients.Sheet{ID: "kelp", Name: "Kelp Extract"}).Named())
	assert.Equal(t, finding.Value{Kind: finding.KindName, Text: "kelp", ID: "kelp"},
		(&ingredients.Sheet{ID: "kelp"}).Named())
	v := finding.With().Is("material", (&ingredients.Sheet{ID: "kelp", Name: "Kelp Extract"}).Named())
	assert.Equal(t, "material", v[0].Name)
}
