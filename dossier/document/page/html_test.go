package page

import (
	"encoding/xml"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
)

func htmlOf(t *testing.T, d *document.Document) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, Write(&b, d))
	return b.String()
}

func TestHTMLIsWholeAndItsLinksLeadSomewhere(t *testing.T) {
	page := htmlOf(t, documenttest.Rich())
	require.True(t, page == htmlOf(t, documenttest.Rich()), "the same document gives the same page")
	dec := xml.NewDecoder(strings.NewReader(page))
	dec.Strict = true

	dec.Entity = xml.HTMLEntity
	ids, targets := map[string]bool{}, []string{}
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		require.NotEqual(t, "script", e.Name.Local)
		for _, a := range e.Attr {
			switch a.Name.Local {
			case "id":
				require.False(t, ids[a.Value], "id %q is there twice", a.Value)
				ids[a.Value] = true
			case "href":
				require.True(t, strings.HasPrefix(a.Value, "#"), a.Value)
				targets = append(targets, a.Value[1:])
			case "src":
				t.Errorf("the page needs %s", a.Value)
			}
		}
	}
	require.Greater(t, len(targets), 10)
	for _, id := range targets {
		require.True(t, ids[id], "link to %q leads nowhere", id)
	}
	for _, want := range []string{"<em>not supplied</em>", "<sup>†</sup>", "Table 1",
		"[1] limits.csv, row V-29 (invented)", "Nothing is entered here."} {
		require.True(t, strings.Contains(page, want), want)
	}
	require.False(t, regexp.MustCompile(`NaN|\+Inf`).MatchString(page))
}

func TestHTMLEscapes(t *testing.T) {
	d := &document.Document{Title: `<script>alert(1)</script>`, Product: `"&'`}
	s := d.AddSection("a", "<b>")
	s.Add(document.Para("<img src=x>"),
		(&document.Table{Title: "<i>",
			Columns: []document.Column{{Head: "<u>", Unit: "<s>"}}}).Add(document.TextCell("<a href=x>")))
	page := htmlOf(t, d)
	for _, bad := range []string{"<script", "<b>", "<img", "<i>", "<u>", "<s>", "<a href=x"} {
		require.False(t, strings.Contains(page, bad), bad)
	}
}

func TestChanceDocumentsPrint(t *testing.T) {
	for seed := range uint64(12) {
		require.NoError(t, Write(io.Discard, documenttest.Chance(seed)), "seed %d", seed)
	}
}
