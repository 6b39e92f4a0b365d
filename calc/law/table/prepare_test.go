package table

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Tables whose look-ups are built side by side answer as those built one by one.
func TestPrepare(t *testing.T) {
	one, err := Read(Files())
	require.NoError(t, err)
	two, err := Read(Files())
	require.NoError(t, err)
	go two.Prepare()
	require.Equal(t, one.Dictionary().All(), two.Dictionary().All())
	two.Prepare()
	require.Equal(t, one.Meanings(), two.Meanings())
	require.Equal(t, toldOf(one.Version()), toldOf(two.Version()))
}
