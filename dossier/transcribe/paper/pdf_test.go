package paper

import (
	"os"
	"testing"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/responses"
	"github.com/stretchr/testify/require"
)

// counting counts what is asked of the sandbox for letters.
type counting struct {
	pdfium.Pdfium
	boxes, origins, angles int
}

func (c *counting) FPDFText_GetLooseCharBox(r *requests.FPDFText_GetLooseCharBox) (
	*responses.FPDFText_GetLooseCharBox, error) {
	c.boxes++
	return c.Pdfium.FPDFText_GetLooseCharBox(r)
}

func (c *counting) FPDFText_GetCharOrigin(r *requests.FPDFText_GetCharOrigin) (
	*responses.FPDFText_GetCharOrigin, error) {
	c.origins++
	return c.Pdfium.FPDFText_GetCharOrigin(r)
}

func (c *counting) FPDFText_GetCharAngle(r *requests.FPDFText_GetCharAngle) (
	*responses.FPDFText_GetCharAngle, error) {
	c.angles++
	return c.Pdfium.FPDFText_GetCharAngle(r)
}

// Each call into the sandbox costs as much as reading a word: what letters of a line
// share is asked for once.
func TestBaselineIsAskedOnce(t *testing.T) {
	data, err := os.ReadFile("../../../testdata/papers/quince-sds.pdf")
	require.NoError(t, err)
	r := NewReader()
	defer r.Close()
	e, err := r.pdf()
	require.NoError(t, err)
	inst, err := e.instance()
	require.NoError(t, err)
	defer func() { _ = inst.Close() }()
	doc, err := inst.OpenDocument(&requests.OpenDocument{File: &data})
	require.NoError(t, err)
	c := &counting{Pdfium: inst}
	page := readPage(&File{}, c, doc.Document, 0, defaultLimits())
	require.NotEmpty(t, page.Lines)
	require.Greater(t, c.boxes, 1000)
	require.Less(t, c.origins, c.boxes/10)
	require.Equal(t, c.origins, c.angles)
}

func TestLevel(t *testing.T) {
	const quarter = 1.5707963
	require.True(t, level(0, 0))
	require.True(t, level(quarter, 1))
	require.True(t, level(-quarter, 3))
	require.False(t, level(0.78, 0), "a watermark")
	require.False(t, level(quarter, 0))
}
