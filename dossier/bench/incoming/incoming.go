// Package incoming holds the pages of suppliers' papers that come in: a paper dropped in is
// read, shown page beside values, each value is confirmed, corrected or refused, and the
// paper is filed with its sheet as one step.
//
// Decisions (2026-11-29):
//
//   - A paper waits in the program's folder until it is filed, with its answers: it is in no
//     file of the maker's before. One that was filed stays there too, so that a step back
//     brings it back with all that was answered.
//   - What is read plainly and contradicts nothing may be confirmed together; what differs
//     from the sheet or from another paper, or is not decided, is answered alone.
//   - A page of a PDF is drawn by the reader's sandbox and shown as a picture, with the lines
//     that values stand in; other papers are shown as the lines that were read. Nothing of a
//     paper is ever shown as a page of its own.
package incoming

import (
	"embed"
	"sync"

	"gallipot/calc/law/table"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/listed"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/reading"
)

//go:embed *.html
var templates embed.FS

// desk reads papers.
type desk struct {
	tables *table.Tables
	files  *paper.Reader

	once   sync.Once
	reader *transcribe.Reader
	err    error

	mu   sync.Mutex
	seen []*seen // the latest last
}

// seen is a paper as it was read.
type seen struct {
	sum     string
	file    *paper.File
	reading *reading.Reading // may not be changed
}

// Most papers that are kept as read.
const mostSeen = 24

// Pages returns the table of these pages, over the tables of law. What papers mean is read
// from the first one on.
func Pages(tables *table.Tables, files *paper.Reader) frame.Set {
	d := &desk{tables: tables, files: files}
	return frame.Set{Templates: templates, Routes: []frame.Route{
		{Pattern: "POST /incoming/{key}/material", Do: d.turn},
		{Pattern: "GET /papers", Do: d.list},
		{Pattern: "POST /papers", Do: d.upload},
		{Pattern: "GET /incoming/{key}", Do: d.show},
		{Pattern: "POST /incoming/{key}", Do: d.answer},
		{Pattern: "POST /incoming/{key}/sheet", Do: d.choose},
		{Pattern: "POST /incoming/{key}/file", Do: d.file},
		{Pattern: "POST /incoming/{key}/drop", Do: d.drop},
		{Pattern: "GET /incoming/{key}/page/{n}", Do: d.picture},
		{Pattern: "GET /incoming/{key}/paper", Do: d.original},
	}}
}

// read reads a paper, once for the same bytes.
//
// Errors: a *paper.Trouble.
func (d *desk) read(name, sum string, data []byte) (*seen, error) {
	d.mu.Lock()
	for _, s := range d.seen {
		if s.sum == sum && s.file.Name == name {
			d.mu.Unlock()
			return s, nil
		}
	}
	d.mu.Unlock()
	d.once.Do(func() { d.reader, d.err = transcribe.New(d.tables, listed.New(d.tables.Dictionary())) })
	if d.err != nil {
		return nil, d.err
	}
	file, err := d.files.Read(name, data)
	if err != nil {
		return nil, err
	}
	s := &seen{sum, file, d.reader.Read(file)}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.seen = append(d.seen, s); len(d.seen) > mostSeen {
		d.seen = d.seen[1:]
	}
	return s, nil
}
