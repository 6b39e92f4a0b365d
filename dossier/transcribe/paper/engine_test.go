package paper

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The reader in the program is that of the module which go.mod names: a module raised
// without go run ./testdata/pdfreader would leave the old reader in place.
func TestReaderIsTheModules(t *testing.T) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/klippa-app/go-pdfium").Output()
	require.NoError(t, err)
	want, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(dir)), "internal", "pdfium_wasm", "pdfium.wasm"))
	require.NoError(t, err)
	got, err := readerModule()
	require.NoError(t, err)
	assert.True(t, string(want) == string(got), "run go run ./testdata/pdfreader")
}

func BenchmarkReaderModule(b *testing.B) {
	for b.Loop() {
		if _, err := readerModule(); err != nil {
			b.Fatal(err)
		}
	}
}
