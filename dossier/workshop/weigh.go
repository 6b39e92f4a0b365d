package workshop

import (
	"strings"

	"gallipot/ingredients/exact"
)

// StatedDensity reads the density of the specification where it is a number.
func StatedDensity(p *Product) *exact.Num {
	for _, x := range p.Specification.Properties {
		if x.Name != "density" {
			continue
		}
		n, err := exact.ParseNum(strings.TrimSpace(strings.TrimSuffix(x.Text, "g/ml")))
		if err == nil && n.Sign() > 0 {
			return &n
		}
	}
	return nil
}
