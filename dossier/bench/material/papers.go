package material

import (
	"io"
	"mime/multipart"
	"net/http"
	"path"
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// kinds of file that may be filed as a paper, with the type they are served as. Nothing is
// ever served as a page.
var kinds = map[string]string{".pdf": "application/pdf", ".png": "image/png", ".jpg": "image/jpeg",
	".jpeg": "image/jpeg", ".txt": "application/octet-stream",
	".csv": "application/octet-stream", ".xlsx": "application/octet-stream", ".docx": "application/octet-stream", ".eml": "application/octet-stream",
	".tsv": "application/octet-stream", ".htm": "application/octet-stream", ".html": "application/octet-stream"}

type paperKind struct{ Key, Text string }

func paperKinds() []paperKind {
	var list []paperKind
	for k, text := range ingredients.DocumentKinds {
		list = append(list, paperKind{k, text})
	}
	slices.SortFunc(list, func(a, b paperKind) int { return strings.Compare(a.Text, b.Text) })
	return list
}

// papers lists the documents of the sheet.
func papers(v *frame.Visit, f *frame.Opened, _ *ingredients.Sheet) []line {
	at := edit.Path{"documents"}
	var list []line
	for i := range f.Len(at) {
		l := line{N: i, Path: at.At(i).String()}
		kind, _ := f.Text(at.At(i).Then("kind"))
		l.Kind = or(ingredients.DocumentKinds[kind], kind)
		l.File, _ = f.Text(at.At(i).Then("file"))
		l.Dated, _ = f.Text(at.At(i).Then("dated"))
		if data, _, err := v.Store.Read(l.File); err == nil && data != nil {
			l.There = true
		}
		list = append(list, l)
	}
	return list
}

var badName = regexp.MustCompile(`[^a-z0-9.]+`)

// upload files a paper under evidence/ and enters it in the sheet, as one step.
func upload(v *frame.Visit) error {
	sheet, form, err := of(v)
	if err != nil {
		return err
	}
	f, err := v.Base(form)
	if err != nil {
		return err
	}
	file, head, err := v.R.FormFile("paper")
	if err != nil {
		return frame.Wrong("No paper was chosen.", "Choose a file, or drop it on the field.")
	}
	defer file.Close()
	name, data, err := readPaper(file, head)
	if err != nil {
		return err
	}
	kind := v.Field("kind")
	if ingredients.DocumentKinds[kind] == "" {
		return frame.Wrong("What kind of paper it is is not stated.",
			"Choose the kind; it decides what the paper shows.")
	}
	where := "evidence/" + strings.Trim(v.R.PathValue("id")+"-"+kind, "-") + path.Ext(name)
	for i := 2; ; i++ {
		old, _, err := v.Store.Read(where)
		if err != nil {
			return err
		}
		if old == nil {
			break
		}
		where = "evidence/" + v.R.PathValue("id") + "-" + kind + "-" + strings.Repeat("i", i-1) + path.Ext(name)
	}
	entry := edit.Group().With("kind", edit.Typed(kind)).With("file", edit.Typed(where))
	if dated := v.Field("dated"); dated != "" {
		if _, err := exact.ParseDate(dated); err != nil {
			return err
		}
		entry = entry.With("dated", edit.Typed(dated))
	}
	g, err := f.Apply(edit.Insert(edit.Path{"documents", "-"}, entry))
	if err != nil {
		return err
	}
	return v.SaveFiles(history.Label{Thing: "paper of " + sheet.Name, New: ingredients.DocumentKinds[kind],
		Place: form.Back}, form.Back,
		history.Change{Name: form.File, Base: f.Hash, Data: g.Bytes()}, history.Change{Name: where, Data: data})
}

// readPaper takes a file of a known kind whose bytes are of that kind.
func readPaper(file multipart.File, head *multipart.FileHeader) (string, []byte, error) {
	name := badName.ReplaceAllString(strings.ToLower(path.Base(strings.ReplaceAll(head.Filename, `\`,
		"/"))), "-")
	if kinds[path.Ext(name)] == "" || strings.HasPrefix(path.Ext(name), ".htm") { // a page is read, and then filed
		return "", nil, &frame.Trouble{Status: http.StatusUnsupportedMediaType,
			What: "That kind of file is not taken.", Fix: "Take a PDF, a picture, a text, a spreadsheet or a saved mail."}
	}
	data, err := io.ReadAll(file)
	if err != nil {
		return "", nil, err
	}
	seen := http.DetectContentType(data)
	if want := kinds[path.Ext(name)]; len(data) == 0 || want != "application/octet-stream" &&
		!strings.HasPrefix(seen, want) || strings.HasPrefix(seen, "text/html") {
		return "", nil, &frame.Trouble{Status: http.StatusUnsupportedMediaType,
			What: "The file is not what its name says.", Fix: "Open it to see what it is, and save it anew."}
	}
	return name, data, nil
}

// paper sends a filed paper: a PDF or picture to look at, everything else to be saved.
func paper(v *frame.Visit) error {
	name := v.R.PathValue("file")
	mime := kinds[strings.ToLower(path.Ext(name))]
	if !strings.HasPrefix(name, "evidence/") || mime == "" {
		return frame.NoPage("paper")
	}
	data, _, err := v.Store.Read(name)
	if err != nil {
		return err
	}
	if data == nil {
		return frame.NoPage("paper")
	}
	return v.File(path.Base(name), mime, data)
}
