package figures_test

import (
	"gallipot/ingredients/exact"
	"gallipot/testdata/testrun"
	"testing"
)

func TestMain(m *testing.M) { testrun.Main(m) }

const testDay = exact.Date(20261125)
