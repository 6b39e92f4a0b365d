package filing

import (
	"strings"

	"gallipot/dossier/edit"
	"gallipot/dossier/transcribe/reading"
)

// takes says whether a row of a declaration belongs into a sheet: a listed allergen that is
// no part of a row that is there. A limit of detection is no content of a prohibited one.
func takes(a reading.Allergen) bool {
	return a.Key != "" && a.PartOf == "" && !(a.Banned && a.Status == "not-detected")
}

// undecided says whether a row has no content that could be written: not detected or traces
// without a limit, nothing stated, or asked about.
func undecided(a reading.Allergen) bool {
	return a.Ask != "" || a.High == nil || contentText(a) == ""
}

// declaredRows are the rows of a declaration that a sheet takes. Since a sheet counts a name
// of its list that is not declared as absent, an undecided row is among them, without a
// content; where another row of the same name is decided, that one stands alone.
func (f *Filing) declaredRows() []reading.Allergen {
	if f.Reading.Allergens == nil {
		return nil
	}
	sure := map[string]bool{}
	for _, a := range f.Reading.Allergens.Rows {
		if takes(a) && !undecided(a) {
			sure[fieldKey(a)] = true
		}
	}
	var out []reading.Allergen
	for _, a := range f.Reading.Allergens.Rows {
		if takes(a) && !(undecided(a) && sure[fieldKey(a)]) {
			out = append(out, a)
		}
	}
	if len(sure) == 0 {
		return nil // nothing that could be declared: all of it is asked about
	}
	return out
}

// contentText is the content of a row as a sheet has it; "" where it is undecided.
func contentText(a reading.Allergen) string {
	if a.Ask != "" || a.High == nil {
		return ""
	}
	return amountText(a.Low, a.High, a.LowIn, a.HighIn)
}

func fieldKey(a reading.Allergen) string {
	if a.MemberOf != "" {
		return idOf(a.Name)
	}
	return a.Key
}

func rowName(a reading.Allergen) string {
	if a.Name == "" {
		return strings.ReplaceAll(a.Key, "-", " ")
	}
	return a.Name
}

func allergenValue(a reading.Allergen) edit.Value {
	v := edit.Group().With("name", edit.Text(rowName(a)))
	if len(a.CAS) > 0 {
		v = v.With("cas", edit.Text(a.CAS[0]))
	}
	if undecided(a) {
		return v.With("pct", edit.Value{})
	}
	return v.With("pct", edit.Typed(contentText(a)))
}

func (f *Filing) declaration(rows []reading.Allergen) edit.Value {
	var items []edit.Value
	for _, a := range rows {
		items = append(items, allergenValue(a))
	}
	v := edit.Group().With("list", edit.Text(f.listKey()))
	if d := f.day(); d != "" {
		v = v.With("dated", edit.Typed(d))
	}
	return v.With("declared", edit.List(items...))
}
