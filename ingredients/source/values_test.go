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
		{"unknown key, all of them", "nmae: x\ncolour: y\n", "1:1 unknown-key `nmae`\n2:1 unknown-key `colour`",
			"write name"},
		{"unknown key, nothing near", "zzz: y\n", "1:1 unknown-key `zzz`", "the keys are name, prose, list"},
		{"unknown key in group", "group: {inner: 1, iner: 2}\n", "1:19 unknown-key `iner`", "write inner"},
		{"unknown key without a value in brackets", "group: {inner: Oil, cold pressed}\n",
			"1:21 unknown-key `cold pressed`", "quotes around that whole value"},
		{"no space behind a known key", "group: {inner:5}\n",
			"1:8 missing-key `{inner:5}`\n1:9 unknown-key `inner:5`", "add inner: 1"},
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
		{"decimal comma in brackets", "group: {inner: 0,9}\n", "1:18 unknown-key `9`",
			"write inner: 0.9; a comma starts the next key"},
		{"thousands in brackets", "group: {inner: 1,000}\n", "1:18 unknown-key `000`",
			"write inner: 1.000 or inner: 1000, whichever is meant"},
		{"point and comma in brackets", "group: {inner: 1.000,5}\n", "1:16 bad-number `1.000`", "write 1000.5"},
		{"two points and a comma in brackets", "group: {inner: 1.00,5}\n", "1:16 bad-number `1.00`",
			"one point, in front of the decimals"},
		{"two decimal commas in brackets", "amount: {min: 1,5, max: 2,5}\n",
			"1:17 unknown-key `5`\n1:27 unknown-key `5`", "write min: 1.5"},
		{"figure for a group", "group: 75 inner\n", "1:8 wrong-type `75 inner`", "write group: {inner: 75}"},
		{"bounds swapped", "amount: \"15-10\"\n", "1:9 bad-amount `\"15-10\"`", `"10-15"`},
		{"typical outside", "amount: {min: 1, typical: 5, max: 3}\n",
			"1:9 bad-amount `{min: 1, typical: 5, max: 3}`", "between min and max"},
		{"group without max", "amount: {min: 1, maximum: 3}\n",
			"1:9 missing-key `{min: 1, maximum: 3}`\n1:18 unknown-key `maximum`", "add max"},

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
		"name: 2026-03-31": "2026-03-31", "name: 1.50": "1.50", "name: 12:30": "12:30", "name: 'null'": "null",
		"name: yes":  "yes",
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

// Values with bounds of their own: both ends belong to what is allowed.
func TestBetween(t *testing.T) {
	for text, want := range map[string]string{"0": "0", "1": "1", "0.5": "0.5", "1.01": "", "-0.01": "", "half": ""} {
		r := NewReader(NewSource("a.yaml", []byte("aw: "+text+"\n")))
		m, ok := r.Root("a product")
		require.True(t, ok)
		n := m.At("aw").Between(exact.Int(0), exact.Int(1))
		if want == "" {
			assert.Nil(t, n, text)
			require.Len(t, r.Findings(), 1, text)
			assert.Equal(t, CodeBadNumber, r.Findings()[0].Code)
			continue
		}
		require.NotNil(t, n, text)
		assert.Equal(t, want, n.Exact())
		assert.Empty(t, r.Findings())
	}
}
