package trade

import (
	"gallipot/calc/law/rows"
)

// Kinds of synthetic polymer, by the form in which it is mostly bought.
const (
	PolymerBead    = "bead"    // particles that scrub
	polymerPowder  = "powder"  // fine solid particles
	PolymerGlitter = "glitter" // cut film
	PolymerCapsule = "capsule" // wall of capsules
	polymerFilm    = "film"    // dissolved or dispersed and film-forming as sold, rarely a particle
)

// Polymer is a synthetic polymer that is bought as solid particles, or may be:
// the name does not settle it, so the supplier is asked.
//
// Source: polymers.csv; common practice.
type Polymer struct {
	rows.Row // Key is the ingredient name
	Kind     string
}

var PolymerColumns = rows.Columns{Meaning: []string{"inci", "kind", "seen"},
	Remarks: []string{"source", "note"}}

func ReadPolymers(file string, text string) ([]*Polymer, error) {
	return rows.ReadTable(file, text, PolymerColumns, func(r *rows.Record) *Polymer {
		return &Polymer{Row: r.Head(r.Must("inci")), Kind: r.Word("kind", PolymerBead, polymerPowder,
			PolymerGlitter, PolymerCapsule, polymerFilm)}
	})
}
