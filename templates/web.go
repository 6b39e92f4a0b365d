package templates

import (
	"embed"
	"html/template"
)

//go:embed web
var webFiles embed.FS

// Web returns the pages of `gallipot serve`: the template "page" is the frame of
// all of them, and "products" is what the first one shows.
//
// It panics where a file does not parse, which the tests rule out.
func Web() *template.Template {
	return template.Must(template.New("").Option("missingkey=error").ParseFS(webFiles, "web/*.html"))
}

// WebStyle is the style sheet of the frame, beside that of the documents in it.
func WebStyle() string {
	data, err := webFiles.ReadFile("web/frame.css")
	if err != nil {
		panic(err) // embedded
	}
	return string(data)
}
