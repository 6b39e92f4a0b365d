package ingredients

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// SaidFinding is a finding in words, as far as these tests look at them.
type SaidFinding struct{ Message, Fix string }

// Say puts a finding into words; the outer test package, which may import the
// wording, sets it.
var Say func(finding.Finding) SaidFinding

func said(f finding.Finding) SaidFinding { return Say(f) }

// brief prints a finding as "line:col code `underlined text`", the form the
// tables of this package compare.
func brief(src *source.Source, f finding.Finding) string {
	line, caret := src.Excerpt(f.Pos)
	marked := ""
	for i, r := range []rune(line) {
		if c := []rune(caret); i < len(c) && c[i] == '^' {
			marked += string(r)
		}
	}
	return fmt.Sprintf("%d:%d %s `%s`", f.Pos.Line, f.Pos.Col, f.Code, marked)
}

func briefs(src *source.Source, fs []finding.Finding) []string {
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
				if word != "!!" || f.Code != source.CodeAlias {
					assert.NotContains(t, text, word)
				}
			}
		}
	}
}
