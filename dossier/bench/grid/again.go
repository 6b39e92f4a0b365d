package grid

import (
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
)

// again puts what was typed back into the cells of a grid that could not be written, and says
// at each what is wrong with it.
func (v *view) again(visit *frame.Visit, err error) {
	if err == nil {
		return
	}
	cell := func(path edit.Path, value, wrong *string) {
		if typed, sent := visit.Typed(path.String()); sent {
			*value = typed
		}
		*wrong = frame.WrongAt(err, path.String())
	}
	for i := range v.Phases {
		ph := &v.Phases[i]
		cell(ph.Path.Then("name"), &ph.Name, &ph.NameWrong)
		cell(ph.Path.Then("heat_c"), &ph.Heat, &ph.HeatWrong)
		for j := range ph.Lines {
			r := &ph.Lines[j]
			if r.Rest {
				r.Written = "q.s."
			}
			cell(r.Path.Then("amount"), &r.Written, &r.WrittenWrong)
			cell(r.Path.Then("ingredient"), &r.Name, &r.NameWrong)
			r.Rest = r.Rest && r.Written == "q.s."
			for _, x := range r.Fills {
				for k := range x.Parts {
					p := &x.Parts[k]
					cell(p.Path, &p.Name, &p.NameWrong)
					if p.SharePath != nil {
						cell(p.SharePath, &p.Share, &p.ShareWrong)
					}
				}
			}
		}
	}
	for i := range v.Adds {
		r := &v.Adds[i]
		cell(r.Path.Then("parts_per_100"), &r.Written, &r.WrittenWrong)
		cell(r.Path.Then("ingredient"), &r.Name, &r.NameWrong)
	}
}

// label is what the grid calls the field of a value.
func label(p edit.Path) string {
	if len(p) == 0 {
		return ""
	}
	names := map[string]string{"amount": "Written", "share": "Share", "heat_c": "Heat to", "name": "Name of the phase",
		"parts_per_100": "Parts to 100", "ingredient": "Raw material"}
	return names[p[len(p)-1]]
}
