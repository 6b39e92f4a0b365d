package document

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestForPages(t *testing.T) {
	d := &Document{Title: "x", Workbook: []*Section{{ID: "w"}}}
	sub := d.AddSection("a", "A").AddSection("a-1", "below")
	short := &Table{Title: "short"}
	sub.Add(short)
	require.Same(t, d, d.ForPages(), "nothing is for the workbook alone")

	long := &Table{Title: "All variants", SheetName: "Variants", InWorkbook: true, Columns: []Column{{Head: "x"}}}
	long.Add(IntCell(1)).Add(IntCell(2))
	sub.Add(long, &Table{SheetName: "Rest", InWorkbook: true, Columns: []Column{{Head: "x"}}})
	paged := d.ForPages()
	require.Empty(t, paged.Workbook)
	blocks := paged.Sections[0].Subsections[0].Blocks
	require.Same(t, short, blocks[0])
	require.Equal(t, "All variants: 2 rows, in the spreadsheet of the pack, sheet Variants",
		blocks[1].(*Paragraph).Plain())
	require.Equal(t, "The full table: 0 rows, in the spreadsheet of the pack, sheet Rest", blocks[2].(*Paragraph).Plain())
	require.Same(t, long, sub.Blocks[1], "the document itself is as it was")
}
