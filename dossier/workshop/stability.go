package workshop

import "gallipot/dossier/words"

// testName names a storage test with its temperature.
func (t *StabilityTest) Name() string {
	name := t.Test
	if t.TempC != nil {
		name += ", " + t.TempC.Exact() + " °C"
	}
	if t.Cycles > 0 {
		name += ", " + words.Count(t.Cycles, "cycle", "cycles")
	}
	return name
}
