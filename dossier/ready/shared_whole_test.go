package ready_test

import (
	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/assess/assesstest"
	"gallipot/dossier/decide"
	"gallipot/dossier/ready"
	"gallipot/dossier/stability"
	"gallipot/dossier/workshop"
	"gallipot/testdata/testrun"
	"testing"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// batchOptions are those of a run on the day of the tests.
func batchOptions() assess.Options { return assess.Options{Date: 20261125, Law: table.Builtin()} }

// run assesses a product with what is asked of the file and of its shelf life.
func run(w *workshop.Workshop, p *workshop.Product, opt assess.Options) *assess.Assessment {
	opt.Checks, opt.Settle = []assess.Check{ready.Findings, stability.Findings}, decide.Settle
	return assess.Run(w, p, opt)
}

var demo = assesstest.Demo(run)
