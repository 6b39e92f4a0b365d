package law

import (
	"slices"

	"gallipot/ingredients"
)

// How a toxicological value may be used.
const (
	UseAsPoD       = ""             // as a point of departure, as its type says
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
	Row
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
}

var toxUseColumns = columns{meaning: []string{"key", "substance", "inci", "use", "route", "duration_factor", "target", "dermal", "absorption_seen", "seen"},
	remarks: []string{"source", "note"}}

func readToxUse(file string, data []byte) ([]*ToxUse, error) {
	return readTable(file, data, toxUseColumns, func(r *record) *ToxUse {
		return &ToxUse{
			Row: r.head(r.text("key")), Substance: r.must("substance"), INCI: r.text("inci"),
			Use:   r.word("use", UseAsPoD, UseIntake, UseNoThreshold, UseNotNeeded),
			Route: r.word("route", "", "dermal", "inhalation"), DurationFactor: r.text("duration_factor"), Target: r.text("target"),
			DermalUnfit: r.word("dermal", "", "default", "insoluble") == "default", Insoluble: r.text("dermal") == "insoluble",
			AbsorptionSeen: r.word("absorption_seen", append([]string{""}, seenWords...)...),
		}
	})
}

// ToxUses returns how the row of a substance may be used under a label name: the
// readings of the whole row, then those of the name. The substance is that of
// [Tox.Substance], or an INCI name.
func (t *Tables) ToxUses(substance, inci string) []*ToxUse {
	var whole, named []*ToxUse
	look := t.lookups()
	for _, u := range look.toxUse[ingredients.NameKey(substance)] {
		switch {
		case u.INCI == "":
			whole = append(whole, u)
		case t.names().same(inci)[look.toxUseName[u]]:
			named = append(named, u)
		}
	}
	return append(whole, named...)
}

// ToxUseRows returns all readings in the order of the table.
func (t *Tables) ToxUseRows() []*ToxUse { return slices.Clone(t.toxUse) }
