package frame

import (
	"encoding/csv"
	"strings"

	"gallipot/dossier/edit"
)

// LabelsOf are the names of the fields of a table of [Fields].
//
// Errors: those of a table that cannot be read.
func LabelsOf(table string) (func(edit.Path) string, error) {
	all, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		return nil, err
	}
	labels := map[string]string{}
	for _, r := range all[1:] {
		labels[r[1]] = r[3]
	}
	return func(p edit.Path) string { return labels[p.String()] }, nil
}

// Typed is what was sent for a place in the file, in whatever kind of field; false where it was
// not sent.
func (v *Visit) Typed(path string) (string, bool) {
	for name := range v.R.PostForm {
		if _, at, _ := strings.Cut(name, ":"); at == path {
			return v.R.PostForm.Get(name), true
		}
	}
	return "", false
}

// Again puts back into the fields of a form what was sent and could not be written, and why.
func (v *Visit) Again(sections []Section, err error) {
	if err == nil {
		return
	}
	for _, s := range sections {
		for i := range s.Fields {
			x := &s.Fields[i]
			x.Wrong = WrongAt(err, x.Path)
			if typed, sent := v.Typed(x.Path); sent {
				x.Value = typed
				for j := range x.Choices {
					x.Choices[j].Here = x.Choices[j].Value == typed
				}
			}
		}
	}
}
