//go:build !browser

package bench

import (
	"os"
	"testing"

	"gallipot/testdata"
)

// The tests in a real browser need a module of hundreds of files to drive it, which nobody
// else should have to compile: they stand in files for -tags browser.
func TestBrowser(t *testing.T) {
	if testdata.Long() && os.Getenv("GALLIPOT_REQUIRE_TOOLS") == "1" {
		t.Fatal("the tests in a browser were left out: -tags browser")
	}
	t.Skip("the tests in a browser: GALLIPOT_LONG=1 go test -tags browser ./dossier/bench")
}
