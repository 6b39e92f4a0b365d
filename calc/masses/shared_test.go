package masses

import (
	"gallipot/ingredients/exact"
)

var tolerance = exact.Frac(1, 100)
