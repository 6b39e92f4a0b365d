package label

// What the tests that stand outside this package look at.

type Artwork = artwork
type InkText = inkText
type Outline = outline

var Heights = heights
var LineShare = lineShare
var OutlineOf = outlineOf
var RiseShare = riseShare
