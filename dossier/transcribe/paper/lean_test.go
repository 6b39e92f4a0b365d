package paper

import (
	"bytes"
	"compress/gzip"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"gallipot/testdata"

	"github.com/stretchr/testify/require"
)

// original is the reader of PDF as the library brings it, which carries functions that
// nothing calls (testdata/pdfreader).
func original(t *testing.T) []byte {
	t.Helper()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/klippa-app/go-pdfium").Output()
	require.NoError(t, err)
	module, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(dir)), "internal", "pdfium_wasm", "pdfium.wasm"))
	require.NoError(t, err)
	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	_, err = w.Write(module)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return packed.Bytes()
}

// Every PDF of the project reads the same, letter by letter and place by place, and its pages
// look the same, with the library's own reader; of a long one the first two are drawn.
func TestLeanReader(t *testing.T) {
	if testing.Short() {
		t.Skip("reads all PDF twice, one after the other")
	}
	lean := &Reader{Limits: defaultLimits()}
	_, err := lean.pdf()
	require.NoError(t, err)
	defer lean.Close()
	packed := packedReader
	packedReader = original(t)
	whole := &Reader{Limits: defaultLimits()}
	_, err = whole.pdf()
	packedReader = packed
	require.NoError(t, err)
	defer whole.Close()

	count := 0
	err = filepath.WalkDir("../../../testdata", func(name string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(name) != ".pdf" {
			return err
		}
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		if count++; count%testdata.Cases(12, 1) > 0 {
			return nil
		}
		want, wantErr := whole.Read(name, data)
		got, gotErr := lean.Read(name, data)
		require.Equal(t, wantErr, gotErr, name)
		require.Equal(t, want, got, name)
		if wantErr != nil {
			return nil
		}
		for i := range min(2, len(want.Pages)) {
			wantPicture, wantErr := whole.Picture(data, i+1, 40)
			gotPicture, gotErr := lean.Picture(data, i+1, 40)
			require.Equal(t, wantErr, gotErr, name)
			require.True(t, bytes.Equal(wantPicture, gotPicture), "%s: page %d looks different", name, i+1)
		}
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, count, 40)
}
