package workshop

import (
	"strings"

	"gallipot/ingredients/exact"
)

// StatedDensity reads the density of the specification where it is one number in g/ml,
// and says where it stands; nil for words, a range or another unit. The number is as
// typed: whether a product can have it is for others to say.
func StatedDensity(p *Product) (*exact.Num, property) {
	for _, x := range p.Specification.Properties {
		if x.Name != "density" {
			continue
		}
		n, err := exact.ParseNum(strings.TrimSpace(strings.TrimSuffix(x.Text, "g/ml")))
		if err == nil {
			return &n, x
		}
	}
	return nil, property{}
}
