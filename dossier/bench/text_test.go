package bench

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestTornFiles: a file cut off in the middle of its lines is listed with the line and the
// caret below the place, wherever it is cut.
func TestTornFiles(t *testing.T) {
	x := begin(t, true)
	const file = "ingredients/fo-gorse.yaml"
	whole := x.read(file)
	shown := 0
	for n := 0; n < len(whole); n += 97 {
		require.NoError(t, os.WriteFile(filepath.Join(x.dir, file), []byte(whole[:n]), 0o644))
		w := x.get("/torn")
		require.Equal(t, http.StatusOK, w.Code, "%d bytes: %s", n, w.Body)
		if strings.Contains(w.Body.String(), "^") {
			shown++
		}
	}
	require.Positive(t, shown, "a place is shown")
	require.NoError(t, os.WriteFile(filepath.Join(x.dir, file), []byte(whole[:strings.Index(whole, "\n  ")+7]), 0o644))
	x.holds(x.get("/torn").Body.String(), file)
}
