package document

// Drawing is something drawn as it is in the hand, such as a label; numbered among the
// figures. Lengths are in mm from the left upper corner, y runs downwards.
type Drawing struct {
	ID            string
	Title         string
	Width, Height float64 // mm
	Round         bool    // its edge is a circle; else a rectangle
	MostMM        float64 // mm of height on a page, at most; what is larger is made smaller, and the scale said
	Shapes        []Shape // in the order of drawing
	Texts         []DrawnText
}

// Shape is a run of points or several, drawn as a line or filled; where filled outlines
// overlap, a hole is left.
type Shape struct {
	Outlines [][]Point
	Filled   bool
	Cleared  bool    // painted white first, so that what lies behind ends there
	Closed   bool    // the line returns to its start
	Width    float64 // mm of the line
}

// Point is a place in a drawing, in mm.
type Point struct{ X, Y float64 }

// DrawnText is one run of text; Base is the line the letters stand on, in mm, and Size
// the size of type in points.
type DrawnText struct {
	X, Base, Size float64
	Bold          bool
	Text          string
}

func (*Drawing) block() {}
