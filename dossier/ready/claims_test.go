package ready

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/table"
)

func TestNamesSubstance(t *testing.T) {
	for _, c := range []struct {
		word, inci string
		want       bool
	}{
		{"paraben", "Methylparaben", true}, {"sulfate", "Sodium Coco-Sulfate", true},
		{"peg", "PEG-40 Stearate", true}, {"peg", "Peganum Extract", false},
		{"alcohol", "Alcohol Denat.", true}, {"alcohol", "Cetearyl Alcohol", false},
		{"cera alba", "Cera Alba", true}, {"cera alba", "Euphorbia Cerifera Cera", false},
		{"siloxane", "Cyclopentasiloxane", true}, {"dimethicone", "Dimethicone", true},
	} {
		assert.Equal(t, c.want, namesSubstance(table.Builtin(), c.word, c.inci), "%s in %s", c.word, c.inci)
	}
}
