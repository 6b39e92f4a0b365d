package safety

import (
	"gallipot/calc/law/rows"
)

// How a toxicological value may be used.
const (
	useAsPoD       = ""             // as a point of departure, as its type says
	UseIntake      = "intake"       // a safe intake already, not to be divided again
	UseNoThreshold = "no-threshold" // no dose without effect is assumed
	UseNotNeeded   = "not-needed"   // a margin has no meaning for the substance
)

// ToxUse is this project's reading of a toxicological row: what its free text
// says on how the value may be used. It holds no figure; factors and targets
// are keys of facts.csv.
//
// Source: tox-use.csv.
type ToxUse struct {
	rows.Row
	Substance      string // Tox.Substance; an INCI name where no toxicological row is meant
	INCI           string // the label name the row is for; empty: the whole row
	Use            string
	Route          string // dermal or inhalation; empty: oral
	DurationFactor string // fact by which a short study is divided; empty: none
	Target         string // fact with the margin that the source accepts; empty: the general one
	// DermalUnfit says that the dermal absorption of the row does not hold for
	// this name, so the default is used.
	DermalUnfit bool
	// Insoluble says that it is insoluble particles: the default absorption, which is
	// for substances in solution, does not hold, and no uptake through intact skin is
	// assumed. It says nothing of the lungs, the mouth or a nano form.
	Insoluble bool
	// AbsorptionSeen is the mark of the row's absorption figures where it differs
	// from that of its value; empty: the same.
	AbsorptionSeen string
	Reason         string // why it is used so, in words; "" where Use says all
}

var ToxUseColumns = rows.Columns{Meaning: []string{"key", "substance", "inci", "use", "route",
	"duration_factor", "target", "dermal", "absorption_seen", "seen"},
	Remarks: []string{"reason", "source", "note"}}

func ReadToxUse(file string, text string) ([]*ToxUse, error) {
	return rows.ReadTable(file, text, ToxUseColumns, func(r *rows.Record) *ToxUse {
		u := &ToxUse{
			Row: r.Head(r.Text("key")), Substance: r.Must("substance"), INCI: r.Text("inci"),
			Use: r.Word("use", useAsPoD, UseIntake, UseNoThreshold, UseNotNeeded),
			Route: r.Word("route", "", "dermal",
				"inhalation"), DurationFactor: r.Text("duration_factor"), Target: r.Text("target"),
			DermalUnfit: r.Word("dermal", "", "default",
				"insoluble") == "default", Insoluble: r.Text("dermal") == "insoluble",
			AbsorptionSeen: r.Word("absorption_seen", append([]string{""}, rows.SeenWords...)...),
			Reason:         r.Text("reason"),
		}
		if why := u.Use == UseNoThreshold || u.Use == UseNotNeeded; why != (u.Reason != "") {
			r.Fail("reason goes with use no-threshold and not-needed")
		}
		return u
	})
}
