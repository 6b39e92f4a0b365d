package pdf

import "gallipot/dossier/document/layout"

// scale is the type and the white space that a document is set in: sizes in points,
// lines and gaps in millimetres.
type scale struct {
	body, bodyLine, small, smallLine float64
	captionLine                      float64
	captionSize                      float64
	captionNumber                    Colour
	caption                          layout.FontStyle
	captionGap                       float64 // caption to table
	gapPara, gapBlock                float64
	table                            [3]tableType // ordinary, close, one line a row
	headSize, headLine, headPad      float64      // heads of columns; 0: as the table
	head                             layout.FontStyle
	headings                         []headingStyle
	fieldRule                        float64 // between ruled lines: room for a hand
	fieldGap                         float64
	rule, underHead, hair            float64 // of a table: above and below, under the head, between rows
	hairInk                          Colour
	groupGround                      bool
	figures                          int // key figures on a row
	keySize                          float64
	dense                            bool
	widest, tight                    float64 // of words that a column is made wide enough for
	hand                             float64 // a space to write in
	handRoom                         float64 // above its line, in lines
	tick                             float64 // the side of a box to tick
	cellPad                          float64 // left and right of a cell's text
}

// tableType is how the rows of a table are set.
type tableType struct{ size, line, pad float64 }

// ordinary is for what is read at arm's length: letters, weighing sheets.
var ordinary = scale{
	body: 9.5, bodyLine: 4.75, small: 7.5, smallLine: 3.7,
	captionLine: 4.6, captionSize: 9, captionNumber: Black, caption: layout.StyleBold, captionGap: 1,
	gapPara: 2.4, gapBlock: 4.2,
	table: [3]tableType{{8, 3.95, 0.95}, {7.2, 3.555, 0.95}, {7.2, 3.555, 0.95}},
	head:  layout.StyleBold, headPad: 1.1,
	headings: []headingStyle{
		{size: 15, lh: 7, before: 9, after: 3.2, style: layout.StyleBold, rule: true},
		{size: 11.5, lh: 5.6, before: 6.5, after: 1.8, style: layout.StyleBold},
		{size: 9.5, lh: 4.8, before: 4.5, after: 1.2, style: layout.StyleBold},
		{size: 9.5, lh: 4.8, before: 3.5, after: 1, style: layout.StyleItalic},
	},
	fieldRule: 7.6, fieldGap: 1.6,
	rule: 0.4, underHead: 0.25, hair: 0.1, hairInk: Rule, groupGround: true, figures: 4, keySize: 15,
	cellPad: 1.3, widest: 34, tight: 25, hand: 22, handRoom: 0.6, tick: 3.2,
}

// reference is for what is leafed through and cited: the assessor's pack.
var reference = scale{
	body: 8.6, bodyLine: 4.1, small: 6.8, smallLine: 3.15,
	captionLine: 3.9, captionSize: 8, captionNumber: accent, caption: layout.StyleMedium, captionGap: 0.9,
	gapPara: 1.6, gapBlock: 2.4,
	table:    [3]tableType{{7.6, 3.45, 0.43}, {7.2, 3.2, 0.21}, {7.1, 3.05, 0.19}},
	headSize: 6.9, headLine: 3.1, head: layout.StyleMedium, headPad: 0.6,
	headings: []headingStyle{
		{size: 13, lh: 6, before: 4.2, after: 1.8, style: layout.StyleBold, rule: true},
		{size: 9.8, lh: 4.6, before: 3.4, after: 0.9, style: layout.StyleBold},
		{size: 8.6, lh: 4.1, before: 2.4, after: 0.6, style: layout.StyleBold},
	},
	fieldRule: 6.4, fieldGap: 0.9,
	rule: 0.35, underHead: 0.2, hair: 0.12, hairInk: Colour{220, 220,
		218}, figures: 6, keySize: 11.5, dense: true, cellPad: 1, widest: 60, tight: 44, hand: 110, handRoom: 0.6, tick: 2.6,
}

// working is for what is filled in at the bench: as close as the pack, with room for a
// figure where something is written.
var working = func() scale {
	s := reference
	s.hand, s.handRoom, s.fieldRule, s.fieldGap = 17, 0.35, 6, 0.5
	s.headings = []headingStyle{
		{size: 9.2, lh: 4, before: 1.2, after: 0.5, style: layout.StyleBold, rule: true},
		{size: 8.8, lh: 4, before: 1.8, after: 0.4, style: layout.StyleBold},
		{size: 8.4, lh: 3.9, before: 1.4, after: 0.3, style: layout.StyleBold},
	}
	s.gapPara, s.gapBlock = 0.5, 1.3
	return s
}()

// typeOf chooses how the rows of a table are set: the more rows or columns, the
// closer.
func (sc *scale) typeOf(rows, columns int) int {
	switch {
	case !sc.dense:
		return 0
	case rows > 30 || columns > 10:
		return 2
	case rows >= 15:
		return 1
	}
	return 0
}

// headingStyle is how one level of headings is set.
type headingStyle struct {
	size, lh, before, after float64
	style                   layout.FontStyle
	rule                    bool
}

// Colour is red, green and blue from 0 to 255.
type Colour [3]int

var (
	Black  = Colour{22, 22, 22}
	Grey   = Colour{92, 92, 92}
	Rule   = Colour{168, 168, 168}
	pale   = Colour{241, 241, 239}
	accent = Colour{34, 78, 62}
)
