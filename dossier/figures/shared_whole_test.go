package figures_test

import (
	"testing"

	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }
