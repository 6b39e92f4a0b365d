package paper

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// sandboxOf opens a PDF in a sandbox that counts its calls.
func sandboxOf(t testing.TB, name string) (*sandbox, handle, map[string]int) {
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	r := NewReader()
	t.Cleanup(r.Close)
	e, err := r.pdf()
	require.NoError(t, err)
	box, leave, err := e.sandbox()
	require.NoError(t, err)
	t.Cleanup(leave)
	calls := map[string]int{}
	box.count = func(name string) { calls[name]++ }
	doc, err := box.open(data)
	require.NoError(t, err)
	return box, doc, calls
}

// Each call into the sandbox costs as much as reading a word: what letters of a line
// share is asked for once, what a page shares once a page, and no memory for each.
func TestCallsOfAPage(t *testing.T) {
	box, doc, calls := sandboxOf(t, "../../../testdata/papers/quince-sds.pdf")
	clear(calls)
	page := readPage(&File{}, box, doc, 0, defaultLimits())
	require.NotEmpty(t, page.Lines)
	boxes := calls["FPDFText_GetLooseCharBox"]
	require.Greater(t, boxes, 1000)
	require.Less(t, calls["FPDFText_GetCharOrigin"], boxes/10)
	require.Equal(t, calls["FPDFText_GetCharOrigin"], calls["FPDFText_GetCharAngle"])
	require.Zero(t, calls["FPDFText_GetUnicode"])
	require.Equal(t, 1, calls["FPDFText_GetText"])
	require.Equal(t, 1, calls["malloc"])
	require.LessOrEqual(t, calls["FPDFText_HasUnicodeMapError"], boxes/4+1)
	require.LessOrEqual(t, calls["FPDFTextObj_GetTextRenderMode"], calls["FPDFPage_GetObject"])
	require.LessOrEqual(t, calls["FPDFPageObj_GetFillColor"], calls["FPDFPage_GetObject"])
	all, objects := 0, calls["FPDFPage_GetObject"]
	for _, n := range calls {
		all += n
	}
	require.Less(t, all, 2*boxes+3*objects, "%v", calls)
}

// The text of a page at once says the same as each letter alone.
func TestTextIsItsLetters(t *testing.T) {
	names, err := filepath.Glob("../../../testdata/papers/*.pdf")
	require.NoError(t, err)
	more, err := filepath.Glob("../../../testdata/papers/layouts/*.pdf")
	require.NoError(t, err)
	r := NewReader()
	t.Cleanup(r.Close)
	e, err := r.pdf()
	require.NoError(t, err)
	whole := 0
	for _, name := range append(names, more...) {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		box, leave, err := e.sandbox()
		require.NoError(t, err)
		doc, err := box.open(data)
		require.NoError(t, err)
		for i := range box.number("FPDF_GetPageCount", doc) {
			page, _ := box.call("FPDF_LoadPage", doc, uint64(i))
			text, _ := box.call("FPDFText_LoadPage", page)
			count := box.number("FPDFText_CountChars", text)
			runes, ok := box.text(text, count)
			if !ok {
				continue
			}
			whole++
			for k, r := range runes {
				alone := rune(box.number("FPDFText_GetUnicode", text, uint64(k)))
				if r == 0xfffe { // a hyphen at a line's end
					r = 2
				}
				require.Equal(t, alone, r, "%s page %d letter %d", name, i+1, k)
			}
		}
		leave()
	}
	require.Greater(t, whole, 30)
}

func TestLevel(t *testing.T) {
	const quarter = 1.5707963
	require.True(t, level(0, 0))
	require.True(t, level(quarter, 1))
	require.True(t, level(-quarter, 3))
	require.False(t, level(0.78, 0), "a watermark")
	require.False(t, level(quarter, 0))
}

// A paper that takes too long is ended, and the next one is read.
func TestTimeOfASandbox(t *testing.T) {
	data, err := os.ReadFile("../../../testdata/papers/quince-sds.pdf")
	require.NoError(t, err)
	r := NewReader()
	t.Cleanup(r.Close)
	usual := r.Limits
	r.Limits.PerPage = 0
	for _, seconds := range []float64{1e-6, 0.0005, 0.001, 0.002, 0.004} {
		r.Limits.Seconds = seconds
		f, err := r.Read("a.pdf", data)
		if err == nil {
			require.Greater(t, seconds, 1e-6, "nothing reads a page in a millionth of a second")
			require.NotEmpty(t, f.Pages[0].Lines, "read in time, so read whole")
			continue
		}
		var trouble *Trouble
		require.ErrorAs(t, err, &trouble)
		require.Equal(t, "time", trouble.Code)
	}
	r.Limits = usual
	f, err := r.Read("a.pdf", data)
	require.NoError(t, err)
	require.NotEmpty(t, f.Pages[0].Lines)
}
