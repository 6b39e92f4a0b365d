package frame

import (
	"errors"
	"io"
	"net/http"
	"path"
	"strings"

	"gallipot/ingredients/pattern"
)

// paperKinds are the files that may be filed as a paper, with the type they are served as.
// Nothing is ever served as a page.
var paperKinds = map[string]string{".pdf": "application/pdf", ".png": "image/png", ".jpg": "image/jpeg",
	".jpeg": "image/jpeg", ".txt": "application/octet-stream",
	".csv": "application/octet-stream", ".xlsx": "application/octet-stream",
	".docx": "application/octet-stream", ".eml": "application/octet-stream",
	".tsv": "application/octet-stream", ".htm": "application/octet-stream", ".html": "application/octet-stream"}

// PaperType is what a paper of this name is served as; "" where it is no paper.
func PaperType(name string) string { return paperKinds[strings.ToLower(path.Ext(name))] }

var badLetters = pattern.New(`[^a-z0-9.]+`)

// SentPaper is the file of the field paper: a kind that may be filed, whose bytes are of that
// kind. ok is false where no file was sent.
//
// Errors: a *Trouble.
func (v *Visit) SentPaper() (ext string, data []byte, ok bool, err error) {
	file, head, err := v.R.FormFile("paper")
	if errors.Is(err, http.ErrMissingFile) || errors.Is(err, http.ErrNotMultipart) {
		return "", nil, false, nil
	}
	if err != nil {
		return "", nil, false, Wrong("What was sent cannot be read.", "Load the page anew and try again.")
	}
	defer file.Close()
	name := badLetters.ReplaceAllString(strings.ToLower(path.Base(strings.ReplaceAll(head.Filename, `\`,
		"/"))), "-")
	want := paperKinds[path.Ext(name)]
	if want == "" || strings.HasPrefix(path.Ext(name), ".htm") { // a page is read, and then filed
		return "", nil, false, &Trouble{http.StatusUnsupportedMediaType,
			"That kind of file is not taken.", "Take a PDF, a picture, a text, a spreadsheet or a saved mail."}
	}
	if data, err = io.ReadAll(file); err != nil {
		return "", nil, false, err
	}
	seen := http.DetectContentType(data)
	if len(data) == 0 || want != "application/octet-stream" && !strings.HasPrefix(seen, want) ||
		strings.HasPrefix(seen, "text/html") {
		return "", nil, false, &Trouble{http.StatusUnsupportedMediaType,
			"The file is not what its name says.", "Open it to see what it is, and save it anew."}
	}
	return path.Ext(name), data, true, nil
}

// WaitingPapers names the papers of suppliers that came in and are on file nowhere yet. The same
// bytes on file are the same paper.
//
// Errors: those of reading them.
func (v *Visit) WaitingPapers() (names []string, err error) {
	var files []string
	for _, sheet := range v.Workshop().Sheets {
		for _, doc := range sheet.Documents {
			files = append(files, doc.File)
		}
	}
	open, err := v.Store.Unfiled(files)
	for _, p := range open {
		names = append(names, p.Name)
	}
	return names, err
}

// FreePaper is a name under evidence/ that no paper has yet.
func (v *Visit) FreePaper(stem, ext string) (string, error) {
	stem = strings.Trim(badLetters.ReplaceAllString(strings.ToLower(stem), "-"), "-.")
	name := "evidence/" + stem + ext
	for i := 2; ; i++ {
		old, _, err := v.Store.Read(name)
		if err != nil || old == nil {
			return name, err
		}
		name = "evidence/" + stem + "-" + itoa(i) + ext
	}
}
