package figures_test

import (
	"gallipot/ingredients/exact"
)

const testDay = exact.Date(20261125)
