package listing_test

import (
	"gallipot/ingredients/exact"
)

var tolerance = exact.Frac(1, 100)

const today = 20261125
