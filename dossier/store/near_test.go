package store

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

func TestNearFile(t *testing.T) {
	fsys := fstest.MapFS{"evidence/Shea_Butter COA.pdf": {}, "evidence/shea butter.pdf": {}, "evidence/sub/x.pdf": {}}
	for file, want := range map[string]string{
		"evidence/shea-butter-coa.PDF": "evidence/Shea_Butter COA.pdf",
		"evidence/shea-butter.jpg":     "evidence/shea butter.pdf",
		"evidence/shea-butter-2.pdf":   "",
		"evidence/sub":                 "",
		"nowhere/x.pdf":                "",
	} {
		require.Equal(t, want, NearFile(fsys, file), file)
	}
}
