package law

// Tox is one row of published toxicological values.
//
// Source: tox-values.csv; the opinion or dossier of each row stands in
// Row.Source.
type Tox struct {
	Row                // Key is the substance
	Substance string   // name in the source
	INCI      []string // label names the row is for
	CAS       string
	PoDType   string  // NOAEL, BMDL, LOAEL, …; empty: none entered
	PoD       *Figure // point of departure, mg/kg bw/d; nil: none known, a gap to show
	Study     string  // species, route, length, in words
	Human     bool    // the value comes from people

	DermalPct *Figure // dermal absorption, % of the applied dose; nil: not stated
	OralPct   *Figure // oral absorption, %; nil: not stated
	MW        *Figure // molar mass, g/mol
	LogP      *Figure // octanol-water partition, log10
	Cramer    string  // Cramer class I, II or III; empty: not stated
	// CramerFromMemory says that the class was not read in a source.
	CramerFromMemory bool
	Other            string // limits and remarks of the source

	Typed      *Study // the study in typed form; nil: the row tells it in words alone
	Formula    string // molecular formula that MW was computed from; empty: not stated
	SafeIntake string // intake that the source calls safe, in its words; empty: none
}

var toxColumns = columns{meaning: []string{"substance", "inci", "cas", "pod_type", "value_mg_per_kg_bw_d", "human", "dermal_absorption_pct", "oral_absorption_pct", "mw", "logp", "cramer_class", "seen"},
	remarks: []string{"study", "other", "source", "note"}}

func readTox(file string, data []byte) ([]*Tox, error) {
	return readTable(file, data, toxColumns, func(r *record) *Tox {
		t := &Tox{
			Row: r.head(r.text("substance")), Substance: r.text("substance"), INCI: r.list("inci"), CAS: r.text("cas"),
			PoDType: r.text("pod_type"), PoD: r.figure("value_mg_per_kg_bw_d"), Study: r.text("study"), Human: r.mark("human"),
			DermalPct: r.figure("dermal_absorption_pct"), OralPct: r.figure("oral_absorption_pct"),
			MW: r.figure("mw"), LogP: r.figure("logp"), Other: r.text("other"),
		}
		if t.CAS != "" {
			r.checkNumbers([]string{t.CAS}, nil)
		}
		t.Cramer = r.word("cramer_class", "", "I", "II", "III", "I (memory)", "II (memory)", "III (memory)")
		if n := len(t.Cramer) - len(" (memory)"); n > 0 {
			t.Cramer, t.CramerFromMemory = t.Cramer[:n], true
		}
		if (t.PoD == nil) != (t.PoDType == "") {
			r.fail("pod_type and value_mg_per_kg_bw_d go together")
		}
		return t
	})
}
