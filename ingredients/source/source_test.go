package source

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// brief prints a finding as "line:col code `underlined text`", the form the
// tables of this package compare.
func brief(src *Source, f finding.Finding) string {
	line, caret := src.Excerpt(f.Pos)
	marked := ""
	for i, r := range []rune(line) {
		if c := []rune(caret); i < len(c) && c[i] == '^' {
			marked += string(r)
		}
	}
	return fmt.Sprintf("%d:%d %s `%s`", f.Pos.Line, f.Pos.Col, f.Code, marked)
}

func briefs(src *Source, fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, brief(src, f))
	}
	return out
}

// checkVoice holds every finding to the message template: no capital at the
// start, no full stop, nothing empty, no words of the YAML library.
func checkVoice(t *testing.T, fs []finding.Finding) {
	t.Helper()
	for _, f := range fs {
		assert.NotEmpty(t, said(f).Message, f.Code)
		assert.NotEmpty(t, said(f).Fix, f.Code+": "+said(f).Message)
		for _, text := range []string{said(f).Message, said(f).Fix} {
			assert.False(t, strings.HasSuffix(text, "."), text)
			assert.False(t, text != "" && text[0] >= 'A' && text[0] <= 'Z' && text[1] >= 'a' && text[1] <= 'z', text)
			for _, word := range []string{"yaml:", "mapping", "scalar", "sequence", "unmarshal", "!!", "token", "anchor"} {
				if word != "!!" || f.Code != codeAlias {
					assert.NotContains(t, text, word)
				}
			}
		}
	}
}

func TestFileTooLarge(t *testing.T) {
	src := NewSource("products/x.yaml", make([]byte, MaxFileBytes+1))
	fs := NewReader(src).Findings()
	require.Len(t, fs, 1)
	assert.Equal(t, CodeFileTooLarge, fs[0].Code)
	assert.Equal(t, exact.Pos{File: "products/x.yaml"}, fs[0].Pos)
}

func TestExcerpt(t *testing.T) {
	long := "claims: [" + strings.Repeat("x", 200) + "]"
	src := NewSource("x.yaml", []byte("\ta:\t£5 é\nb\u001b[31m: 1\n"+long+"\n"))
	for _, c := range []struct {
		name        string
		pos         exact.Pos
		line, caret string
	}{
		{"tabs stay tabs", exact.Pos{Line: 1, Col: 5, Len: 2}, "\ta:\t£5 é", "\t  \t^^"},
		{"characters, not bytes", exact.Pos{Line: 1, Col: 8}, "\ta:\t£5 é", "\t  \t   ^"},
		{"behind the end", exact.Pos{Line: 1, Col: 30}, "\ta:\t£5 é", "\t  \t    ^"},
		{"control characters do not reach the terminal", exact.Pos{Line: 2, Col: 2}, "b\ufffd[31m: 1", " ^"},
		{"long line, start", exact.Pos{Line: 3, Col: 1, Len: 6}, long[:100] + "…", "^^^^^^"},
		{"long line, middle", exact.Pos{Line: 3, Col: 101, Len: 3}, "…" + long[60:160] + "…",
			strings.Repeat(" ", 41) + "^^^"},
		{"long line, end", exact.Pos{Line: 3, Col: 210}, "…" + long[169:], strings.Repeat(" ", 41) + "^"},
		{"no such line", exact.Pos{Line: 9, Col: 1}, "", ""},
		{"no place", exact.Pos{}, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			line, caret := src.Excerpt(c.pos)
			assert.Equal(t, c.line, line)
			assert.Equal(t, c.caret, caret)
		})
	}
}

func TestLinesOfASource(t *testing.T) {
	s := NewSource("a.yaml", []byte("\ufeffa: 1\r\nb: 2\rc: 3\n"))
	assert.Equal(t, []string{"", "a: 1", "b: 2", "c: 3", ""},
		[]string{s.Line(0), s.Line(1), s.Line(2), s.Line(3), s.Line(4)})
}
