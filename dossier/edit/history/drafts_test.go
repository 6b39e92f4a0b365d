package history

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestDrafts(t *testing.T) {
	b := open(t, map[string]string{"a.yaml": "1"})
	_, ok, err := b.Draft("a.yaml")
	require.NoError(t, err)
	require.False(t, ok)
	require.NoError(t, b.SetDraft("a.yaml", Draft{Base: "x", Data: []byte("2")}))
	b.reopen()
	d, ok, err := b.Draft("a.yaml")
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, Draft{"x", []byte("2")}, d)
	require.Equal(t, "1", b.text("a.yaml"))
	require.NoError(t, b.DropDraft("a.yaml"))
	require.NoError(t, b.DropDraft("a.yaml"))
	_, ok, _ = b.Draft("a.yaml")
	require.False(t, ok)
	require.ErrorIs(t, b.SetDraft("../a", Draft{}), fs.ErrInvalid)
}
