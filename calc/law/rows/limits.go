package rows

import (
	"gallipot/ingredients/exact"
)

func (r *Record) CheckNumbers(cas, ec []string) {
	for _, c := range cas {
		if err := exact.CheckCAS(c); err != nil {
			r.Fail("cas: %v", err)
		}
	}
	for _, e := range ec {
		if err := exact.CheckEC(e); err != nil {
			r.Fail("ec: %v", err)
		}
	}
}
