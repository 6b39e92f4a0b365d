//go:build browser

package bench

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// What is refused is said where it is seen: the page stands at the field, which has the focus. What
// was added below the grid is followed by the next, so its first field has it. A field that a link
// leads to is seen with its name.
func TestBrowserRefused(t *testing.T) {
	x := begin(t, false)
	ctx, host := browser(t, x)
	focused := func(id string) func() bool {
		return func() bool { return js[string](t, ctx, `document.activeElement.id`) == id }
	}
	visit(t, ctx, host+"/material/fo-gorse/allergens")
	js[bool](t, ctx, `(document.getElementById("dated").value = "some day", scrollTo(0, 1e6),
		document.querySelector("main button.go").focus(), true)`)
	keys(t, ctx, kb.Enter)
	said := func() bool { return js[bool](t, ctx, `!!document.getElementById("dated-wrong")`) }
	until(t, "the refused page", said)
	until(t, "its field", focused("dated"))
	require.True(t, js[bool](t, ctx, `(r => r.top > 0 && r.bottom < innerHeight)(
		document.getElementById("dated").getBoundingClientRect())`))

	before := x.read(washFile)
	visit(t, ctx, host+"/product/heath-wash/formula")
	js[bool](t, ctx, `(document.getElementById("add-line").focus(), true)`)
	keys(t, ctx, "strandkeeper p")
	keys(t, ctx, kb.Tab)
	keys(t, ctx, "0.1")
	keys(t, ctx, kb.Enter)
	const line = "{ingredient: keeper-pe, amount: 0.1}"
	until(t, "the line", func() bool { return strings.Contains(x.read(washFile), line) })
	until(t, "the field for the next", focused("add-line"))
	x.post("/undo")
	require.True(t, before == x.read(washFile), "as it was")

	visit(t, ctx, host+"/product/heath-wash/facts#label-width_mm")
	until(t, "the field of the link", focused("label-width_mm"))
	require.True(t, js[bool](t, ctx,
		`document.querySelector("label[for=label-width_mm]").getBoundingClientRect().top > 0`))
}
