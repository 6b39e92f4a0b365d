package safety

import (
	"gallipot/calc/law/rows"
)

// Study is how a toxicological value was found, typed.
type Study struct {
	Species    string // rat, mouse, dog, rabbit or human; empty: not stated
	Route      string // oral or dermal; empty: not stated
	Days       int    // dosing in days, the shortest where groups differ; 0: not stated
	Kind       string // subchronic, chronic, short-term, reproduction, screening, volunteers, acute or unstated
	ReadAcross string // substance that was tested instead; empty: the substance itself
	// AtLeast says that the source gives the value as a lower bound.
	AtLeast bool
	// GroupFigure says that the agency may have set the value for a group from one
	// tested member: its output is to be read before use.
	GroupFigure bool
	Others      []rows.Figure // further points of departure of the source, mg/kg bw/d
}

// Human says whether the value comes from people.
func (s Study) Human() bool { return s.Species == "human" }

var ToxMoreColumns = rows.Columns{
	Meaning: []string{
		"substance", "inci", "cas", "pod_type", "value_mg_per_kg_bw_d", "at_least", "species", "route",
		"days", "study_kind", "read_across", "other_points", "group_figure", "mw", "formula", "logp",
		"cramer_class", "seen",
	},
	Remarks: []string{"study", "safe_intake", "other", "source", "note"},
}

// ReadToxMore reads values whose absorption was not read: the columns are not in
// the table, so the defaults of guidance hold.
func ReadToxMore(file string, text string) ([]*Tox, error) {
	return rows.ReadTable(file, text, ToxMoreColumns, func(r *rows.Record) *Tox {
		t := &Tox{
			Row: r.Head(r.Must("substance")), Substance: r.Text("substance"), INCI: r.Bars("inci"), CAS: r.Text("cas"),
			PoDType: r.Must("pod_type"), PoD: r.Figure("value_mg_per_kg_bw_d"), Study: r.Must("study"),
			MW: r.Figure("mw"), LogP: r.Figure("logp"),
			Cramer: r.Word("cramer_class", "", "I", "II",
				"III"), Other: r.Text("other"), Formula: r.Text("formula"), SafeIntake: r.Text("safe_intake"),
		}
		if t.CAS != "" {
			r.CheckNumbers([]string{t.CAS}, nil)
		}
		if t.PoD == nil {
			r.Fail("value_mg_per_kg_bw_d is empty")
		}
		t.Typed = &Study{
			Species: r.Word("species", "rat", "mouse", "dog", "rabbit", "human"), Route: r.Word("route", "oral",
				"dermal", "unstated"),
			Kind: r.Word("study_kind", "subchronic", "chronic", "short-term", "reproduction", "screening",
				"volunteers", "acute", "unstated"),
			Days: r.Whole("days"), ReadAcross: r.Text("read_across"), AtLeast: r.Yes("at_least"),
			GroupFigure: r.Yes("group_figure"),
		}
		for _, item := range r.List("other_points") {
			f, ok := rows.ParseFigure(item)
			if !ok {
				r.Fail("other_points: %q is not a number", item)
			}
			t.Typed.Others = append(t.Typed.Others, f)
		}
		return t
	})
}
