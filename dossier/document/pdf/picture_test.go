package pdf

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/dossier/document"
)

// TestFitted: by hand; 4 to 3 on 80 mm is 60 mm high.
func TestFitted(t *testing.T) {
	for name, c := range map[string]struct {
		width, height int
		column, most  float64
		wide, high    float64
	}{
		"by width":       {4, 3, 80, 75, 80, 60},
		"by height":      {3, 4, 80, 60, 45, 60},
		"no most height": {3, 4, 60, 0, 60, 80},
	} {
		t.Run(name, func(t *testing.T) {
			wide, high := fitted(&document.Picture{Width: c.width, Height: c.height, MostMM: c.most}, c.column)
			assert.InDelta(t, c.wide, wide, 1e-9)
			assert.InDelta(t, c.high, high, 1e-9)
		})
	}
}
