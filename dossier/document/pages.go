package document

import (
	"gallipot/dossier/words"
)

// ForPages returns the document as it stands on pages: a table meant for the
// workbook alone is replaced by a line that says where it stands. A document
// without one is returned as it is.
func (d *Document) ForPages() *Document {
	long := false
	d.Walk(func(s *Section, _ int) {
		for _, b := range Flat(s.Blocks) {
			if t, ok := b.(*Table); ok && t.InWorkbook {
				long = true
			}
		}
	})
	if !long {
		return d
	}
	paged := *d
	paged.Workbook = nil
	paged.Sections = sectionsForPages(d.Sections)
	return &paged
}

func sectionsForPages(list []*Section) []*Section {
	out := make([]*Section, len(list))
	for i, s := range list {
		c := *s
		c.Blocks = nil
		for _, b := range s.Blocks {
			if t, ok := b.(*Table); ok && t.InWorkbook {
				title := t.Title
				if title == "" {
					title = "The full table"
				}
				b = &Paragraph{Small: true,
					Spans: []Span{{Text: title + ": " + words.Count(len(t.Rows), "row", "rows") +
						", in the spreadsheet of the pack, sheet "}, {Text: t.SheetName, Emph: true}}}
			}
			c.Blocks = append(c.Blocks, b)
		}
		c.Subsections = sectionsForPages(s.Subsections)
		out[i] = &c
	}
	return out
}
