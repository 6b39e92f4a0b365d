//go:build browser

package bench

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// A paper dropped in and answered by keyboard alone in a real browser: the line of the value
// in focus is framed on the page.
func TestBrowserIncoming(t *testing.T) {
	x := begin(t, false)
	ctx, host := browser(t, x)
	paper, err := filepath.Abs("../../testdata/demo/inbox/kelp-extract-composition.pdf")
	require.NoError(t, err)
	visit(t, ctx, host+"/papers")
	drop(t, ctx, paper)
	until(t, "read", func() bool { return js[bool](t, ctx, `location.pathname.startsWith("/incoming/")`) })
	until(t, "page drawn", func() bool {
		return js[bool](t, ctx, `fetch(document.querySelector("image").getAttribute("href")).then(r => r.ok && r.headers.get("Content-Type") === "image/png")`)
	})
	until(t, "script", func() bool { return js[string](t, ctx, `document.readyState`) == "complete" })
	js[bool](t, ctx, `(document.querySelector("[data-value]").focus(), true)`)
	until(t, "framed", func() bool { return js[int](t, ctx, `document.querySelectorAll("rect.cur").length`) == 1 })
	keys(t, ctx, kb.ArrowDown)
	require.Equal(t, "v1", js[string](t, ctx, `document.activeElement.id`))
	require.NoError(t, chromedp.Do(ctx, chromedp.KeyEvent(kb.Enter, chromedp.KeyModifiers(8)))) // Shift Enter
	until(t, "confirmed together",
		func() bool { return js[int](t, ctx, `document.querySelectorAll("tr.confirmed").length`) > 5 })
	for range 4 { // what was inferred, one by one
		if js[string](t, ctx, `document.activeElement.id`) == "file" {
			break
		}
		left := js[int](t, ctx, `document.querySelectorAll("tr.left").length`)
		keys(t, ctx, kb.Enter)
		until(t, "confirmed", func() bool { return js[int](t, ctx, `document.querySelectorAll("tr.left").length`) == left-1 })
		until(t, "next in focus", func() bool { return js[string](t, ctx, `document.activeElement.id`) != "" })
	}
	require.Equal(t, "file", js[string](t, ctx, `document.activeElement.id`))
	keys(t, ctx, kb.Enter)
	until(t, "filed", func() bool { return js[string](t, ctx, `location.pathname`) == "/material/kelp-extract" })
	require.FileExists(t, filepath.Join(x.dir, "evidence/kelp-extract-composition.pdf"))
}

// drop lets a file fall onto the field of a page that takes papers.
func drop(t *testing.T, ctx context.Context, file string) {
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	js[bool](t, ctx, `(() => { const t = new DataTransfer(), bytes = new Uint8Array(`+bytesOf(data)+`);
		t.items.add(new File([bytes], "`+filepath.Base(file)+`"));
		document.querySelector("[data-drop]").dispatchEvent(new DragEvent("drop", { dataTransfer: t, bubbles: true, cancelable: true })); return true; })()`)
}

func bytesOf(data []byte) string {
	return "[" + strings.Join(strings.Fields(strings.Trim(fmt.Sprint(data), "[]")), ",") + "]"
}
