package pdf

import (
	"bytes"
	"cmp"
	"fmt"

	"gallipot/dossier/document"
)

// Render prints d as a PDF of A4 pages with the attachments inside it.
//
// The same document gives the same bytes: the only date inside is d.Date. The
// file is built to the rules of PDF/A-3b. Runes that the fonts lack are printed
// as a question mark, with a warning for each.
// Errors: a tree that [document.Document.Mistakes] refuses and an attachment without
// a name. It never panics.
func Render(d *document.Document, attachments []Attachment) (data []byte, warnings []string, err error) {
	return RenderWith(d, func() ([]Attachment, error) { return attachments, nil })
}

// RenderWith is [Render] for attachments that are made while the pages are laid
// out.
func RenderWith(d *document.Document,
	attach func() ([]Attachment, error)) (data []byte, warnings []string, err error) {
	type attached struct {
		list []Attachment
		err  error
	}
	made := make(chan attached, 1)
	go func() {
		list, err := attach()
		made <- attached{list, err}
	}()
	var body *archive
	w, err := LayPages(d)
	if err == nil {
		body, err = w.Archive()
	}
	files := <-made
	if err = cmp.Or(files.err, err); err != nil {
		return nil, nil, err
	}
	data, err = body.With(files.list)
	return data, w.Clean.Warnings, err
}

// LayPages lays d out on pages.
func LayPages(d *document.Document) (w *Writer, err error) {
	d = d.ForPages()
	if err := d.Mistakes(); err != nil {
		return nil, err
	}
	defer func() {
		if r := recover(); r != nil {
			w, err = nil, fmt.Errorf("dossier: the PDF could not be laid out: %v", r)
		}
	}()
	w = NewWriter(d)
	w.Document()
	if err := w.P.Error(); err != nil {
		return nil, fmt.Errorf("dossier: the PDF could not be laid out: %w", err)
	}
	return w, nil
}

// Archive returns the file with all that is drawn.
func (w *Writer) Archive() (a *archive, err error) {
	defer func() {
		if r := recover(); r != nil {
			a, err = nil, fmt.Errorf("dossier: the PDF could not be written: %v", r)
		}
	}()
	var raw bytes.Buffer
	if err := w.P.Output(&raw); err != nil {
		return nil, fmt.Errorf("dossier: the PDF could not be written: %w", err)
	}
	return newArchive(raw.Bytes(), w.info())
}

// Document draws all pages.
func (w *Writer) Document() {
	d := w.d
	if d.Cover != nil && !d.Dense {
		var blocks []piece
		for _, b := range d.Cover.Blocks {
			blocks = append(blocks, w.blockPieces(b)...)
		}
		w.cover(blocks)
	}
	if w.hasContents() {
		w.contents()
	}
	w.newPage()
	if (d.Cover == nil || d.Dense) && d.NoContents {
		w.titleBlock()
	}
	w.flow(w.flowOf(d))
	w.furniture()
}

// hasContents says whether there is a page of contents.
func (w *Writer) hasContents() bool { return !w.d.NoContents && len(w.d.Sections) > 0 }

// flowOf lists the pieces of all sections.
func (w *Writer) flowOf(d *document.Document) []piece {
	var out []piece
	quiet := 0
	d.Walk(func(s *document.Section, depth int) {
		if depth == 1 {
			quiet = 0
			if s.Quiet && d.Dense {
				quiet = 1
			}
		}
		if depth == 1 && quiet == 1 {
			out = append(out, w.quietHeading(s))
		} else {
			out = append(out, w.heading(s, depth, depth-quiet))
		}
		at := len(out)
		if s.Intro != "" {
			out = append(out, w.paragraph(document.Para(s.Intro)))
		}
		for _, b := range s.Blocks {
			out = append(out, w.blockPieces(b)...)
		}
		if s.IsEmpty() {
			out = append(out, w.paragraph(document.EmptySection))
		}
		follows := at+1 < len(out) || at < len(out) && len(s.Subsections) > 0
		if follows && out[at].lines > 0 && out[at].lines <= fewLines {
			out[at].keep = true
		}
	})
	return out
}

// blockPieces lists the pieces of one block.
func (w *Writer) blockPieces(b document.Block) []piece {
	switch b := b.(type) {
	case *document.Paragraph:
		return []piece{w.paragraph(b)}
	case *document.Bullets:
		return w.bullets(b)
	case *document.KeyFigures:
		return w.keyFigures(b)
	case *document.Callout:
		return []piece{w.callout(b)}
	case *document.Beside:
		return []piece{w.beside(b)}
	case *document.ContentsStrip:
		return []piece{w.strip(b)}
	case *document.Fields:
		return w.fields(b)
	case *document.FindingList:
		return w.findings(b)
	case *document.Table:
		return w.table(b)
	case document.Chart:
		return w.chart(b)
	case *document.Picture:
		return []piece{w.picture(b)}
	case *document.Drawing:
		return []piece{w.drawing(b)}
	case document.PageBreak:
		return []piece{{fresh: true}}
	}
	panic(fmt.Sprintf("dossier: a block of type %T", b))
}
