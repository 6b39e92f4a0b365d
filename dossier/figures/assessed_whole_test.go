package figures_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/assess"
	"gallipot/dossier/assess/assesstest"
	"gallipot/dossier/figures"
)

var demo = assesstest.Demo(assess.Run)

// TestFiguresBothWays wants the figures of an assessment and those read back
// from its JSON to be the same.
func TestFiguresBothWays(t *testing.T) {
	a := demo(t, "heath-wash")
	var b bytes.Buffer
	require.NoError(t, figures.WriteJSON(&b, []*assess.Assessment{a}))
	read, err := figures.ReadFigures(b.Bytes())
	require.NoError(t, err)
	live, err := figures.FiguresOf([]*assess.Assessment{a})
	require.NoError(t, err)
	require.Equal(t, live, read)
	require.NotEmpty(t, live[0].Documents)
	require.Empty(t, figures.Compare(read, live))
}
