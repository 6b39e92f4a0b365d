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

// face is the measure of one font: which runes it has and how wide they are, as
// shares of the size of type. Those of Latin script are looked up at once, the
// many others when they are met; several goroutines may do so at the same time.
type face struct {
	data  []byte
	font  *sfnt.Font
	latin [0x250]float64
	other sync.Map // of rune to float64
}

// faces are read when first used.
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
	out := &face{data: data, font: f}
	for r := range out.latin {
		out.latin[r] = out.lookUp(rune(r))
	}
	return out
}

func (f *face) has(r rune) bool { return f.width(r) > 0 }

// width returns the width of a rune as a share of the size of type, 0 where the
// font has no glyph.
func (f *face) width(r rune) float64 {
	if r >= 0 && int(r) < len(f.latin) {
		return f.latin[r]
	}
	if w, known := f.other.Load(r); known {
		return w.(float64)
	}
	w := f.lookUp(r)
	f.other.Store(r, w)
	return w
}

// lookUp reads the width of a rune from the font. Control characters have none.
func (f *face) lookUp(r rune) float64 {
	if r < ' ' || r >= lastRune {
		return 0
	}
	var buf sfnt.Buffer
	units := fixed.Int26_6(f.font.UnitsPerEm())
	glyph, err := f.font.GlyphIndex(&buf, r)
	if err != nil || glyph == 0 {
		return 0
	}
	advance, err := f.font.GlyphAdvance(&buf, glyph, units, font.HintingNone)
	if err != nil {
		return 0
	}
	// the PDF writer keeps widths as whole thousandths
	thousandths := int(1000*float64(advance)/float64(units) + 0.5)
	return float64(thousandths) / 1000
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
