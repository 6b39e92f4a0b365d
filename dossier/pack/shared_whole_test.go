package pack_test

import (
	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/testdata/testrun"
	"testing"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// batchOptions are those of a run on the day of the tests.
func batchOptions() assess.Options { return assess.Options{Date: 20261125, Law: table.Builtin()} }
