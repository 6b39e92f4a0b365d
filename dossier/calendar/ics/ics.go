// Package ics writes days to be kept in mind as an iCalendar file. Start at [Write].
//
// # Decisions
//
// 2026-11-29. An event is known by what it is about and never by its day, so that a
// calendar that reads the file again moves the event and doubles none. The same events on
// the same day give the same bytes.
package ics

import (
	"io"
	"strings"
	"unicode/utf8"

	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// Event is a whole day on which something is due.
type Event struct {
	ID      string // tells events apart; the same from file to file
	Day     exact.Date
	Summary string
	Detail  string // further lines; "" for none
}

// Write prints events as an iCalendar file; subject says what it is of, day is the day it
// was made. Of events with one ID the first is printed.
//
// Source: RFC 5545: lines end in CR LF and are folded at 75 octets; commas, semicolons,
// backslashes and line breaks in texts are escaped; a whole day ends where the next
// begins.
func Write(w io.Writer, subject string, events []Event, day exact.Date) error {
	c := &calendar{w: w}
	c.line("BEGIN:VCALENDAR")
	c.line("VERSION:2.0")
	c.line("PRODID:-//gallipot//" + subject + "//EN")
	c.line("CALSCALE:GREGORIAN")
	seen := map[string]bool{}
	for _, e := range events {
		if !seen[e.ID] {
			seen[e.ID] = true
			c.event(e, day)
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

func (c *calendar) event(e Event, day exact.Date) {
	c.line("BEGIN:VEVENT")
	c.line("UID:" + plainID(e.ID) + "@gallipot")
	c.line("DTSTAMP:" + compactDay(day) + "T000000Z")
	c.line("DTSTART;VALUE=DATE:" + compactDay(e.Day))
	c.line("DTEND;VALUE=DATE:" + compactDay(e.Day.AddDays(1)))
	c.line("SUMMARY:" + escapeText(e.Summary))
	if e.Detail != "" {
		c.line("DESCRIPTION:" + escapeText(e.Detail))
	}
	c.line("TRANSP:TRANSPARENT")
	c.line("END:VEVENT")
}

// plainID keeps what a line of its own may hold.
func plainID(id string) string { return strings.Join(strings.Fields(words.Printable(id)), "-") }

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
