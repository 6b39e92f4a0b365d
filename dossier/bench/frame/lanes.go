package frame

import (
	"fmt"
	"html/template"
	"math"

	"gallipot/ingredients/exact"
)

// Bars are drawn, since their widths are figures and the content policy allows no style in
// a page. A bar never stands alone: figure and word are beside it, and it is not read out.

func lane(inside string) HTML {
	return HTML(`<svg class="lane" viewBox="0 0 100 13" preserveAspectRatio="none" aria-hidden="true"><rect class="bed" width="100" height="13"/>` + inside + `</svg>`)
}

func bar(class string, from, to float64) string {
	from, to = min(max(from, 0), 100), min(max(to, 0), 100)
	return fmt.Sprintf(`<rect class="%s" x="%.1f" y="2" width="%.1f" height="9"/>`, class, from, max(to-from, 0))
}

func tick(at float64) string {
	return fmt.Sprintf(`<rect class="tick" x="%.1f" y="-2" width="1.2" height="17"/>`, at-0.6)
}

// LogLane is a content between bounds against a threshold: logarithmic, a tenth to ten times
// the threshold, which stands in the middle.
func LogLane(low, high, threshold exact.Num, strong bool) HTML {
	at := func(n exact.Num) float64 {
		if n.Sign() <= 0 || threshold.Sign() <= 0 {
			return 0
		}
		return 50 + 50*math.Log10(n.Float()/threshold.Float())
	}
	class := "part"
	if strong {
		class = "over"
	}
	inside := bar(class, 0, at(low))
	if low.Less(high) {
		inside += bar("maybe", at(low), at(high))
	}
	return lane(inside + tick(50))
}

// LimitLane is a content against its limit: linear, the limit at four fifths of the width.
func LimitLane(content, limit exact.Num) HTML {
	class := "part"
	if limit.Less(content) {
		class = "over"
	}
	return lane(bar(class, 0, 80*content.Float()/limit.Float()) + tick(80))
}

// RoomLane is the value of a line against the most it may be.
func RoomLane(value, most exact.Num) HTML {
	if most.Sign() <= 0 {
		return lane(bar("over", 0, 100))
	}
	class := "part"
	if most.Less(value) {
		class = "over"
	}
	return lane(bar(class, 0, 75*value.Float()/most.Float()) + tick(75))
}

// Figure sets a decimal number so that points stand below each other.
func Figure(text string, decimals int) HTML { return figure(text, decimals) }

// Mark returns a shape with its word.
func Mark(kind, word string) HTML { return mark(kind, word) }

// Sign returns a mark whose word is heard and not seen.
func Sign(kind, word string) HTML { return sign(kind, word) }

// Escape makes text of a page.
func Escape(s string) HTML { return HTML(template.HTMLEscapeString(s)) }

// Sentence makes a sentence of a message.
func Sentence(s string) string { return sentence(s) }
