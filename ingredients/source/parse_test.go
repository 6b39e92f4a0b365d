package source

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients/finding"
)

func TestSyntaxFindings(t *testing.T) {
	cases := []struct {
		name, text string
		want       string // one finding a line
		fix        string // part of the first fix
	}{
		{"above sign", "a: >=60\n", "1:4 yaml-syntax `>=60`", `put quotes around it: ">=60"`},
		{"above sign in list of groups, each reported", "l:\n  - {a: >=60, b: 2}\n  - {a: >5, c: @x}\n",
			"2:9 yaml-syntax `>=60`\n3:9 yaml-syntax `>5`\n3:16 yaml-syntax `@x`", `">=60"`},
		{"percent first", "a: 1\nb: %5\n", "2:4 yaml-syntax `%5`", `"%5"`},
		{"backquote", "a: `x`\n", "1:4 yaml-syntax ``x``", "quotes"},
		{"star that is text", "a: *foo\n", "1:4 yaml-syntax `*foo`", `"*foo"`},
		{"colon in value", "a: b: c\n", "1:4 yaml-syntax `b: c`", `"b: c"`},
		{"colon in value, nested", "a:\n  - b: 1\n    c: x: y\n", "3:8 yaml-syntax `x: y`", `"x: y"`},
		{"colon in flow value", "w: [keep, from: eyes: x]\n", "1:17 yaml-syntax `eyes: x`", "quotes"},
		{"tab", "a:\n\tb: 1\n", "2:1 yaml-syntax `\t`", "spaces"},
		{"quote not closed", "a: \"x\nb: 2\nc: 3\n", "1:4 yaml-syntax `\"x`", "close it"},
		{"quote not closed at the end", "a: 1\nb: \"x", "2:4 yaml-syntax `\"x`", "close it"},
		{"quote not closed in a group", "l:\n  - {a: \"x, b: 1}\n  - {a: y, b: 1}\nc: 1\n",
			"2:9 yaml-syntax `\"x, b: 1}`", "close it"},
		{"apostrophe inside quotes", "a: 'it's'\n", "1:8 yaml-syntax `s'`", "double quotes"},
		{"text behind quotes", "a: \"x\" y\n", "1:8 yaml-syntax `y`", "double quotes"},
		{"backslash", "a: \"C:\\docs\"\n", "1:7 yaml-syntax `\\d`", "write /"},
		{"bracket not closed", "a: {b: 1\nc: 2\n", "1:4 yaml-syntax `{b: 1`", "write }"},
		{"bracket not closed in a list", "a:\n  - {b: 1\n  - {b: 2}\n", "2:5 yaml-syntax `{b: 1`", "write }"},
		{"bracket closed twice", "a: [1,2]]\n", "1:9 yaml-syntax `]`", "delete it"},
		{"bracket closed by the other kind", "a: [1, 2}\n", "1:9 yaml-syntax `}`", "make the two match"},
		{"bracket in text", "a: {b: Foo [nano], c: 1}\n", "1:8 yaml-syntax `Foo [nano]`", `"Foo [nano]"`},
		{"comment eats a bracket", "l:\n  - {b: Red #4, c: 1}\n  - {b: x, c: 2}\n", "2:5 yaml-syntax `{b: Red`", "comment"},
		{"indented too far", "a: 1\n b: 2\n", "2:2 yaml-syntax `b: 2`", "below the start of the key above"},
		{"indented too far, nested", "a:\n  b: 1\n   c: 2\n", "3:4 yaml-syntax `c: 2`", "below the start of the key above"},
		{"does not line up", "a:\n  - x\n - y\n", "3:2 yaml-syntax `- y`", "as many spaces"},
		{"less than the first line", "  a: 1\nb: 2\n", "2:1 yaml-syntax `b: 2`", "as many spaces"},
		{"list behind colon", "a: - x\n", "1:4 yaml-syntax `- x`", "on the line below"},
		{"no colon", "a: 1\nb\nc: 2\n", "2:1 yaml-syntax `b`", "key: value"},
		{"no space behind colon", "a: 1\nb:5\nc: 2\n", "2:1 yaml-syntax `b:5`", "space after the colon"},
		{"no space behind the first colon", "b:5\nc: 2\n", "1:1 yaml-syntax `b:5`", "space after the colon"},
		{"non-breaking space behind colon", "a: 1\nb:\u00a0z\nc: 1\n", "2:1 yaml-syntax `b:\u00a0z`", "non-breaking"},
		{"block text is not searched", "a: |\n  x: y: z\n   q\nb: x: y\n", "4:4 yaml-syntax `x: y`", "quotes"},
		{"block text in a list", "l:\n  - a: |\n      t: u: v\n    b: 1\n  - c: x: y\n", "5:8 yaml-syntax `x: y`", "quotes"},
		{"columns count characters", "£££: {ä: 'ö', b: @x}\n", "1:18 yaml-syntax `@x`", "quotes"},
		{"CRLF", "a: 1\r\nb: @x\r\nc: 1\r\n", "2:4 yaml-syntax `@x`", "quotes"},
		{"nothing else known", "- a\nb: 1\n", "2:1 yaml-syntax `b: 1`", "line up"},

		{"anchor and alias", "a: &x 1\nb: *x\n", "1:4 alias-refused `&x 1`\n2:4 alias-refused `*x`", "write the values out"},
		{"merge key", "<<: {a: 1}\n", "1:1 alias-refused `<<`", "write the keys out"},
		{"tags", "a: !!str 5\nb: !foo 3\n", "1:4 alias-refused `!!str 5`\n2:4 alias-refused `!foo 3`", "delete the tag"},
		{"second document", "a: 1\n---\nb: 2\n", "2:1 second-document `---`", "file of its own"},
		{"empty", "", "1:1 unreadable-file ``", "fill it in"},
		{"only a comment", "# later\n", "1:1 unreadable-file `#`", "fill it in"},
		{"only a document mark", "---\n", "1:1 unreadable-file `-`", "fill it in"},
		{"NUL", "a: x\x00y\n", "1:5 bad-character `\ufffd`", "delete it"},
		{"Windows letter", "a: \xa35\n", "1:4 bad-character `\ufffd`", "UTF-8"},
		{"UTF-16", "\xff\xfea\x00", "1:1 bad-character `\ufffd`", "UTF-8"},
		{"zero-width space", "a: x\u200by\nb: 1\n", "1:5 bad-character `\ufffd`", "copied"},
		{"too deep", "a: " + strings.Repeat("[", 40) + strings.Repeat("]", 40) + "\n",
			"1:35 too-deep `[[[[[[[[[]]]]]]]]]`", "bracket"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			src := NewSource("products/x.yaml", []byte(c.text))
			fs := NewReader(src).Findings()
			assert.Equal(t, c.want, strings.Join(briefs(src, fs), "\n"))
			checkVoice(t, fs)
			for _, f := range fs {
				assert.Equal(t, finding.Stop, f.Severity)
				assert.True(t, f.Unread)
			}
			if len(fs) > 0 {
				assert.Contains(t, said(fs[0]).Fix, c.fix)
			}
		})
	}
}

func TestAcceptedForms(t *testing.T) {
	for name, text := range map[string]string{
		"byte order mark":          "\ufeffa: 1\n",
		"CRLF":                     "a: 1\r\nb:\r\n  - x\r\n",
		"old line ends":            "a: 1\rb: 2\r",
		"no last line end":         "a: 1",
		"document mark":            "---\na: 1\n...\n",
		"below sign unquoted":      "a: <0.1\nb: <=0.1\n",
		"list at the key's column": "a:\n- x\n- y\nb: 1\n",
		"quotes over two lines":    "a: \"x\n  y\"\nb: 1\n",
		"brackets over lines":      "a: [\n  x,\n  y\n]\nb: 1\n",
		"folded text":              "a: >-\n  x: y\n  z\nb: 1\n",
	} {
		t.Run(name, func(t *testing.T) {
			src := NewSource("x.yaml", []byte(text))
			assert.Empty(t, briefs(src, NewReader(src).Findings()))
		})
	}
}
