package stability

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// WriteCalendar prints the readings that are due as an iCalendar file, a whole
// day each. The same products on the same day give the same bytes.
//
// Source: RFC 5545: lines end in CR LF and are folded at 75 octets; commas,
// semicolons, backslashes and line breaks in texts are escaped; a whole day ends
// where the next begins.
func WriteCalendar(w io.Writer, products []*workshop.Product, tables *table.Tables, day exact.Date) error {
	c := &calendar{w: w}
	c.line("BEGIN:VCALENDAR")
	c.line("VERSION:2.0")
	c.line("PRODID:-//gallipot//stability readings//EN")
	c.line("CALSCALE:GREGORIAN")
	for _, p := range products {
		p = assess.AsOf(p, day)
		for _, d := range due(p, tables, day) {
			c.event(p, d, day)
		}
	}
	c.line("END:VCALENDAR")
	return c.err
}

// calendar writes lines and keeps the first error.
type calendar struct {
	w   io.Writer
	err error
}

func (c *calendar) event(p *workshop.Product, d dueReading, day exact.Date) {
	c.line("BEGIN:VEVENT")
	c.line(fmt.Sprintf("UID:%s-%d-week-%s@gallipot", p.ID, d.index, d.Week.Exact()))
	c.line("DTSTAMP:" + compactDay(day) + "T000000Z")
	c.line("DTSTART;VALUE=DATE:" + compactDay(d.Date))
	c.line("DTEND;VALUE=DATE:" + compactDay(d.Date.AddDays(1)))
	c.line("SUMMARY:" + escapeText(fmt.Sprintf("%s: week %s of %s", p.Name, d.Week.Exact(), d.Test.Name())))
	what := []string{"Read: " + words.JoinNames(watched(p))}
	if d.Test.Pack != "" {
		what = append(what, "Pack: "+d.Test.Pack)
	}
	if d.Test.Batch != "" {
		what = append(what, "Batch: "+d.Test.Batch)
	}
	c.line("DESCRIPTION:" + escapeText(strings.Join(what, "\n")))
	c.line("TRANSP:TRANSPARENT")
	c.line("END:VEVENT")
}

// watched is what a reading looks at: what the specification names.
func watched(p *workshop.Product) []string {
	var names []string
	if p.Specification.PH != nil {
		names = append(names, "pH")
	}
	for _, x := range p.Specification.Properties {
		names = append(names, x.Name)
	}
	if len(names) == 0 {
		names = []string{"appearance", "odour", "pH"}
	}
	return names
}

func compactDay(d exact.Date) string { return strings.ReplaceAll(d.String(), "-", "") }

var textEscapes = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\r\n", `\n`, "\n", `\n`, "\r", `\n`)

// escapeText makes a text fit for a content line; what is not printable goes.
func escapeText(s string) string { return textEscapes.Replace(words.Printable(s)) }

// mostOctets is the length of a line without its end; a folded line starts with
// a space, which counts.
const mostOctets = 75

// line writes one content line, folded between characters.
func (c *calendar) line(s string) {
	var out strings.Builder
	room := mostOctets
	for _, r := range s {
		n := utf8.RuneLen(r)
		if n < 0 {
			r, n = utf8.RuneError, utf8.RuneLen(utf8.RuneError)
		}
		if n > room {
			out.WriteString("\r\n ")
			room = mostOctets - 1
		}
		out.WriteRune(r)
		room -= n
	}
	if c.err == nil {
		_, c.err = io.WriteString(c.w, out.String()+"\r\n")
	}
}
