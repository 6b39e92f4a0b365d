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
				if word != "!!" || f.Code != CodeAlias {
					assert.NotContains(t, text, word)
				}
			}
		}
	}
}

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
		{"quote not closed in a group", "l:\n  - {a: \"x, b: 1}\n  - {a: y, b: 1}\nc: 1\n", "2:9 yaml-syntax `\"x, b: 1}`", "close it"},
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
		{"too deep", "a: " + strings.Repeat("[", 40) + strings.Repeat("]", 40) + "\n", "1:35 too-deep `[[[[[[[[[]]]]]]]]]`", "bracket"},
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

func TestFileTooLarge(t *testing.T) {
	src := NewSource("products/x.yaml", make([]byte, MaxFileBytes+1))
	fs := NewReader(src).Findings()
	require.Len(t, fs, 1)
	assert.Equal(t, CodeFileTooLarge, fs[0].Code)
	assert.Equal(t, exact.Pos{File: "products/x.yaml"}, fs[0].Pos)
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

// A reader that asks for a few keys of each kind.
func readSample(src *Source) (got map[string]string, fs []finding.Finding) {
	r := NewReader(src)
	got = map[string]string{}
	m, ok := r.Root("sample")
	if !ok {
		return nil, r.Findings()
	}
	got["name"] = m.At("name").Text()
	got["prose"] = m.At("prose").Prose()
	got["list"] = strings.Join(m.At("list").Texts("entry"), "|")
	if n := m.At("num").Num(); n != nil {
		got["num"] = n.Exact()
	}
	if a, ok := m.At("amount").Amount(); ok {
		got["amount"] = a.Min.Exact() + " " + a.Typ.Exact() + " " + a.Max.Exact()
	}
	m.At("group").In("group", "{inner: 1}", func(m *Mapping) {
		m.Need("inner", "inner: 1")
		got["inner"] = m.At("inner").Text()
	})
	if n, ok := m.At("count").Count(1, 99); ok {
		got["count"] = fmt.Sprint(n)
	}
	got["date"] = m.At("date").Date().String()
	got["kind"] = m.At("kind").Choice("leave-on", "rinse-off")
	got["cas"] = m.At("cas").CAS()
	got["ec"] = m.At("ec").EC()
	got["id"] = m.At("id").ID()
	if b := m.At("flag").Bool(); b != nil {
		got["flag"] = fmt.Sprint(*b)
	}
	if p := m.At("ph").PH(); p != nil {
		got["ph"] = p.Min.Exact() + " " + p.Max.Exact()
	}
	m.Done()
	return got, r.Findings()
}

func TestValueFindings(t *testing.T) {
	cases := []struct{ name, text, want, fix string }{
		{"unknown key, all of them", "nmae: x\ncolour: y\n", "1:1 unknown-key `nmae`\n2:1 unknown-key `colour`", "write name"},
		{"unknown key, nothing near", "zzz: y\n", "1:1 unknown-key `zzz`", "the keys are name, prose, list"},
		{"unknown key in group", "group: {inner: 1, iner: 2}\n", "1:19 unknown-key `iner`", "write inner"},
		{"unknown key without a value in brackets", "group: {inner: Oil, cold pressed}\n", "1:21 unknown-key `cold pressed`", "quotes around that whole value"},
		{"no space behind a known key", "group: {inner:5}\n", "1:8 missing-key `{inner:5}`\n1:9 unknown-key `inner:5`", "add inner: 1"},
		{"duplicate key", "name: x\nname: y\n", "2:1 duplicate-key `name`", "keep one"},
		{"key that is a list", "? [a]\n: x\n", "1:3 wrong-type `[a]`", "key: value"},
		{"missing key", "group: {}\n", "1:8 missing-key `{}`", "add inner: 1"},
		{"missing value", "name:\nnum: 1\n", "1:1 empty-value `name`", "write a value"},
		{"null", "num: null\n", "1:6 empty-value `null`", "write a value"},
		{"tilde", "num: ~\n", "1:6 empty-value `~`", "write a value"},
		{"empty text", "name: \"\"\n", "1:7 empty-value `\"\"`", "write a value"},
		{"null list entry", "list: [a, ~]\n", "1:11 empty-value `~`", "write a value"},
		{"list for text", "name: [x, y]\n", "1:7 wrong-type `[x, y]`", "one value"},
		{"group for text", "name: {x: y}\n", "1:7 wrong-type `{x: y}`", "one value"},
		{"block group for number", "num:\n  x: y\n", "2:3 wrong-type `x`", "one value"},
		{"text for list", "list: cleansing\n", "1:7 wrong-type `cleansing`", "write list: [cleansing]"},
		{"text for group", "group: x\n", "1:8 wrong-type `x`", "write group: {inner: 1}"},
		{"list for group", "group: [x]\n", "1:8 wrong-type `[x]`", "write group: {inner: 1}"},
		{"list for file", "- x\n", "1:1 wrong-type `-`", "id: …"},
		{"sentence for file", "amount:5\n", "1:1 wrong-type `amount:5`", "space after the colon"},

		{"number in hexadecimal", "num: 0x10\n", "1:6 bad-number `0x10`", "plain decimal"},
		{"number with separator", "num: 1_000\n", "1:6 bad-number `1_000`", "plain decimal"},
		{"number with exponent", "num: 1e3\n", "1:6 bad-number `1e3`", "plain decimal"},
		{"infinite", "num: .inf\n", "1:6 bad-number `.inf`", "plain decimal"},
		{"not a number", "num: .nan\n", "1:6 bad-number `.nan`", "plain decimal"},
		{"decimal comma", "num: 0,5\n", "1:6 bad-number `0,5`", "write 0.5"},
		{"whole number", "count: 2.5\n", "1:8 bad-number `2.5`", "whole number"},
		{"whole number with zero before", "count: 012\n", "1:8 bad-number `012`", "whole number"},
		{"whole number as on a certificate", "count: 51st\n", "1:8 bad-number `51st`", "write count: 51"},
		{"whole number with its word", "count: 51st Amendment\n", "1:8 bad-number `51st Amendment`", "write count: 51"},
		{"whole number too large", "count: 100\n", "1:8 bad-number `100`", "whole number"},
		{"long number", "num: " + strings.Repeat("1", 70) + "\n", "1:6 bad-number `" + strings.Repeat("1", 70) + "`", ""},

		{"amount in words", "amount: some\n", "1:9 bad-amount `some`", "plain decimal"},
		{"trace", "amount: trace\n", "1:9 bad-amount `trace`", "detection limit"},
		{"negative", "amount: -1\n", "1:9 bad-amount `-1`", "0 to 100"},
		{"above 100", "amount: 120\n", "1:9 bad-amount `120`", `"120 ppm"`},
		{"signs without quotes", "amount: >60<75\n", "1:9 yaml-syntax `>60<75`", `quotes around it: "60-75"`},
		{"sign without quotes", "amount: >=60\n", "1:9 yaml-syntax `>=60`", `quotes around it: ">=60"`},
		{"signs and commas", "amount: >60,5<75,5\n", "1:9 yaml-syntax `>60,5<75,5`", `quotes around it: `},
		{"range with commas", "amount: 5,0-9,0\n", "1:9 bad-amount `5,0-9,0`", `write "5.0-9.0"`},
		{"range with commas in brackets", "group: {inner: 5,0-9,0}\n", "1:18 unknown-key `0-9`", `write inner: "5.0-9.0"`},
		{"decimal comma in brackets", "group: {inner: 0,9}\n", "1:18 unknown-key `9`", "write inner: 0.9; a comma starts the next key"},
		{"thousands in brackets", "group: {inner: 1,000}\n", "1:18 unknown-key `000`", "write inner: 1.000 or inner: 1000, whichever is meant"},
		{"two decimal commas in brackets", "amount: {min: 1,5, max: 2,5}\n", "1:17 unknown-key `5`\n1:27 unknown-key `5`", "write min: 1.5"},
		{"figure for a group", "group: 75 inner\n", "1:8 wrong-type `75 inner`", "write group: {inner: 75}"},
		{"bounds swapped", "amount: \"15-10\"\n", "1:9 bad-amount `\"15-10\"`", `"10-15"`},
		{"typical outside", "amount: {min: 1, typical: 5, max: 3}\n", "1:9 bad-amount `{min: 1, typical: 5, max: 3}`", "between min and max"},
		{"group without max", "amount: {min: 1, maximum: 3}\n", "1:9 missing-key `{min: 1, maximum: 3}`\n1:18 unknown-key `maximum`", "add max"},

		{"date as in print", "date: 31.3.2026\n", "1:7 bad-date `31.3.2026`", "YYYY-MM-DD"},
		{"day that does not exist", "date: 2026-02-30\n", "1:7 bad-date `2026-02-30`", "YYYY-MM-DD"},
		{"choice misspelt", "kind: leaveon\n", "1:7 bad-choice `leaveon`", "write leave-on"},
		{"choice unknown", "kind: x\n", "1:7 bad-choice `x`", "leave-on, rinse-off"},
		{"flag", "flag: maybe\n", "1:7 wrong-type `maybe`", "flag: true"},
		{"id with capitals", "id: Heath Wash\n", "1:5 bad-id `Heath Wash`", "write id: heath-wash"},
		{"pH with unit", "ph: 5 %\n", "1:5 bad-number `5 %`", "5.0-6.0"},
		{"pH in words", "ph: neutral\n", "1:5 bad-number `neutral`", "5.0-6.0"},
		{"pH below 0", "ph: -1\n", "1:5 bad-number `-1`", "5.0-6.0"},
		{"pH with commas", "ph: 5,0-9,0\n", "1:5 bad-number `5,0-9,0`", `write "5.0-9.0"`},
		{"pH about", "ph: ca. 6\n", "1:5 bad-number `ca. 6`", `ask the supplier for the range`},
		{"pH swapped", "ph: 6-5\n", "1:5 bad-number `6-5`", `write "5-6"`},
		{"pH too high", "ph: 15\n", "1:5 bad-number `15`", "5.0-6.0"},

		{"CAS form", "cas: 7732185\n", "1:6 bad-cas `7732185`", "hyphens"},
		{"CAS with dashes", "cas: 7732–18–5\n", "1:6 bad-cas `7732–18–5`", "write 7732-18-5"},
		{"two CAS numbers", "cas: 68515-73-1 / 110615-47-9\n", "1:6 bad-cas `68515-73-1 / 110615-47-9`", "the first"},
		{"no CAS number", "cas: n/a\n", "1:6 bad-cas `n/a`", "the first"},
		{"no CAS number in words", "cas: none\n", "1:6 bad-cas `none`", "delete the key"},

		{"column behind a tab", "name: x\nnum:\t\t1x\n", "2:7 bad-number `1x`", "plain decimal"},
		{"column behind pound signs", "group: {inner: \"£££\", £: 1}\n", "1:23 unknown-key `£`", "the keys are inner"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			src := NewSource("products/x.yaml", []byte(c.text))
			_, fs := readSample(src)
			assert.Equal(t, c.want, strings.Join(briefs(src, fs), "\n"))
			for _, f := range fs {
				assert.Equal(t, finding.Stop, f.Severity)
				assert.True(t, f.Unread)
			}
			if len(fs) > 0 && c.fix != "" {
				assert.Contains(t, said(fs[0]).Fix, c.fix)
				checkVoice(t, fs)
			}
		})
	}
}

func TestAskedValues(t *testing.T) {
	for _, c := range []struct{ name, text, want, fix, key, value string }{
		{"CAS check digit", "cas: 7732-18-4\n", "1:6 bad-cas `7732-18-4`", "copy the number again", "cas", "7732-18-4"},
		{"EC check digit", "ec: 231-791-3\n", "1:5 bad-ec `231-791-3`", "copy the number again", "ec", "231-791-3"},
		{"number sign", "name: Red #4\n", "1:11 cut-by-comment `#4`", `"Red #4"`, "name", "Red"},
	} {
		t.Run(c.name, func(t *testing.T) {
			src := NewSource("x.yaml", []byte(c.text))
			got, fs := readSample(src)
			assert.Equal(t, []string{c.want}, briefs(src, fs))
			require.Len(t, fs, 1)
			assert.Equal(t, finding.Ask, fs[0].Severity)
			assert.False(t, fs[0].Unread, "the figures do not hang on it")
			assert.Contains(t, said(fs[0]).Fix, c.fix)
			assert.Equal(t, c.value, got[c.key])
			checkVoice(t, fs)
		})
	}
}

func TestValuesAreNeverReinterpreted(t *testing.T) {
	for text, want := range map[string]string{
		"name: NO": "NO", "name: 012": "012", "name: 50-00-0": "50-00-0", "name: 0x10": "0x10", "name: 1_000": "1_000",
		"name: 2026-03-31": "2026-03-31", "name: 1.50": "1.50", "name: 12:30": "12:30", "name: 'null'": "null", "name: yes": "yes",
		"name: a  b": "a  b", "name: \"a\\n b\"": "a  b", "name: x # a comment": "x", "name: x#4": "x#4",
	} {
		got, fs := readSample(NewSource("x.yaml", []byte(text+"\n")))
		assert.Empty(t, fs, text)
		assert.Equal(t, want, got["name"], text)
	}
}

func TestReadableValues(t *testing.T) {
	got, fs := readSample(NewSource("x.yaml", []byte(`name: "Moor £ wash"
prose: |
  first
  second
list:
  - irritates the eyes: wear glasses
  - plain
num: 0.50
amount: {min: 28, max: 32}
count: 3
date: 2024-02-29
kind: rinse-off
cas: 7732-18-5
ec: 231-791-2
id: heath-wash
flag: No
ph: "min. 5"
`)))
	assert.Empty(t, fs)
	assert.Equal(t, map[string]string{
		"name": "Moor £ wash", "prose": "first\nsecond", "list": "irritates the eyes: wear glasses|plain",
		"num": "0.5", "amount": "28 30 32", "count": "3", "date": "2024-02-29", "kind": "rinse-off",
		"cas": "7732-18-5", "ec": "231-791-2", "id": "heath-wash", "flag": "false", "ph": "5 14",
	}, got)
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
		{"long line, middle", exact.Pos{Line: 3, Col: 101, Len: 3}, "…" + long[60:160] + "…", strings.Repeat(" ", 41) + "^^^"},
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

func TestBlankKeysOfAForm(t *testing.T) {
	r := NewReader(NewSource("form.yaml", []byte("lines:\n  - {ingredient: water, weighed_g: , lot: }\n  - {ingredient: oil, weighed_g: 12.5, lot: \"\"}\nby:\nplace: home\n")))
	m, ok := r.Root("form")
	require.True(t, ok)
	var got []string
	m.At("lines").EachIn("line", "{}", func(m *Mapping) {
		text := m.At("ingredient").Text()
		if n := m.Filled("weighed_g").Num(); n != nil {
			text += " " + n.Exact()
		}
		got = append(got, text+m.Filled("lot").Text())
	})
	require.Empty(t, m.Filled("by").Text())
	require.True(t, m.At("by").Blank())
	require.False(t, m.At("place").Blank())
	require.Equal(t, "home", m.Filled("place").Text())
	require.False(t, m.Filled("not there").Present())
	m.Done()
	require.Equal(t, []string{"water", "oil 12.5"}, got)
	require.Empty(t, r.Findings())
}

// TestCanonicalLeavesOut: keys and keys of groups are left out, and a group that
// holds nothing else.
func TestCanonicalLeavesOut(t *testing.T) {
	of := func(text string, skip ...string) string {
		return string(NewSource("x.yaml", []byte(text)).Canonical(skip...))
	}
	all := of("a: 1\nb: {c: 2, d: 3}\n")
	require.Equal(t, of("b: {c: 2, d: 3}\n"), of("a: 1\nb: {c: 2, d: 3}\n", "a"))
	require.Equal(t, of("a: 1\nb: {d: 3}\n"), of("a: 1\nb: {c: 2, d: 3}\n", "b.c"))
	require.Equal(t, of("a: 1\n"), of("a: 1\nb: {c: 2, d: 3}\n", "b.c", "b.d"), "an emptied group is gone")
	require.Equal(t, all, of("a: 1\nb: {c: 2, d: 3}\n", "c", "b.e", "a.x"), "c is no outermost key")
	require.Equal(t, of("b: {c: [{c: 1}]}"), of("b: {c: [{c: 1}], d: 2}", "b.d"), "keys further in stay")
	require.NotEqual(t, of("b: {}"), of(""), "a group that was empty from the start stays")
}
