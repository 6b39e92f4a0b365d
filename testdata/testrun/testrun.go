// Package testrun runs the tests of a package that computes much or writes many files.
package testrun

import (
	"flag"
	"os"
	"runtime/debug"
	"testing"

	"gallipot/testdata"
)

// Main is the TestMain of such a package; see Tests.
func Main(m *testing.M) { os.Exit(Tests{m}.Run()) }

// Tests are those of a package. Run looks through memory less often, since workshops come
// and go by the hundred; and where the system has a folder in memory, with room in it, the
// temporary folders of the tests stand there. At full length they stand on the disk, where
// a maker's do.
type Tests struct{ M *testing.M }

// Run runs the tests and returns their exit code. Benchmarks are left as the program is.
func (t Tests) Run() int {
	flag.Parse()
	if bench := flag.Lookup("test.bench"); bench.Value.String() != "" {
		return t.M.Run()
	}
	debug.SetGCPercent(400)
	if !testdata.Long() && roomy(memory) {
		if dir, err := os.MkdirTemp(memory, "gallipot-tests-"); err == nil {
			defer os.RemoveAll(dir)
			os.Chmod(dir, 0o755)     // some tests run the program as somebody else
			os.Setenv("TMPDIR", dir) // never refused under this name
		}
	}
	return t.M.Run()
}
