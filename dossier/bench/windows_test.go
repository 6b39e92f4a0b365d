//go:build browser

package bench

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"gallipot/testdata"
)

// hook writes down over reloads what a page says in its foot, and mistakes of its script.
const hook = `(() => {
	const note = s => sessionStorage.setItem("log", (sessionStorage.getItem("log") || "") + s + "\n");
	addEventListener("error", e => note("error " + e.message));
	addEventListener("unhandledrejection", e => note("rejected " + e.reason));
	addEventListener("DOMContentLoaded", () => {
		const s = document.getElementById("status");
		if (s) new MutationObserver(() => note("says " + s.textContent)).observe(s, { childList: true, characterData: true, subtree: true });
	});
})()`

// window makes a tab a window of its own that notes what it says.
func window(t *testing.T, ctx context.Context) {
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(1280, 900)))
	_, err := chromedp.Call(ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	require.NoError(t, err)
	_, err = chromedp.Call(ctx, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: hook})
	require.NoError(t, err)
}

// noted is what a window has noted so far.
func noted(t *testing.T, ctx context.Context) string {
	return js[string](t, ctx, `sessionStorage.getItem("log") || ""`)
}

// A page that came anew while nothing had the focus goes on working: what is typed then is saved,
// and the page does not say of the program that it does not answer.
func TestBrowserAfterReload(t *testing.T) {
	x := begin(t, false)
	ctx, host := browser(t, x)
	window(t, ctx)
	const file = "products/heath-wash.yaml"
	visit(t, ctx, host+"/product/heath-wash/facts")
	js[bool](t, ctx, `(document.activeElement.blur(), window.old = true)`)
	require.NoError(t, os.WriteFile(filepath.Join(x.dir, file), []byte(x.read(file)+"# another window\n"), 0o644))
	until(t, "the page anew", func() bool { return js[bool](t, ctx, `document.readyState === "complete" && !window.old`) })
	js[bool](t, ctx, `(document.getElementById("revision").focus(), document.getElementById("revision").select(), true)`)
	keys(t, ctx, "77\t")
	until(t, "saved", func() bool { return js[bool](t, ctx, `/^Saved/.test(document.getElementById("status").textContent)`) })
	require.Contains(t, x.read(file), "revision: 77")
	time.Sleep(1500 * time.Millisecond) // what is said comes later than the answer
	require.NotContains(t, noted(t, ctx), "not answer")
	require.NotContains(t, noted(t, ctx), "error ")
}

// A link that is pressed out of a field is followed when the field is saved.
func TestBrowserSavesBeforeLeaving(t *testing.T) {
	x := begin(t, false)
	ctx, host := browser(t, x)
	const file = "products/heath-wash.yaml"
	visit(t, ctx, host+"/product/heath-wash/facts")
	js[bool](t, ctx, `(document.getElementById("revision").focus(), document.getElementById("revision").select(), true)`)
	keys(t, ctx, "78")
	js[bool](t, ctx, `(document.activeElement.blur(), document.querySelector('.places a[href="/materials"]').click(), true)`)
	until(t, "there", func() bool { return js[string](t, ctx, `location.pathname`) == "/materials" })
	require.Contains(t, x.read(file), "revision: 78")
	visit(t, ctx, host+"/product/heath-wash/facts")
	js[bool](t, ctx, `(document.getElementById("revision").focus(), document.getElementById("revision").select(), true)`)
	keys(t, ctx, "two")
	js[bool](t, ctx, `(document.activeElement.blur(), document.querySelector('.places a[href="/materials"]').click(), true)`)
	until(t, "said at the field", func() bool { return js[bool](t, ctx, `!!document.getElementById("revision-wrong")`) })
	require.Equal(t, "/product/heath-wash/facts", js[string](t, ctx, `location.pathname`), "what is refused is not left behind")
}

// Two windows and an editor change the same file over and over, save, take back and leave. No
// window says that the program does not answer, which answers all the time, and no script ends.
func TestBrowserWindows(t *testing.T) {
	x := begin(t, false)
	one, host := browser(t, x)
	two, end := chromedp.NewContext(one)
	defer end()
	window(t, one)
	window(t, two)
	const file = "products/heath-wash.yaml"
	const grid, facts = "/product/heath-wash/formula?variant=scrub&market=EU", "/product/heath-wash/facts"
	visit(t, one, host+grid)
	visit(t, two, host+facts)
	wait := func(ms int) { time.Sleep(time.Duration(ms) * time.Millisecond) }
	for i := range testdata.Lengths(10, 20, 60) {
		if i%3 > 0 { // else nothing has the focus, as after a press beside all fields
			js[bool](t, one, `(document.getElementById("amount-2-1")?.focus(), document.getElementById("amount-2-1")?.select(), true)`)
			keys(t, one, fmt.Sprintf("%d.%d", i%2, 1+i%8))
		}
		wait(i * 37 % 400)
		other := fmt.Sprintf(`(() => { const f = document.getElementById("revision"); if (f) { f.focus(); f.value = "%d";
			f.dispatchEvent(new Event("change", { bubbles: true })); } return true; })()`, 2+i)
		switch i % 5 {
		case 0: // the other window saves
			js[bool](t, two, other)
		case 1: // an editor saves
			require.NoError(t, os.WriteFile(filepath.Join(x.dir, file), []byte(x.read(file)+fmt.Sprintf("# %d\n", i)), 0o644))
		case 2: // the other takes back
			js[bool](t, two, `(document.querySelector("[data-undo]")?.click(), true)`)
		case 3: // and both at once
			js[bool](t, two, other)
			js[bool](t, two, `(document.querySelector("[data-undo]")?.click(), true)`)
		}
		wait(i * 53 % 2500)
		switch i % 4 {
		case 0:
			js[bool](t, one, `(document.activeElement.blur(), true)`)
		case 1:
			keys(t, one, "\r")
		case 2: // and goes on at once
			js[bool](t, one, `(document.activeElement.blur(), document.querySelector("[data-undo]")?.click(), true)`)
		case 3:
			js[bool](t, one, `(document.activeElement.blur(), document.querySelector(".places a")?.click(), true)`)
		}
		wait(i * 71 % 1700)
		for _, w := range []context.Context{one, two} {
			said := noted(t, w)
			require.NotContains(t, said, "not answer", "round %d", i)
			require.NotContains(t, said, "error ", "round %d", i)
			require.NotContains(t, said, "rejected ", "round %d", i)
		}
		if js[string](t, one, `location.pathname + location.search`) != grid {
			visit(t, one, host+grid)
		}
		if js[string](t, two, `location.pathname`) != facts {
			visit(t, two, host+facts)
		}
	}
}
