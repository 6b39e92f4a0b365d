package labelling

import (
	"testing"

	"gallipot/calc"
	"gallipot/calc/exposure"
)

// of assesses the product with pairs of sheet and amount.
func traceOf(t testing.TB, r *calc.Result, name string) *exposure.Trace {
	t.Helper()
	for i := range r.Traces {
		if r.Traces[i].Name == name {
			return &r.Traces[i]
		}
	}
	t.Fatalf("no trace %s", name)
	return nil
}

func checkFor(t testing.TB, tr *exposure.Trace, key string) exposure.TraceCheck {
	t.Helper()
	for _, c := range tr.Checks {
		if c.Guide.Key == key {
			return c
		}
	}
	t.Fatalf("%s is not compared with %s", tr.Name, key)
	return exposure.TraceCheck{}
}
