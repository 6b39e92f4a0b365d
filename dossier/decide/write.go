package decide

import (
	"bytes"
	"os"
	"path/filepath"

	"gallipot/dossier/edit"
	"gallipot/dossier/store"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// Added returns the file of a product, or workshop.yaml, with one more decision at the
// end of its list; every other byte stays as it is.
//
// Errors: an *edit.Refusal where the file cannot be changed there.
func Added(src *source.Source, d workshop.Decision) ([]byte, error) {
	file, err := edit.Parse(src.Name, src.Bytes)
	if err != nil {
		return nil, err
	}
	v := edit.Group().With("code", edit.Text(d.Code))
	if d.Subject != "" {
		v = v.With("subject", edit.Text(d.Subject))
	}
	v = withWords(withWords(v, "variant", d.Variants), "market", d.Markets)
	v = v.With("values", edit.Text(d.Values)).With("decision", edit.Text(d.Text)).With("by", edit.Text(d.By)).
		With("date", edit.Typed(d.Date.String()))
	if !d.Until.IsZero() {
		v = v.With("until", edit.Typed(d.Until.String()))
	}
	file, err = file.Apply(edit.Insert(edit.Path{"decisions", "-"}, v))
	if err != nil {
		return nil, err
	}
	return file.Bytes(), nil
}

// withWords adds one word, or a list of them, or nothing.
func withWords(v edit.Value, key string, list []string) edit.Value {
	switch len(list) {
	case 0:
		return v
	case 1:
		return v.With(key, edit.Text(list[0]))
	}
	var all []edit.Value
	for _, word := range list {
		all = append(all, edit.Text(word))
	}
	return v.With(key, edit.List(all...))
}

// Write adds a decision to a file of the workshop as it was read, and returns the file as
// it is now.
//
// Errors: those of an edit that is refused; a *exact.ValueError where the file was changed since; those
// of the file system.
func Write(dir string, src *source.Source, d workshop.Decision) (*source.Source, error) {
	data, err := Added(src, d)
	if err != nil {
		return nil, err
	}
	path := filepath.Join(dir, filepath.FromSlash(src.Name))
	now, err := os.ReadFile(path)
	if err != nil {
		return nil, store.CannotWrite(src.Name, err)
	}
	if !bytes.Equal(now, src.Bytes) {
		return nil, &exact.ValueError{What: src.Name + " was changed meanwhile", Fix: "run it again"}
	}
	return source.NewSource(src.Name, data), store.WriteFiles(store.NewFile{Path: path, Data: data})
}
