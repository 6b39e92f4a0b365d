package frame

import (
	"encoding/csv"
	"slices"
	"strconv"
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

// LabelsOfLists are the names of the columns of the lists of a table of [Listed], by the place of
// a value inside an entry: its last steps. A column of several lists has the name of the first.
//
// Errors: those of a table that cannot be read.
func LabelsOfLists(table string) (func(edit.Path) string, error) {
	all, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		return nil, err
	}
	return func(p edit.Path) string {
		for from := 1; from < len(p); from++ { // the longest way inside an entry first
			for _, r := range all[1:] {
				if r[1] == "" || r[1] != strings.Join(p[from:], "/") {
					continue
				}
				if _, err := strconv.Atoi(p[from-1]); err == nil || p[from-1] == "-" {
					return r[3]
				}
			}
		}
		if len(p) > 0 { // a finding names the last step alone
			for _, r := range all[1:] {
				if way := steps(r[1]); r[1] != "" && way[len(way)-1] == p[len(p)-1] {
					return r[3]
				}
			}
		}
		return ""
	}, nil
}

// Typed is what was sent for a place in the file, in whatever kind of field; false where it was
// not sent.
func (v *Visit) Typed(path string) (string, bool) {
	for name := range v.R.PostForm {
		if _, at, _ := strings.Cut(name, ":"); at == path {
			return strings.TrimSpace(strings.Join(v.R.PostForm[name], "\n")), true
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
			s.Fields[i].again(v, err)
		}
	}
}

// AgainListed is [Visit.Again] for entries that stand in lists, and in lists inside them.
func (v *Visit) AgainListed(err error, lists ...*Listing) {
	if err == nil {
		return
	}
	for _, l := range lists {
		for i := range l.Rows {
			for j := range l.Rows[i].Cells {
				l.Rows[i].Cells[j].again(v, err)
			}
			v.AgainListed(err, l.Rows[i].Lists...)
		}
	}
}

func (x *inputField) again(v *Visit, err error) {
	x.Wrong = WrongAt(err, x.Path)
	typed, sent := v.Typed(x.Path)
	if !sent {
		return
	}
	x.Value = typed
	for j := range x.Choices {
		x.Choices[j].Here = x.Choices[j].Value == typed
		if x.Mode == "marks" {
			x.Choices[j].Here = slices.Contains(strings.Fields(typed), x.Choices[j].Value)
		}
	}
}
