//go:build counted

package dossier

import (
	"testing"

	"gallipot/calc/law/table"
	"gallipot/dossier/workshop"
	"gallipot/testdata"
)

// TestAsked prints what the memories of a session are asked in a check of 200 products:
// calls, and distinct arguments among them. What is asked often for few arguments is what
// a memory is for; what is asked for as many arguments as there are calls has none of it.
//
//	go test -tags counted ./dossier -run TestAsked -v
func TestAsked(t *testing.T) {
	size := testdata.Size{Sheets: 200, Products: 200, Variants: 10}
	w, _ := workshop.LoadFS("w", testdata.Large(size), table.Builtin())
	opt := benchOptions().Within(w)
	CheckAll(w, w.Computable(w.Products), nil, opt)
	t.Logf("%d results\n%10s %8s", size.Products*size.Variants*2, "calls", "distinct")
	for _, line := range opt.Session.Asked() {
		t.Log(line)
	}
}
