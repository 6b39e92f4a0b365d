package frame

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWrittenDay(t *testing.T) {
	for typed, want := range map[string]string{
		"31/8/2026": "2026-08-31", "31.08.2026": "2026-08-31", "8 August 2026": "2026-08-08", "8 Aug 2026": "2026-08-08",
		"August 8, 2026": "2026-08-08", "8/8/2026": "2026-08-08", "2026-08-31": "2026-08-31",
		"3/4/2026": "3/4/2026", "03/2028": "03/2028", "12.5": "12.5", "31/2/2026": "31/2/2026", "": "", "soon": "soon",
	} {
		require.Equal(t, want, WrittenDay(typed), typed)
	}
}
