package material

import (
	"cmp"
	_ "embed"
	"net/http"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/ingredients"
)

// rowTable names the columns of the tables of a sheet that are no plain lists; see
// frame.LabelsOfLists.
//
//go:embed rows.csv
var rowTable string

// fieldNames are what the page calls the fields of a sheet.
func fieldNames() (func(edit.Path) string, error) {
	fields, err := frame.LabelsOf(fieldTable)
	if err != nil {
		return nil, err
	}
	rows, err := frame.LabelsOfLists(rowTable)
	if err != nil {
		return nil, err
	}
	return func(p edit.Path) string {
		if len(p) == 3 && p[0] == "fragrance_limits" && p[1] == "max_pct" {
			return "Category " + p[2]
		}
		if len(p) == 2 && p[0] == "allergens" { // the head of the declaration, and no row of it
			return rows(append(edit.Path{"-"}, p...))
		}
		return cmp.Or(fields(p), rows(p))
	}, nil
}

// refusal is what was sent to the page of a material and could not be taken.
type refusal struct {
	unwritten error  // of fields of the sheet
	added     error  // of a new row
	what      string // the row's kind
	sent      func(name string) string
	paste     pasted
}

// showAgain shows the page with what was sent and could not be taken.
func showAgain(v *frame.Visit, sheet *ingredients.Sheet, form frame.Form, no refusal) error {
	f, err := v.OpenFile(form)
	if err != nil {
		return err
	}
	return showWith(v, sheet, f, form, no)
}

// refusable says whether the page is shown again for an error, with the form as it was sent.
func refusable(v *frame.Visit, err error) bool {
	return err != nil && !v.Scripted() && frame.TroubleOf(err).Status == http.StatusUnprocessableEntity
}

// trouble is what is said at the head of the sheet; nil where nothing was refused.
func (no refusal) trouble() *frame.Trouble {
	if no.unwritten == nil {
		return nil
	}
	return frame.TroubleOf(no.unwritten)
}

// typed is what was typed into a field, or else its value.
func (no refusal) typed(v *frame.Visit, path, value string) string {
	if no.unwritten != nil {
		if typed, sent := v.Typed(path); sent {
			return typed
		}
	}
	return value
}

// again puts what was typed back into rows, and what is wrong with it.
func (no refusal) again(v *frame.Visit, rows []line) []line {
	if no.unwritten == nil {
		return rows
	}
	for i := range rows {
		l := &rows[i]
		l.Wrong = map[string]string{}
		for key, value := range map[string]*string{"inci": &l.Name, "name": &l.Name, "cas": &l.CAS, "ec": &l.EC,
			"pct": &l.Pct, "amount": &l.Pct} {
			*value = no.typed(v, l.Path+"/"+key, *value)
			l.Wrong[key] = frame.WrongAt(no.unwritten, l.Path+"/"+key)
		}
		l.Pct = no.typed(v, l.Path, l.Pct) // of a line of the certificate
		l.Wrong["line"] = frame.WrongAt(no.unwritten, l.Path)
	}
	return rows
}

// Wrong is why a field of the sheet was not written.
func (no refusal) Wrong(path string) string { return frame.WrongAt(no.unwritten, path) }

// Value is what was typed into a field of the form for a kind of new row.
func (no refusal) Value(what, name string) string {
	if no.added == nil || no.what != what {
		return ""
	}
	return no.sent(name)
}

// Why says why a row of a kind was not added.
func (no refusal) Why(what string) *frame.Trouble {
	if no.added == nil || no.what != what {
		return nil
	}
	return frame.TroubleOf(no.added)
}
