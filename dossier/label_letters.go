package dossier

import (
	"math"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// letters are the heights of a face as its outlines have them, as shares of the
// size of type.
type letters struct {
	x     float64 // of a lower-case x
	digit float64 // of the lowest digit
	up    float64 // of the highest sign of a European text, above the line
	down  float64 // of the lowest, below the line
}

// lastLabelRune ends the signs that heights are measured over: Latin with its
// accents.
const lastLabelRune = 0x17F

// heights are measured when first used.
var heights = [...]func() letters{
	styleRegular: sync.OnceValue(func() letters { return measureLetters(styleRegular) }),
	styleBold:    sync.OnceValue(func() letters { return measureLetters(styleBold) }),
}

// measureLetters panics on a font that cannot be read: the fonts are part of
// the program.
func measureLetters(style fontStyle) letters {
	f, err := sfnt.Parse(faces[style]().data)
	if err != nil {
		panic("dossier: built-in font: " + err.Error())
	}
	var buf sfnt.Buffer
	em := fixed.Int26_6(f.UnitsPerEm())
	out := letters{digit: math.Inf(1)}
	for r := ' '; r <= lastLabelRune; r++ {
		glyph, err := f.GlyphIndex(&buf, r)
		if err != nil || glyph == 0 {
			continue
		}
		bounds, _, err := f.GlyphBounds(&buf, glyph, em, font.HintingNone)
		if err != nil {
			continue
		}
		top, foot := -float64(bounds.Min.Y)/float64(em), float64(bounds.Max.Y)/float64(em)
		out.up, out.down = max(out.up, top), max(out.down, foot)
		if r == 'x' {
			out.x = top
		}
		if r >= '0' && r <= '9' {
			out.digit = min(out.digit, top)
		}
	}
	return out
}

// sizeForX returns the size of type, in points, at which a lower-case x is mm
// high. The page writer keeps two decimals: it is rounded up.
func sizeForX(mm float64) float64 { return roundedUp(mm / (heights[styleRegular]().x * pointMM)) }

// sizeForDigits returns the size of bold type at which every digit is at least
// mm high.
func sizeForDigits(mm float64) float64 { return roundedUp(mm / (heights[styleBold]().digit * pointMM)) }

func roundedUp(size float64) float64 { return math.Ceil(size*100-1e-9) / 100 }

// lineShare is the height of a line as a share of the size of type; riseShare is
// how far below its top the letters stand. Between them every letter with its
// accent has its place, so that what keeps to its lines is never cut.
func lineShare() float64 {
	r, b := heights[styleRegular](), heights[styleBold]()
	return max(r.up, b.up) + max(r.down, b.down) + 0.02
}

func riseShare() float64 { return max(heights[styleRegular]().up, heights[styleBold]().up) + 0.01 }
