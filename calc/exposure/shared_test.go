package exposure_test

import (
	"testing"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
)

const today = 20261125

func exposureOf(t testing.TB, productType string, audience formula.Audience,
	own *formula.OwnExposure) (exposure.Exposure, []string) {
	t.Helper()
	e, fs := exposure.ExposureOf(formulatest.OfType(t, productType, audience, own))
	return e, formulatest.Codes(fs)
}
