package law

import "gallipot/ingredients"

// Kinds of synthetic polymer, by the form in which it is mostly bought.
const (
	PolymerBead    = "bead"    // particles that scrub
	PolymerPowder  = "powder"  // fine solid particles
	PolymerGlitter = "glitter" // cut film
	PolymerCapsule = "capsule" // wall of capsules
	PolymerFilm    = "film"    // dissolved or dispersed and film-forming as sold, rarely a particle
)

// Polymer is a synthetic polymer that is bought as solid particles, or may be:
// the name does not settle it, so the supplier is asked.
//
// Source: polymers.csv; common practice.
type Polymer struct {
	Row  // Key is the ingredient name
	Kind string
}

var polymerColumns = columns{meaning: []string{"inci", "kind", "seen"}, remarks: []string{"source", "note"}}

func readPolymers(file string, data []byte) ([]*Polymer, error) {
	return readTable(file, data, polymerColumns, func(r *record) *Polymer {
		return &Polymer{Row: r.head(r.must("inci")), Kind: r.word("kind", PolymerBead, PolymerPowder, PolymerGlitter, PolymerCapsule, PolymerFilm)}
	})
}

// PolymerOf returns what is known of a synthetic polymer by its name, nil where
// the name is none of the table.
func (t *Tables) PolymerOf(inci string) *Polymer { return t.byPolymer[ingredients.NameKey(inci)] }
