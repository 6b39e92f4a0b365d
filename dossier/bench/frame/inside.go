package frame

import (
	"html"
	"strings"

	"gallipot/ingredients/pattern"
)

var (
	heading = pattern.New(`<(/?)h([1-5])\b`)
	// a note beside the text is no part of the page of its own
	noted   = strings.NewReplacer("<aside", `<div role="note"`, "</aside", "</div")
	command = pattern.New(`gallipot check [a-z0-9/-]+`)
	paired  = pattern.New(`\b[a-z0-9-]+/[a-z0-9-]+\b`)
	// places in files and codes of findings say nothing to who has fields before him
	placed = pattern.New(`<p class="small"><code>[^<]*</code></p>|<code>[^<]*\.ya?ml[^<]*</code>|` +
		` ?\([a-z0-9./-]+\.ya?ml:[0-9:]+\)`)
)

// Inside returns the body of a document of package dossier, which its printer has escaped,
// for a place inside a page: its headings go down by one rank, under that of the page; in
// its text materials have their names, and the verb that lists what is open is what a page
// calls it.
func (n Namer) Inside(body string) HTML {
	var b strings.Builder
	body = placed.ReplaceAllString(body, "")
	for len(body) > 0 {
		text, rest, tag := strings.Cut(body, "<")
		b.WriteString(html.EscapeString(n.inside(html.UnescapeString(text))))
		if !tag {
			break
		}
		inside, after, _ := strings.Cut(rest, ">")
		inside = noted.Replace("<" + inside + ">")
		b.WriteString(heading.ReplaceAllStringFunc(inside, func(s string) string {
			down := []byte(s)
			down[len(down)-1]++
			return string(down)
		}))
		body = after
	}
	return HTML(b.String())
}

// inside words a text of a printed document: where an id stands behind its name, it goes.
func (n Namer) inside(s string) string {
	s = command.ReplaceAllString(s, "the open points")
	if strings.Contains(s, "--") || strings.Contains(s, ": {") {
		s = plain(s)
	}
	s = paired.ReplaceAllStringFunc(s, n.pair)
	if strings.Contains(s, " (") {
		for id, name := range n.all {
			s = strings.ReplaceAll(s, name+" ("+id+")", name)
		}
	}
	return n.Short(fieldsNamed(s))
}
