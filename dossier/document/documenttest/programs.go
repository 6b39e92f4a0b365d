package documenttest

import (
	"bytes"
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/testdata"
)

// Tool returns the path of an outside program that a test looks at our
// files with. Without it the test is skipped, or fails where the environment
// says that all programs must be there (GALLIPOT_REQUIRE_TOOLS=1). What takes seconds to
// start is asked for at full length only.
func Tool(t *testing.T, name string) string {
	t.Helper()
	if name == "soffice" && !testdata.Long() {
		t.Skip("a long test: GALLIPOT_LONG=1 runs it")
	}
	path, err := exec.LookPath(name)
	if err == nil {
		return path
	}
	if os.Getenv("GALLIPOT_REQUIRE_TOOLS") == "1" {
		t.Fatalf("%s is not installed", name)
	}
	t.Skipf("%s is not installed", name)
	return ""
}

// Run runs an outside program and returns its two outputs; it must succeed.
func Run(t *testing.T, path string, args ...string) (stdout, stderr string) {
	t.Helper()
	var out, errout bytes.Buffer
	cmd := exec.Command(path, args...)
	cmd.Stdout, cmd.Stderr = &out, &errout
	require.NoError(t, cmd.Run(), "%s %v\n%s%s", path, args, out.String(), errout.String())
	return out.String(), errout.String()
}
