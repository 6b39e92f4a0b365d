//go:build browser

package bench

import (
	"compress/gzip"
	"context"
	"encoding/json"
	"io"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// What a reader of the screen announces as something to act on.
var acted = []string{"button", "link", "textbox", "searchbox", "combobox", "checkbox", "radio", "spinbutton",
	"listbox", "tab", "menuitem", "slider"}

// Every kind of page: each control has a name, headings go down one rank at a time, landmarks
// are told apart. axe-core 4.14.1, the engine that finds what is wrong in a page by the rules
// of accessibility, looks too and has nothing to say: it saves writing those rules again. It is
// no part of the program and stands with its licence in testdata/axe.
func TestBrowserAccessible(t *testing.T) {
	x := begin(t, false)
	ctx, host := browser(t, x)
	_, store := x.site.Workshop()
	data, err := os.ReadFile("../../testdata/demo/inbox/kelp-extract-composition.pdf")
	require.NoError(t, err)
	paper, err := store.AddPaper("kelp.pdf", data)
	require.NoError(t, err)
	own, err := store.AddPaper("sorrel.csv", []byte(ownFormula))
	require.NoError(t, err)
	own.For = "a formula"
	require.NoError(t, store.NotePaper(own))
	engine := axe(t)
	for _, path := range append(slices.Clone(pages), "/incoming/"+paper.Key, "/formulas/"+own.Key) {
		t.Run(path, func(t *testing.T) {
			visit(t, ctx, host+path)
			js[bool](t, ctx, `(() => { for (const d of document.querySelectorAll("details")) d.open = true; return true; })()`)
			require.Empty(t, unnamed(t, ctx), "controls without a name")
			require.Empty(t, js[string](t, ctx, `(() => {
				const bad = [];
				let rank = 0;
				for (const h of document.querySelectorAll("h1, h2, h3, h4, h5, h6")) {
					const n = Number(h.tagName[1]);
					if (n > rank + 1) bad.push(h.outerHTML.slice(0, 80));
					rank = n;
				}
				const seen = new Set();
				for (const l of document.querySelectorAll("main, nav, aside, body > header, body > footer, [role=search], [role=region]")) {
					if (!l.offsetParent) continue;
					const key = l.tagName + (l.getAttribute("role") || "") + (l.getAttribute("aria-label") || "");
					if (seen.has(key)) bad.push("twice: " + key);
					seen.add(key);
				}
				return bad.join("\n");
			})()`))
			js[bool](t, ctx, engine+";true")
			said := js[string](t, ctx, `axe.run(document, { resultTypes: ["violations"] }).then(r => JSON.stringify(r.violations.map(v => [v.id, v.impact, v.nodes.map(n => n.html.slice(0, 120))])))`)
			var violations []json.RawMessage
			require.NoError(t, json.Unmarshal([]byte(said), &violations))
			require.Empty(t, violations, said)
		})
	}
}

// axe is the engine.
func axe(t *testing.T) string {
	t.Helper()
	packed, err := os.Open("../../testdata/axe/axe.min.js.gz")
	require.NoError(t, err)
	defer packed.Close() // it was only read
	z, err := gzip.NewReader(packed)
	require.NoError(t, err)
	text, err := io.ReadAll(z)
	require.NoError(t, err)
	return string(text)
}

// unnamed are the controls of the page that a reader of the screen could not name.
func unnamed(t *testing.T, ctx context.Context) (list []string) {
	t.Helper()
	tree, err := chromedp.Call(ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	require.NoError(t, err)
	text := func(v *accessibility.Value) string {
		if v == nil {
			return ""
		}
		return strings.Trim(string(v.Value), `"`)
	}
	for _, n := range tree.Nodes {
		if role := text(n.Role); !n.Ignored && slices.Contains(acted, role) && strings.TrimSpace(text(n.Name)) == "" {
			list = append(list, role)
		}
	}
	return list
}

// tabTo presses Tab until something has the focus, which has to be seen to have it.
func tabTo(t *testing.T, ctx context.Context, selector string) {
	t.Helper()
	quoted, err := json.Marshal(selector)
	require.NoError(t, err)
	for range 250 {
		keys(t, ctx, kb.Tab)
		if js[bool](t, ctx, `document.activeElement?.matches(`+string(quoted)+`) || false`) {
			require.True(t, js[bool](t, ctx,
				`(() => { const s = getComputedStyle(document.activeElement); return s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2; })()`), "focus seen on %s", selector)
			return
		}
	}
	require.Fail(t, "not reached by Tab", selector)
}

// at waits until a page is there.
func at(t *testing.T, ctx context.Context, path string) {
	t.Helper()
	quoted, err := json.Marshal(path)
	require.NoError(t, err)
	until(t, path, func() bool {
		return js[bool](t, ctx, `document.readyState === "complete" && location.pathname === `+string(quoted))
	})
}

// Three tasks by keyboard alone, from Today: a material entered, a reading of a test taken,
// and a line of a batch weighed.
func TestBrowserKeyboard(t *testing.T) {
	x := begin(t, false)
	ctx, host := browser(t, x)
	today := func() {
		visit(t, ctx, host+"/today")
	}
	t.Run("a new material", func(t *testing.T) {
		today()
		tabTo(t, ctx, `.places a[href="/materials"]`)
		keys(t, ctx, kb.Enter)
		at(t, ctx, "/materials")
		tabTo(t, ctx, `a[href="/materials/new"]`)
		keys(t, ctx, kb.Enter)
		at(t, ctx, "/materials/new")
		until(t, "focus in the first field", func() bool { return js[string](t, ctx, `document.activeElement.id`) == "name" })
		keys(t, ctx, "Plant glycerol")
		tabTo(t, ctx, "#supplier")
		keys(t, ctx, "The mill")
		tabTo(t, ctx, "#new-name")
		keys(t, ctx, "Glycer")
		until(t, "names found", func() bool {
			return js[string](t, ctx, `document.querySelector("#hits-new [role=option]")?.dataset.value || ""`) == "Glycerin"
		})
		keys(t, ctx, kb.ArrowDown)
		keys(t, ctx, kb.Enter)
		require.Equal(t, "Glycerin", js[string](t, ctx, `document.activeElement.value`))
		time.Sleep(300 * time.Millisecond) // an answer on its way would be there
		require.True(t, js[bool](t, ctx, `document.getElementById("hits-new").hidden`), "the list stays closed")
		tabTo(t, ctx, "#pct")
		keys(t, ctx, "100")
		keys(t, ctx, kb.Enter)
		at(t, ctx, "/material/plant-glycerol")
		require.Contains(t, x.read("ingredients/plant-glycerol.yaml"), "Glycerin")
	})
	t.Run("a reading", func(t *testing.T) {
		today()
		tabTo(t, ctx, `main a[href="/product/heath-wash"]`)
		keys(t, ctx, kb.Enter)
		at(t, ctx, "/product/heath-wash")
		tabTo(t, ctx, `.tabs a[href="/product/heath-wash/tests"]`)
		keys(t, ctx, kb.Enter)
		at(t, ctx, "/product/heath-wash/tests")
		tabTo(t, ctx, `details:has(#stability-1-readings-new-week) > summary`)
		keys(t, ctx, kb.Enter)
		tabTo(t, ctx, "#stability-1-readings-new-week")
		keys(t, ctx, "39")
		tabTo(t, ctx, "#stability-1-readings-new-ph")
		keys(t, ctx, "5.1")
		keys(t, ctx, kb.Enter)
		until(t, "reading in the file",
			func() bool { return strings.Contains(x.read("products/heath-wash.yaml"), "{week: 39, ph: 5.1}") })
	})
	t.Run("a line of a batch", func(t *testing.T) {
		today()
		tabTo(t, ctx, `.places a[href="/batches"]`)
		keys(t, ctx, kb.Enter)
		at(t, ctx, "/batches")
		tabTo(t, ctx, `a[href="/scale"]`)
		keys(t, ctx, kb.Enter)
		at(t, ctx, "/scale")
		tabTo(t, ctx, "#what")
		keys(t, ctx, "Heath Wash: Gorse and J")
		tabTo(t, ctx, "#size")
		keys(t, ctx, "3 kg")
		keys(t, ctx, kb.Enter)
		at(t, ctx, "/scale/HW26-004")
		// before the script of the page runs, Enter in the lot sends the form: the server answers that
		until(t, "focus in the lot", func() bool {
			return js[bool](t, ctx, `document.readyState === "complete" && document.activeElement.id === "lot"`)
		})
		keys(t, ctx, "W-1")
		keys(t, ctx, kb.Enter)
		require.Equal(t, "grams", js[string](t, ctx, `document.activeElement.id`))
		require.Empty(t, js[string](t, ctx, `document.querySelector(".wrong")?.textContent || ""`), "no form is sent by it")
		target := js[string](t, ctx, `document.querySelector("[data-scale]").dataset.target`)
		keys(t, ctx, target)
		until(t, "within", func() bool { return js[bool](t, ctx, `!!document.querySelector("#verdict .within")`) })
		keys(t, ctx, kb.Enter)
		until(t, "line in the record",
			func() bool { return strings.Contains(x.read("batches/HW26-004.yaml"), "weighed_g: "+target) })
		until(t, "next line", func() bool {
			return js[string](t, ctx, `document.querySelector("input[name=index]")?.value || ""`) == "1"
		})
	})
}
