package safety

import (
	"gallipot/calc/law/rows"
)

// Tox is one row of published toxicological values.
//
// Source: tox-values.csv; the opinion or dossier of each row stands in
// Row.Source.
type Tox struct {
	rows.Row           // Key is the substance
	Substance string   // name in the source
	INCI      []string // label names the row is for
	CAS       string
	PoDType   string       // NOAEL, BMDL, LOAEL, …; empty: none entered
	PoD       *rows.Figure // point of departure, mg/kg bw/d; nil: none known, a gap to show
	Study     string       // species, route, length, in words
	Human     bool         // the value comes from people

	DermalPct *rows.Figure // dermal absorption, % of the applied dose; nil: not stated
	OralPct   *rows.Figure // oral absorption, %; nil: not stated
	MW        *rows.Figure // molar mass, g/mol
	LogP      *rows.Figure // octanol-water partition, log10
	Cramer    string       // Cramer class I, II or III; empty: not stated
	// CramerFromMemory says that the class was not read in a source.
	CramerFromMemory bool
	Other            string // limits and remarks of the source

	Typed      *Study // the study in typed form; nil: the row tells it in words alone
	Formula    string // molecular formula that MW was computed from; empty: not stated
	SafeIntake string // intake that the source calls safe, in its words; empty: none
}

var ToxColumns = rows.Columns{Meaning: []string{"substance", "inci", "cas", "pod_type",
	"value_mg_per_kg_bw_d", "human", "dermal_absorption_pct", "oral_absorption_pct", "mw", "logp",
	"cramer_class", "seen"},
	Remarks: []string{"study", "other", "source", "note"}}

func ReadTox(file string, text string) ([]*Tox, error) {
	return rows.ReadTable(file, text, ToxColumns, func(r *rows.Record) *Tox {
		t := &Tox{
			Row: r.Head(r.Text("substance")), Substance: r.Text("substance"), INCI: r.List("inci"), CAS: r.Text("cas"),
			PoDType: r.Text("pod_type"), PoD: r.Figure("value_mg_per_kg_bw_d"), Study: r.Text("study"),
			Human:     r.Mark("human"),
			DermalPct: r.Figure("dermal_absorption_pct"), OralPct: r.Figure("oral_absorption_pct"),
			MW: r.Figure("mw"), LogP: r.Figure("logp"), Other: r.Text("other"),
		}
		if t.CAS != "" {
			r.CheckNumbers([]string{t.CAS}, nil)
		}
		t.Cramer = r.Word("cramer_class", "", "I", "II", "III", "I (memory)", "II (memory)", "III (memory)")
		if n := len(t.Cramer) - len(" (memory)"); n > 0 {
			t.Cramer, t.CramerFromMemory = t.Cramer[:n], true
		}
		if (t.PoD == nil) != (t.PoDType == "") {
			r.Fail("pod_type and value_mg_per_kg_bw_d go together")
		}
		return t
	})
}
