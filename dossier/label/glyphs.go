package label

import (
	"math"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"gallipot/dossier/document/layout"
)

// letters are the heights of a face as its outlines have them, as shares of the
// size of type.
type letters struct {
	X     float64 // of a lower-case x
	Digit float64 // of the lowest digit
	Up    float64 // of the highest sign of a European text, above the line
	Down  float64 // of the lowest, below the line
}

// lastLabelRune ends the signs that heights are measured over: Latin with its
// accents.
const lastLabelRune = 0x17F

// heights are measured when first used.
var heights = [...]func() letters{
	layout.StyleRegular: sync.OnceValue(func() letters { return measureLetters(layout.StyleRegular) }),
	layout.StyleBold:    sync.OnceValue(func() letters { return measureLetters(layout.StyleBold) }),
}

// measureLetters panics on a font that cannot be read: the fonts are part of
// the program.
func measureLetters(style layout.FontStyle) letters {
	f, err := sfnt.Parse(layout.Faces[style]().Data)
	if err != nil {
		panic("dossier: built-in font: " + err.Error())
	}
	var buf sfnt.Buffer
	em := fixed.Int26_6(f.UnitsPerEm())
	out := letters{Digit: math.Inf(1)}
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
		out.Up, out.Down = max(out.Up, top), max(out.Down, foot)
		if r == 'x' {
			out.X = top
		}
		if r >= '0' && r <= '9' {
			out.Digit = min(out.Digit, top)
		}
	}
	return out
}

// sizeForX returns the size of type, in points, at which a lower-case x is mm
// high. The page writer keeps two decimals: it is rounded up.
func sizeForX(mm float64) float64 {
	return roundedUp(mm / (heights[layout.StyleRegular]().X * layout.PointMM))
}

// sizeForDigits returns the size of bold type at which every digit is at least
// mm high.
func sizeForDigits(mm float64) float64 {
	return roundedUp(mm / (heights[layout.StyleBold]().Digit * layout.PointMM))
}

func roundedUp(size float64) float64 { return math.Ceil(size*100-1e-9) / 100 }

// lineShare is the height of a line as a share of the size of type; riseShare is
// how far below its top the letters stand. Between them every letter with its
// accent has its place, so that what keeps to its lines is never cut.
func lineShare() float64 {
	r, b := heights[layout.StyleRegular](), heights[layout.StyleBold]()
	return max(r.Up, b.Up) + max(r.Down, b.Down) + 0.02
}

func riseShare() float64 {
	return max(heights[layout.StyleRegular]().Up, heights[layout.StyleBold]().Up) + 0.01
}
