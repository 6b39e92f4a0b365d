package templates

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Each module that go.mod names for the program stands in the list in the version of
// go.mod, and each line of the list has its text.
func TestLicences(t *testing.T) {
	list, texts := Licences()
	printed, err := os.ReadFile("licences.txt")
	require.NoError(t, err)
	require.True(t, list+"\n"+texts == string(printed), "the packed list is another: run go run ./testdata/licences")
	mod, err := os.ReadFile("../go.mod")
	require.NoError(t, err)
	versions := map[string]string{}
	for _, m := range regexp.MustCompile(`(?m)^\s*(?:require )?(\S+\.\S+/\S+) (v\S+)`).FindAllStringSubmatch(string(mod), -1) {
		versions[m[1]] = m[2]
	}
	listed := 0
	for _, line := range strings.Split(strings.TrimSpace(list), "\n") {
		name := strings.TrimSpace(strings.Split(line, "  ")[0])
		t.Run(name, func(t *testing.T) {
			require.Regexp(t, "(?m)^Licence of .*"+regexp.QuoteMeta(name), texts)
			if path, version, ok := strings.Cut(name, " v"); ok {
				listed++
				require.Equal(t, versions[path], "v"+version, "run go run ./testdata/licences")
			}
		})
	}
	require.Greater(t, listed, 10)
	for _, part := range []string{"PDFium", "FreeType", "wazero", "Go fonts", "sRGB2014.icc", "libjpeg-turbo"} {
		require.Contains(t, list, part)
	}
	require.Contains(t, texts, "based in part on the work of the Independent JPEG Group")
}
