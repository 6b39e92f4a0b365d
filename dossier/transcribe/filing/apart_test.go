package filing

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients/finding"
)

func TestApart(t *testing.T) {
	code := func(f finding.Finding) string { return f.Code }
	gone, come := Apart([]finding.Finding{{Code: "a"}, {Code: "b"}}, []finding.Finding{{Code: "b"}, {Code: "c"}}, code)
	assert.Equal(t, []string{"a"}, gone)
	assert.Equal(t, []string{"c"}, come)
}
