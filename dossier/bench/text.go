package bench

import (
	"bytes"
	"path"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit/history"
)

// fault is a thing that keeps a file from being read, for the pages of this file.
type fault struct {
	frame.Told
	Line, Caret string
}

// Gap is as wide as the number of the line, so that the caret stands below its place.
func (f fault) Gap() string { return strings.Repeat(" ", len(strconv.Itoa(f.Finding.Pos.Line))) }

func faultsOf(v *frame.Visit, file string) []fault {
	var fs []fault
	var names frame.Namer
	if v.Shot.Workshop != nil {
		names = v.Names()
	}
	for _, f := range v.Shot.Findings {
		if f.Unread && (file == "" || f.Pos.File == file) {
			x := fault{Told: names.TellText(f)}
			if v.Shot.Workshop != nil {
				x.Line, x.Caret = v.Shot.Workshop.Excerpt(f.Pos)
			}
			fs = append(fs, x)
		}
	}
	return fs
}

// torn lists the files that cannot be read, with what is wrong in each.
func torn(v *frame.Visit) error {
	type file struct {
		Name   string
		Faults []fault
	}
	var files []file
	stubs, broken := v.Stubs()
	for _, f := range faultsOf(v, "") {
		if !slices.Contains(broken, f.Finding.Pos.File) {
			continue
		}
		i := slices.IndexFunc(files, func(x file) bool { return x.Name == f.Finding.Pos.File })
		if i < 0 {
			i, files = len(files), append(files, file{Name: f.Finding.Pos.File})
		}
		files[i].Faults = append(files[i].Faults, f)
	}
	title := "Files that cannot be read"
	if len(stubs) > 0 && len(files) == 0 {
		title = "Materials without a composition"
	}
	return v.Show(frame.Page{Title: title, Template: "torn",
		Data: map[string]any{"Files": files, "None": v.Shot.Workshop == nil, "Stubs": stubs}})
}

// textFile returns the file of a text page: one of the maker's own texts and no other.
func textFile(v *frame.Visit) (string, error) {
	name := v.R.PathValue("file")
	dir, ext := path.Dir(name), path.Ext(name)
	known := name == "workshop.yaml" ||
		slices.Contains([]string{"ingredients", "products", "batches"}, dir) && (ext == ".yaml" || ext == ".yml") ||
		dir == "limits" && ext == ".csv"
	if !known || strings.HasPrefix(path.Base(name), ".") || path.Clean(name) != name {
		return "", frame.NoPage(name)
	}
	return name, nil
}

// textPage shows a file as text, to be mended in place.
func textPage(v *frame.Visit) error {
	name, err := textFile(v)
	if err != nil {
		return err
	}
	data, hash, err := v.Store.Read(name)
	if err != nil {
		return err
	}
	if data == nil {
		return frame.NoPage(name)
	}
	faults := faultsOf(v, name)
	type line struct {
		N    int
		Text string
		Here bool
	}
	var lines []line
	text := strings.ToValidUTF8(string(data), "\ufffd")
	for i, s := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		here := slices.ContainsFunc(faults, func(f fault) bool { return f.Finding.Pos.Line == i+1 })
		near := slices.ContainsFunc(faults, func(f fault) bool {
			return f.Finding.Pos.Line >= i-1 &&
				f.Finding.Pos.Line <= i+3
		})
		if near {
			lines = append(lines, line{i + 1, strings.TrimRight(s, "\r"), here})
		}
	}
	return v.Show(frame.Page{Title: name, Template: "text", Crumb: &frame.Link{Href: "/today", Text: "Today"},
		Data: map[string]any{"Name": name, "Base": hash, "Text": text,
			"Rows": min(bytes.Count(data, []byte("\n"))+3, 60), "Faults": faults, "Lines": lines}})
}

// saveText writes a file as typed. Line ends stay those of the file.
func saveText(v *frame.Visit) error {
	name, err := textFile(v)
	if err != nil {
		return err
	}
	base := v.Field("base")
	old := v.Store.Version(base)
	text := strings.ReplaceAll(v.R.PostForm.Get("text"), "\r\n", "\n")
	if bytes.Contains(old, []byte("\r\n")) {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	if bytes.HasPrefix(old, []byte("\n")) { // a browser drops the first line end of a field
		text = "\n" + text
	}
	back := "/text/" + name
	return v.SaveFiles(history.Label{Thing: name, New: "edited as text", Place: back}, back,
		history.Change{Name: name, Base: base, Data: []byte(text)})
}
