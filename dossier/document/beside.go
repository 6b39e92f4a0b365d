package document

// Beside puts blocks into two columns of a page. What is not paged shows them below
// each other.
type Beside struct {
	Left, Right []Block
	Share       float64 // of the page's width for the left one; 0 means half
}

func (*Beside) block() {}

// ContentsStrip is a table of contents in a few columns, for a page that holds more
// than that. The page numbers are the printer's.
type ContentsStrip struct {
	Columns []ContentsColumn
}

// ContentsColumn is one column of a [ContentsStrip].
type ContentsColumn struct {
	Head  string
	Items []ContentsItem
}

// ContentsItem leads to a section.
type ContentsItem struct {
	Label  string
	Anchor string
}

func (*ContentsStrip) block() {}

// Flat lists blocks with those that stand side by side one after the other.
func Flat(blocks []Block) []Block {
	out := make([]Block, 0, len(blocks))
	for _, b := range blocks {
		if two, ok := b.(*Beside); ok {
			out = append(append(out, Flat(two.Left)...), Flat(two.Right)...)
			continue
		}
		out = append(out, b)
	}
	return out
}
