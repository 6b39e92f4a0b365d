package material

import (
	"path"
	"slices"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

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
	ext, data, ok, err := v.SentPaper()
	switch {
	case err != nil:
		return err
	case !ok:
		return frame.Wrong("No paper was chosen.", "Choose a file, or drop it on the field.")
	}
	kind := v.Field("kind")
	if ingredients.DocumentKinds[kind] == "" {
		return frame.Wrong("What kind of paper it is is not stated.",
			"Choose the kind; it decides what the paper shows.")
	}
	where, err := v.FreePaper(v.R.PathValue("id")+"-"+kind, ext)
	if err != nil {
		return err
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

// paperFolders are those that papers and photographs of a workshop stand in.
var paperFolders = []string{"evidence", "pictures"}

// paper sends a filed paper: a PDF or picture to look at, everything else to be saved.
func paper(v *frame.Visit) error {
	name := v.R.PathValue("file")
	mime := frame.PaperType(name)
	if folder, _, _ := strings.Cut(name, "/"); !slices.Contains(paperFolders, folder) || mime == "" {
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
