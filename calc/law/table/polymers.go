package table

import (
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
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

var polymerColumns = rows.Columns{Meaning: []string{"inci", "kind", "seen"}, Remarks: []string{"source", "note"}}

func readPolymers(file string, data []byte) ([]*Polymer, error) {
	return rows.ReadTable(file, data, polymerColumns, func(r *rows.Record) *Polymer {
		return &Polymer{Row: r.Head(r.Must("inci")), Kind: r.Word("kind", PolymerBead, polymerPowder, PolymerGlitter, PolymerCapsule, polymerFilm)}
	})
}

// PolymerOf returns what is known of a synthetic polymer by its name, nil where
// the name is none of the table.
func (t *Tables) PolymerOf(inci string) *Polymer { return t.byPolymer[ingredients.NameKey(inci)] }
