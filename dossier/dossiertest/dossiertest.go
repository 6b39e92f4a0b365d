// Package dossiertest assesses the demo, with all checks, for the tests of other rooms.
package dossiertest

import (
	"testing"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/assess/assesstest"
)

var demo = assesstest.Demo(dossier.Assess)

// Demo assesses a product of the demo on its day; see [assesstest.Demo].
func Demo(t testing.TB, id string) *assess.Assessment {
	t.Helper()
	return demo(t, id)
}
