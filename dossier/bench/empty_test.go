//go:build browser

package bench

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// fill types into a field of a page, by its name.
func fill(t *testing.T, ctx context.Context, name, value string) {
	t.Helper()
	require.True(t, js[bool](t, ctx,
		fmt.Sprintf(`(() => { const f = document.querySelector('main [name=%q]'); f.value = %q;
		f.dispatchEvent(new Event("input", { bubbles: true })); return f.value === %q; })()`, name, value, value)), name)
}

// press clicks a button and waits for the page that it leads to.
func press(t *testing.T, ctx context.Context, button, page string) {
	t.Helper()
	js[bool](t, ctx, fmt.Sprintf(`(document.querySelector(%q).click(), true)`, button))
	until(t, page, func() bool {
		return js[bool](t, ctx, fmt.Sprintf(`document.readyState === "complete" && location.pathname.startsWith(%q)`, page))
	})
}

// From an empty folder to a pack in a real browser, with a supplier's paper dropped in: no
// file is touched by hand, and nothing is written outside the folder that was named.
func TestBrowserEmpty(t *testing.T) {
	x := begin(t, false)
	require.NoError(t, os.RemoveAll(x.dir))
	x.dir = filepath.Join(t.TempDir(), "mine")
	ctx, host := browserAt(t, x, "")
	visit(t, ctx, host+"/first/new")
	fill(t, ctx, "name", "Hedge and Pot (invented)")
	fill(t, ctx, "address", "Lane 1\nNowhere")
	fill(t, ctx, "folder", x.dir)
	press(t, ctx, "main button.go", "/today")
	visit(t, ctx, host+"/papers")
	paper, err := filepath.Abs("../../testdata/demo/inbox/kelp-extract-composition.pdf")
	require.NoError(t, err)
	drop(t, ctx, paper)
	until(t, "read", func() bool {
		return js[bool](t, ctx, `document.readyState === "complete" && location.pathname.startsWith("/incoming/")`)
	})
	for range 20 { // whatever is left, one by one
		if js[bool](t, ctx, `!!document.getElementById("file")`) {
			break
		}
		left := js[int](t, ctx, `document.querySelectorAll("tr.left").length`)
		js[bool](t, ctx, `(document.querySelector("[data-together]") || document.querySelector("tr.left [data-confirm]")).click(), true`)
		until(t, "answered", func() bool {
			return js[bool](t, ctx, fmt.Sprintf(`document.readyState === "complete" && document.querySelectorAll("tr.left").length < %d`, left))
		})
	}
	press(t, ctx, "#file", "/material/kelp-extract-in-glycerin-and-water")
	require.FileExists(t, filepath.Join(x.dir, "ingredients/kelp-extract-in-glycerin-and-water.yaml"))
	visit(t, ctx, host+"/products/new")
	fill(t, ctx, "name", "Kelp Gel")
	fill(t, ctx, "type", "shower-gel")
	fill(t, ctx, "for", "adults")
	fill(t, ctx, "net", "100")
	fill(t, ctx, "first", "Kelp extract in glycerin and water")
	press(t, ctx, "main button.go", "/product/kelp-gel/formula")
	visit(t, ctx, host+"/product/kelp-gel/facts")
	fill(t, ctx, "set:/label/width_mm", "90")
	fill(t, ctx, "set:/label/height_mm", "60")
	fill(t, ctx, "set:/label/shape", "rectangle")
	fill(t, ctx, "set:/durability/pao_months", "6")
	press(t, ctx, "main button.go", "/product/kelp-gel/facts")
	until(t, "kept", func() bool {
		return js[string](t, ctx, `document.querySelector('[name="set:/label/width_mm"]').defaultValue`) == "90"
	})
	visit(t, ctx, host+"/product/kelp-gel/label")
	require.Equal(t, 1, js[int](t, ctx, `document.querySelectorAll("svg.proof").length`))
	visit(t, ctx, host+"/product/kelp-gel/pack")
	press(t, ctx, `form[action="/product/kelp-gel/pack"] button`, "/product/kelp-gel/pack")
	until(t, "pack", func() bool { _, err := os.Stat(filepath.Join(x.dir, "out/kelp-gel-pack.pdf")); return err == nil })
}
