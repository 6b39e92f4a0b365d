package bench

import "testing"

// One search finds what the workshop has under a name, a number or a code, and what the tables
// have.
func TestFind(t *testing.T) {
	x := begin(t, true)
	for q, want := range map[string][]string{
		"heath":     {"/product/heath-wash"},
		"122-99-6":  {"in Strandkeeper P, preservative blend", "/law?of=Phenoxyethanol"},
		"linal":     {"declared in Gorse in Bloom fragrance", "/law?of=Linalool"},
		"LG-70":     {"Kelp extract in glycerin and water"},
		"HW26-003":  {"/batch/HW26-003", "Heath Wash"},
		"RM-0114":   {"in HW26-003"},
		"kelp-extr": {"evidence/"},
		"retinil":   {"/law?of=Retinol"}, // nothing of the workshop
	} {
		page := x.get("/find?q=" + q).Body.String()
		for _, w := range want {
			x.holds(page, w)
		}
	}
	x.holds(x.get("/find?q=zzzzzzzz").Body.String(), "Nothing of this workshop")
}
