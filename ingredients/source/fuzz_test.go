package source

import (
	"testing"

	"gallipot/ingredients/sign"
)

// FuzzSource: whatever stands in a file, reading it ends, every finding has a place
// inside the file, and no text that is read holds a character that none can hold.
func FuzzSource(f *testing.F) {
	for _, text := range []string{"id: a\nname: b\n", "a: \"\\e[31m\"\n", "a: [1, 2\n", "a: {b: 0,5}\n",
		"\ufeffa: 1\r\n", "a: |\n  x\n", "? x\n: y\n", "a: &b 1\nc: *b\n", "- a: x: y\n", "a: 'x\n", "\xff\xfea\x00"} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		src := NewSource("x.yaml", data)
		r := NewReader(src)
		var read []string
		if m, ok := r.Root("sheet"); ok {
			m.EachKey(func(v Node) {
				read = append(read, v.Prose(), v.Text())
				v.Amount()
				v.Date()
				v.PH()
				v.ID()
				v.CAS()
				v.Each("entry", "[…]", func(e Node) { read = append(read, e.Text()) })
			})
			m.Done()
		}
		unread := false
		for _, x := range r.Findings() {
			unread = unread || x.Unread
			if x.Pos.Line < 0 || x.Pos.Line > len(src.Lines) {
				t.Fatalf("%s at %s of %d lines", x.Code, x.Pos, len(src.Lines))
			}
			src.Excerpt(x.Pos)
		}
		for _, s := range read {
			for _, c := range s {
				if sign.Refused(c) && !unread {
					t.Fatalf("%U is read without a word", c)
				}
			}
		}
	})
}
