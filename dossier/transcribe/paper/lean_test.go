package paper

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"gallipot/testdata"

	"github.com/stretchr/testify/require"
)

// compared are the SHA-256 of the library's reader of PDF and of ours, as they were when all
// PDF of the project were last read with both.
var compared = [2]string{
	"e6f77e01dce34de05ad62515114152da580b64c23871e3e3e2afef3f7bb88ade",
	"3f90f90010950ab7e244ded8bae3e5dea4e5456a41eb386cfc7c411a67481170",
}

// original is the reader of PDF as the library brings it, which carries functions that
// nothing calls (testdata/pdfreader).
func original(t *testing.T) []byte {
	t.Helper()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/klippa-app/go-pdfium").Output()
	require.NoError(t, err)
	module, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(dir)), "internal", "pdfium_wasm", "pdfium.wasm"))
	require.NoError(t, err)
	return module
}

// packed is a module as the program carries it.
func packed(t *testing.T, module []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, err := w.Write(module)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return b.Bytes()
}

func sum(data []byte) string {
	s := sha256.Sum256(data)
	return hex.EncodeToString(s[:])
}

// Every PDF of the project reads the same, letter by letter and place by place, and its pages
// look the same, with the library's own reader; of a long one the first two are drawn. To compile
// that one takes longer than all other tests here: in the short run the two have to be those
// that were compared. Where one of them is new, run with GALLIPOT_LONG=1 and put its sum above.
func TestLeanReader(t *testing.T) {
	module := original(t)
	defer func() {
		require.Equal(t, compared, [2]string{sum(module), sum(packedReader)}, "these two were not compared")
	}()
	if !testdata.Long() {
		return
	}
	lean := &Reader{Limits: defaultLimits()}
	_, err := lean.pdf()
	require.NoError(t, err)
	defer lean.Close()
	ours := packedReader
	packedReader = packed(t, module)
	whole := &Reader{Limits: defaultLimits()}
	_, err = whole.pdf()
	packedReader = ours
	require.NoError(t, err)
	defer whole.Close()

	count := 0
	err = filepath.WalkDir("../../../testdata", func(name string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(name) != ".pdf" {
			return err
		}
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		count++
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
