package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestXLSXSheetNames(t *testing.T) {
	taken := map[string]bool{"contents": true}
	require.Equal(t, "a-b-c", sheetName("a/b:c", taken))
	require.Equal(t, "A-B-C (2)", sheetName("A*B?C", taken))
	require.Equal(t, "Contents (2)", sheetName("Contents", taken))
	require.Equal(t, "History_", sheetName("History", taken))
	require.Equal(t, "quoted", sheetName("'quoted'", taken))
	long := sheetName(strings.Repeat("ö", 50), taken)
	require.Len(t, []rune(long), 31)
	require.Len(t, []rune(sheetName(strings.Repeat("ö", 50), taken)), 31)
}
