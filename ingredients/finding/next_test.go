package finding

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients/exact"
)

func TestNext(t *testing.T) {
	f := func(sev Severity, code, file string) Finding {
		return Finding{Severity: sev, Code: code, Pos: exact.Pos{File: file}}
	}
	all := []Finding{f(Note, "a", "x"), f(Ask, "b", "x"), f(Decided, "h", "x"), f(Ask, "b", "y"), f(Stop, "c", "products/x"), f(Stop, "c", "products/x"), f(Stop, "d", "batches/x")}
	codes := func(n int) (list []string) {
		for _, x := range Next(all, n) {
			list = append(list, x.Code+" "+x.Pos.File)
		}
		return list
	}
	assert.Equal(t, []string{"d batches/x", "c products/x", "b x"}, codes(3))
	assert.Equal(t, []string{"d batches/x", "c products/x", "b x", "b y"}, codes(9), "notes and what is decided are nothing to do")
	assert.Empty(t, Next(nil, 3))
}
