package law

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
	Others      []Figure // further points of departure of the source, mg/kg bw/d
}

// Human says whether the value comes from people.
func (s Study) Human() bool { return s.Species == "human" }

var toxMoreColumns = columns{
	meaning: []string{
		"substance", "inci", "cas", "pod_type", "value_mg_per_kg_bw_d", "at_least", "species", "route",
		"days", "study_kind", "read_across", "other_points", "group_figure", "mw", "formula", "logp",
		"cramer_class", "seen",
	},
	remarks: []string{"study", "safe_intake", "other", "source", "note"},
}

// readToxMore reads values whose absorption was not read: the columns are not in
// the table, so the defaults of guidance hold.
func readToxMore(file string, data []byte) ([]*Tox, error) {
	return readTable(file, data, toxMoreColumns, func(r *record) *Tox {
		t := &Tox{
			Row: r.head(r.must("substance")), Substance: r.text("substance"), INCI: r.bars("inci"), CAS: r.text("cas"),
			PoDType: r.must("pod_type"), PoD: r.figure("value_mg_per_kg_bw_d"), Study: r.must("study"), MW: r.figure("mw"), LogP: r.figure("logp"),
			Cramer: r.word("cramer_class", "", "I", "II", "III"), Other: r.text("other"), Formula: r.text("formula"), SafeIntake: r.text("safe_intake"),
		}
		if t.CAS != "" {
			r.checkNumbers([]string{t.CAS}, nil)
		}
		if t.PoD == nil {
			r.fail("value_mg_per_kg_bw_d is empty")
		}
		t.Typed = &Study{
			Species: r.word("species", "rat", "mouse", "dog", "rabbit", "human"), Route: r.word("route", "oral", "dermal", "unstated"),
			Kind: r.word("study_kind", "subchronic", "chronic", "short-term", "reproduction", "screening", "volunteers", "acute", "unstated"),
			Days: r.whole("days"), ReadAcross: r.text("read_across"), AtLeast: r.yes("at_least"), GroupFigure: r.yes("group_figure"),
		}
		for _, item := range r.list("other_points") {
			f, ok := parseFigure(item)
			if !ok {
				r.fail("other_points: %q is not a number", item)
			}
			t.Typed.Others = append(t.Typed.Others, f)
		}
		return t
	})
}
