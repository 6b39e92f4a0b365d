package templates

import (
	"embed"
	"text/template"
)

//go:embed letters/*.txt
var letterFiles embed.FS

// letterNames lists the letters there are.
var letterNames = []string{"supplier", "laboratory", "assessor"}

// Letter returns the text of a letter as a template. What it makes is plain
// text in blocks with an empty line between them: a line that begins with # is a
// heading, with ## one below it, lines with - are a list, lines with > keep their
// breaks, and the rest are paragraphs. What stands before the first heading is
// the letterhead: the sender, the date, and to whom it goes.
//
// It panics on a name that is not in [letterNames]; names stand in code alone.
func Letter(name string) *template.Template {
	t, err := template.New(name+".txt").Option("missingkey=error").ParseFS(letterFiles, "letters/"+name+".txt")
	if err != nil {
		panic(err) // the files are embedded and tested
	}
	return t
}
