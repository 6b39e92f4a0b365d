package dossier

import (
	"fmt"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"
)

// fontStyle is one of the few faces a document is set in.
type fontStyle int

const (
	styleRegular fontStyle = iota
	styleBold
	styleItalic
	styleMono
)

// face is the measure of one font: which runes it has and how wide they are.
type face struct {
	data   []byte
	widths []float64 // by rune, as shares of the size of type; 0 where there is no glyph
}

// faces are read when first used; reading one takes some milliseconds.
var faces = [...]func() *face{
	styleRegular: sync.OnceValue(func() *face { return readFace(goregular.TTF) }),
	styleBold:    sync.OnceValue(func() *face { return readFace(gobold.TTF) }),
	styleItalic:  sync.OnceValue(func() *face { return readFace(goitalic.TTF) }),
	styleMono:    sync.OnceValue(func() *face { return readFace(gomono.TTF) }),
}

// lastRune ends the part of Unicode that the PDF writer can put on a page.
const lastRune = 0xFFFF

// readFace panics on a font that cannot be read: the fonts are part of the program.
func readFace(data []byte) *face {
	f, err := sfnt.Parse(data)
	if err != nil {
		panic("dossier: built-in font: " + err.Error())
	}
	var buf sfnt.Buffer
	units := fixed.Int26_6(f.UnitsPerEm())
	out := &face{data: data, widths: make([]float64, lastRune+1)}
	for r := rune(' '); r < lastRune; r++ {
		glyph, err := f.GlyphIndex(&buf, r)
		if err != nil || glyph == 0 {
			continue
		}
		advance, err := f.GlyphAdvance(&buf, glyph, units, font.HintingNone)
		if err != nil {
			continue
		}
		// the PDF writer keeps widths as whole thousandths
		thousandths := int(1000*float64(advance)/float64(units) + 0.5)
		out.widths[r] = float64(thousandths) / 1000
	}
	return out
}

func (f *face) has(r rune) bool { return f.width(r) > 0 }

func (f *face) width(r rune) float64 {
	if r < 0 || int(r) >= len(f.widths) {
		return 0
	}
	return f.widths[r]
}

// The sizes of type, in points, and a point in millimetres.
const (
	pointMM    = 25.4 / 72
	smallScale = 0.72 // marks and source numbers beside their figure
)

// runeMM returns the measurer for text of the given size in points.
func runeMM(size float64) measurer {
	return func(r rune, of *run) float64 {
		w := faces[of.style]().width(r) * size * pointMM
		if of.small {
			w *= smallScale
		}
		return w
	}
}

// textMM returns the width in millimetres of s in the given style and size.
func textMM(s string, style fontStyle, size float64) float64 {
	w := 0.0
	f := faces[style]()
	for _, r := range s {
		w += f.width(r)
	}
	return w * size * pointMM
}

// cleaner makes text fit for the fonts and remembers what it had to replace.
type cleaner struct {
	seen     map[string]string
	replaced map[rune]bool
	Warnings []string
}

func newCleaner() *cleaner {
	return &cleaner{seen: map[string]string{}, replaced: map[rune]bool{}}
}

// clean returns s composed, without signs of no width, and with a question mark
// for every rune the fonts do not have. All faces have the same runes.
func (c *cleaner) clean(s string) string {
	if isPlain(s) {
		return s
	}
	if done, ok := c.seen[s]; ok {
		return done
	}
	if !utf8.ValidString(s) {
		c.Warnings = append(c.Warnings, fmt.Sprintf("text is not UTF-8: %q", s))
	}
	var b strings.Builder
	for _, r := range norm.NFC.String(printable(s)) {
		b.WriteString(c.rune(r))
	}
	c.seen[s] = b.String()
	return b.String()
}

// standIns are the runes that have an equal in the fonts, in meaning and in looks.
var standIns = map[rune]string{
	0x2010: "-", 0x2011: "-", 0x2012: "–", 0x202F: "\u00a0", 0x2009: "\u00a0", 0x2007: "\u00a0",
	0x2153: "1/3", 0x2154: "2/3", 0x2103: "°C", 0x2610: "□", 0x20: " ",
}

func (c *cleaner) rune(r rune) string {
	if s, ok := standIns[r]; ok {
		return s
	}
	if r == '\n' || r <= lastRune && faces[styleRegular]().has(r) {
		return string(r)
	}
	if unicode.IsSpace(r) {
		return " "
	}
	if !c.replaced[r] {
		c.replaced[r] = true
		c.Warnings = append(c.Warnings, fmt.Sprintf("no glyph for %U %q in the fonts: printed as ?", r, r))
	}
	return "?"
}
