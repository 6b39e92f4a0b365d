package material

import (
	"gallipot/calc/law/rows"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// declaredRow is a name of the list with what the supplier states for it.
type declaredRow struct {
	Name, CAS, Pct string
	Field          string
	Wrong          string // why what was typed was not written
}

// list returns the names a supplier may declare against, each once, with those that are on
// the sheet and on no list behind them.
func list(v *frame.Visit, f *frame.Opened) []declaredRow {
	var declaredRows []declaredRow
	day := v.Shot.Options.Date
	for _, market := range []rows.Market{rows.EU, rows.GB} {
		for _, a := range slices.Concat(law.Allergens(v.Shot.Options.Law, market, day),
			law.AllergensLater(v.Shot.Options.Law, market, day)) {
			if a.Prohibited ||
				slices.ContainsFunc(declaredRows, func(r declaredRow) bool { return sameName(r.Name, a.LabelName) }) {
				continue
			}
			r := declaredRow{Name: a.LabelName}
			if len(a.Members) == 1 {
				r.CAS = a.Members[0].CAS
			}
			declaredRows = append(declaredRows, r)
		}
	}
	slices.SortFunc(declaredRows, func(a, b declaredRow) int {
		return strings.Compare(strings.ToLower(a.Name),
			strings.ToLower(b.Name))
	})
	at := edit.Path{"allergens", "declared"}
	for i := range f.Len(at) {
		name, _ := f.Text(at.At(i).Then("name"))
		pct, _ := f.Text(at.At(i).Then("pct"))
		cas, _ := f.Text(at.At(i).Then("cas"))
		k := slices.IndexFunc(declaredRows, func(r declaredRow) bool {
			return sameName(r.Name, name) &&
				r.Field == ""
		})
		if k < 0 {
			declaredRows = append(declaredRows, declaredRow{Name: name, CAS: cas})
			k = len(declaredRows) - 1
		}
		declaredRows[k].Name, declaredRows[k].Pct, declaredRows[k].Field = name, pct, "set:"+at.At(i).
			Then("pct").String()
		if cas != "" {
			declaredRows[k].CAS = cas
		}
	}
	for i := range declaredRows {
		if declaredRows[i].Field == "" {
			declaredRows[i].Field = "new:" + declaredRows[i].Name
		}
	}
	return declaredRows
}

func sameName(a, b string) bool { return ingredients.NameKey(a) == ingredients.NameKey(b) }

// allergens shows the supplier's declaration with the list as declaredRows to fill.
func allergens(v *frame.Visit) error { return allergensWith(v, nil) }

// allergensWith shows it with what was typed and could not be written, and why.
func allergensWith(v *frame.Visit, wrong error) error {
	sheet, form, err := of(v)
	if err != nil {
		return err
	}
	f, err := v.OpenFile(form)
	if err != nil {
		return err
	}
	against, _ := f.Text(edit.Path{"allergens", "list"})
	dated, _ := f.Text(edit.Path{"allergens", "dated"})
	rows := list(v, f)
	data := map[string]any{"ID": v.R.PathValue("id"), "Base": f.Hash,
		"ReadOnly": v.Site.ReadOnly}
	if wrong != nil {
		against, dated = v.Field("list"), v.Field("dated")
		for i := range rows {
			if _, sent := v.R.PostForm[rows[i].Field]; sent {
				rows[i].Pct = v.Field(rows[i].Field)
			}
			rows[i].Wrong = frame.WrongAt(wrong, rows[i].Field)
		}
		data["Trouble"] = frame.TroubleOf(wrong)
		data["DatedWrong"] = frame.WrongAt(wrong, "/allergens/dated")
	}
	data["Rows"], data["Lists"], data["Dated"] = rows, frame.AllergenLists(against), dated
	return v.Show(frame.Page{Title: "Allergens in " + sheet.Name, Place: "materials",
		Crumb:    &frame.Link{Href: form.Back, Text: sheet.Name},
		Template: "allergenlist", Data: data, Refused: wrong != nil})
}

// saveAllergens writes what was filled in; a row left empty is not declared, and a row
// emptied is taken out.
func saveAllergens(v *frame.Visit) error {
	err := writeAllergens(v)
	if err != nil && frame.TroubleOf(err).Status == http.StatusUnprocessableEntity {
		return allergensWith(v, err)
	}
	return err
}

func writeAllergens(v *frame.Visit) error {
	sheet, form, err := of(v)
	if err != nil {
		return err
	}
	f, err := v.Base(form)
	if err != nil {
		return err
	}
	against, dated := v.Field("list"), frame.WrittenDay(v.Field("dated"))
	if against == "" {
		return frame.Wrong("Which list the supplier declared against is not stated.",
			"Choose it: the paper says so, or the number of its names does.")
	}
	if form.Label, err = fieldNames(); err != nil {
		return err
	}
	at := edit.Path{"allergens"}
	var edits []edit.Edit
	if old, _ := f.Text(at.Then("list")); old != against {
		edits = append(edits, edit.Set(at.Then("list"), edit.Typed(against)))
	}
	if old, _ := f.Text(at.Then("dated")); dated != "" && old != dated {
		edits = append(edits, edit.Set(at.Then("dated"), edit.Typed(dated)))
	}
	var gone []int
	wrong := &frame.Refused{At: map[string]string{}}
	var names []string
	for i, r := range list(v, f) {
		typed := v.Field(r.Field)
		if typed != "" {
			if _, err := exact.ParseAmount(typed); err != nil {
				t := frame.TroubleOf(err)
				wrong.At[r.Field] = r.Name + ": " + t.What + " " + t.Fix
				names = append(names, r.Name)
				continue
			}
		}
		switch {
		case typed == r.Pct:
		case strings.HasPrefix(r.Field, "new:"):
			value := edit.Group().With("name", edit.Text(r.Name))
			if r.CAS != "" {
				value = value.With("cas", edit.Typed(r.CAS))
			}
			edits = append(edits, edit.Insert(at.Then("declared", "-"), value.With("pct", edit.Typed(typed))))
		case typed == "":
			gone = append(gone, i)
		default:
			path, err := edit.ParsePath(strings.TrimPrefix(r.Field, "set:"))
			if err != nil {
				return err
			}
			edits = append(edits, edit.Set(path, edit.Typed(typed)))
		}
	}
	if len(names) > 0 {
		wrong.Trouble = *frame.TroubleOf(frame.Wrong("The declaration is not written yet: see "+
			strings.Join(names, ", ")+".", "Put right what stands there; all that was typed stays in its rows."))
		return wrong
	}
	edits = append(edits, takenOut(list(v, f), gone)...)
	if !f.Has(at.Then("declared")) &&
		!slices.ContainsFunc(edits, func(e edit.Edit) bool { return len(e.Path()) > 2 }) {
		edits = append(edits, edit.Set(at.Then("declared"), edit.List()))
	}
	form.Back = "/material/" + url.PathEscape(v.R.PathValue("id"))
	return v.SaveEdits(form, f, history.Label{Thing: "allergens of " + sheet.Name}, edits, nil)
}

// takenOut removes entries from behind, so that the places of those before stay.
func takenOut(declaredRows []declaredRow, gone []int) []edit.Edit {
	var paths []edit.Path
	for _, i := range gone {
		if p, err := edit.ParsePath(strings.TrimPrefix(declaredRows[i].Field, "set:")); err == nil {
			paths = append(paths, p[:3])
		}
	}
	slices.SortFunc(paths, func(a, b edit.Path) int {
		if len(a[2]) != len(b[2]) {
			return len(b[2]) - len(a[2])
		}
		return strings.Compare(b[2], a[2])
	})
	var edits []edit.Edit
	for _, p := range paths {
		edits = append(edits, edit.Remove(p))
	}
	return edits
}
