package table

import (
	"gallipot/calc/law/rows"
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

// told is what there is to say of a table, with its rows by what they mean.
type told struct {
	TableInfo
	meanings []rows.Digest
}

func toldOf(all []TableInfo) (out []told) {
	for _, i := range all {
		x := told{i, rows.Meanings(i.rows)}
		x.text, x.TableInfo.rows = "", nil
		out = append(out, x)
	}
	return out
}
