package layout

import (
	"fmt"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"

	"gallipot/dossier/words"
)

// FontStyle is one of the few faces a document is set in.
type FontStyle int

const (
	StyleRegular FontStyle = iota
	StyleBold
	StyleItalic
	StyleMono
	StyleMedium
)

// face is the measure of one font: which runes it has and how wide they are, as
// shares of the size of type. Those of Latin script are looked up at once, the
// many others when they are met; several goroutines may do so at the same time.
type face struct {
	Data  []byte
	font  *sfnt.Font
	latin [0x250]float64
	other sync.Map // of rune to float64
}

// Faces are read when first used.
var Faces = [...]func() *face{
	StyleRegular: sync.OnceValue(func() *face { return readFace(goregular.TTF) }),
	StyleBold:    sync.OnceValue(func() *face { return readFace(gobold.TTF) }),
	StyleItalic:  sync.OnceValue(func() *face { return readFace(goitalic.TTF) }),
	StyleMono:    sync.OnceValue(func() *face { return readFace(gomono.TTF) }),
	StyleMedium:  sync.OnceValue(func() *face { return readFace(gomedium.TTF) }),
}

// LastRune ends the part of Unicode that the PDF writer can put on a page.
const LastRune = 0xFFFF

// readFace panics on a font that cannot be read: the fonts are part of the program.
func readFace(data []byte) *face {
	f, err := sfnt.Parse(data)
	if err != nil {
		panic("dossier: built-in font: " + err.Error())
	}
	out := &face{Data: data, font: f}
	var room sfnt.Buffer
	for r := range out.latin {
		out.latin[r] = out.lookUp(rune(r), &room)
	}
	return out
}

func (f *face) has(r rune) bool { return f.Width(r) > 0 }

// Width returns the width of a rune as a share of the size of type, 0 where the
// font has no glyph.
func (f *face) Width(r rune) float64 {
	if r >= 0 && int(r) < len(f.latin) {
		return f.latin[r]
	}
	if w, known := f.other.Load(r); known {
		return w.(float64)
	}
	w := f.lookUp(r, new(sfnt.Buffer))
	f.other.Store(r, w)
	return w
}

// lookUp reads the width of a rune from the font. Control characters have none.
func (f *face) lookUp(r rune, room *sfnt.Buffer) float64 {
	if r < ' ' || r >= LastRune {
		return 0
	}
	units := fixed.Int26_6(f.font.UnitsPerEm())
	glyph, err := f.font.GlyphIndex(room, r)
	if err != nil || glyph == 0 {
		return 0
	}
	advance, err := f.font.GlyphAdvance(room, glyph, units, font.HintingNone)
	if err != nil {
		return 0
	}
	// the PDF writer keeps widths as whole thousandths
	thousandths := int(1000*float64(advance)/float64(units) + 0.5)
	return float64(thousandths) / 1000
}

// The sizes of type, in points, and a point in millimetres.
const (
	PointMM    = 25.4 / 72
	SmallScale = 0.72 // marks and source numbers beside their figure
)

// RuneMM returns the measurer for text of the given size in points.
func RuneMM(size float64) measurer {
	return func(r rune, of *Run) float64 {
		w := Faces[of.Style]().Width(r) * size * PointMM
		if of.Small {
			w *= SmallScale
		}
		return w
	}
}

// TextMM returns the width in millimetres of s in the given style and size.
func TextMM(s string, style FontStyle, size float64) float64 {
	w := 0.0
	f := Faces[style]()
	for _, r := range s {
		w += f.Width(r)
	}
	return w * size * PointMM
}

// Cleaner makes text fit for the fonts and remembers what it had to replace.
type Cleaner struct {
	seen     map[string]string
	replaced map[rune]bool
	Warnings []string
}

func NewCleaner() *Cleaner {
	return &Cleaner{seen: map[string]string{}, replaced: map[rune]bool{}}
}

// Clean returns s composed, without signs of no width, and with a question mark
// for every rune the fonts do not have. All faces have the same runes.
func (c *Cleaner) Clean(s string) string {
	if words.IsPlain(s) {
		return s
	}
	if done, ok := c.seen[s]; ok {
		return done
	}
	if !utf8.ValidString(s) {
		c.Warnings = append(c.Warnings, fmt.Sprintf("text is not UTF-8: %q", s))
	}
	var b strings.Builder
	for _, r := range norm.NFC.String(words.Printable(s)) {
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

func (c *Cleaner) rune(r rune) string {
	if s, ok := standIns[r]; ok {
		return s
	}
	if r == '\n' || r <= LastRune && Faces[StyleRegular]().has(r) {
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
