package pack_test

import ("testing";"gallipot/dossier/pack")

func TestZZ(t *testing.T) {
	for _, id := range []string{"heath-wash","lip-balm","body-cream","salt-scrub"} {
	for _, w := range pack.Build(demoAssessment(t, id)).Check() { t.Log(id, w) }
	}
}
