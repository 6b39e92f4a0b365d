package pdf

import (
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
)

func TestPDFContentsNameTheTruePages(t *testing.T) {
	tool := documenttest.Tool(t, "pdftotext")
	d := documenttest.Long()
	data, _, err := Render(d, sampleFiles)
	require.NoError(t, err)
	file := t.TempDir() + "/long.pdf"
	require.NoError(t, os.WriteFile(file, data, 0o600))
	text, _ := documenttest.Run(t, tool, "-layout", file, "-")
	pages := strings.Split(text, "\f")
	checked := 0
	d.Walk(func(s *document.Section, depth int) {
		if depth > ContentsDepth {
			return
		}
		re := regexp.MustCompile(`(?m)^\s*` + regexp.QuoteMeta(s.Number) + `\s+` + regexp.QuoteMeta(s.Title) + `\s+(\d+)\s*$`)
		m := re.FindStringSubmatch(text)
		require.NotNil(t, m, "%s %s is not in the contents", s.Number, s.Title)
		n, _ := strconv.Atoi(m[1])
		head := regexp.MustCompile(`(?m)^\s*` + regexp.QuoteMeta(s.Number) + `\s+` + regexp.QuoteMeta(s.Title) + `\s*$`)
		require.True(t, head.MatchString(pages[n-1]), "%s %s is not on page %d", s.Number, s.Title, n)
		checked++
	})
	require.Greater(t, checked, 40)
	for i, p := range pages[:len(pages)-1] {
		for _, want := range []string{fmt.Sprintf("page %d of %d", i+1, len(pages)-1), documenttest.Caution,
			"4f1c 90ab 77d2 e015", "Heath wash · revision 2"} {
			require.True(t, strings.Contains(p, want), "%q is not on page %d", want, i+1)
		}
	}
	for _, want := range []string{"отдушка", "Žižkov", "café", "≤ ≥ ± × µg/cm²", "=SUM(A1:A9)",
		"not supplied", "† rests on", "no finding about the labels"} {
		require.True(t, strings.Contains(spaces.ReplaceAllString(text, " "), want), want)
	}
}
