package law

import (
	"math"
	"slices"
	"strings"

	"gallipot/ingredients"
)

var usePhraseColumns = columns{meaning: []string{"phrase", "use", "seen"}, remarks: []string{"source", "note"}}

var acidColumns = columns{meaning: []string{"key", "names", "pka", "seen"}, remarks: []string{"source", "note"}}

var areaWordColumns = columns{meaning: []string{"word", "areas", "seen"}, remarks: []string{"source", "note"}}

// UsePhrase is wording that says whether a product stays on or is washed off.
//
// Source: use-words.csv.
type UsePhrase struct {
	Row
	Phrase   string // small letters
	RinseOff bool
}

func readUsePhrases(file string, data []byte) ([]*UsePhrase, error) {
	return readTable(file, data, usePhraseColumns, func(r *record) *UsePhrase {
		return &UsePhrase{Row: r.head(r.text("phrase")), Phrase: strings.ToLower(r.must("phrase")), RinseOff: r.word("use", "rinse-off", "leave-on") == "rinse-off"}
	})
}

// UsePhrase returns the longest phrase of the table that stands in a text, or nil.
func (t *Tables) UsePhrase(text string) *UsePhrase {
	text = " " + strings.Join(strings.Fields(strings.ToLower(text)), " ") + " "
	var best *UsePhrase
	for _, p := range t.usePhrases {
		if strings.Contains(text, " "+p.Phrase) && (best == nil || len(p.Phrase) > len(best.Phrase)) {
			best = p
		}
	}
	return best
}

// AcidPreservative is a weak acid that preserves in its undissociated form, with
// its salts.
//
// Source: acid-preservatives.csv.
type AcidPreservative struct {
	Row
	Names []string
	PKa   float64
	keys  []string
}

func readAcidPreservatives(file string, data []byte) ([]*AcidPreservative, error) {
	return readTable(file, data, acidColumns, func(r *record) *AcidPreservative {
		r.must("pka")
		a := &AcidPreservative{Row: r.head(r.text("key")), Names: r.list("names")}
		if n := r.num("pka"); n != nil {
			a.PKa = n.Float()
		}
		for _, n := range a.Names {
			a.keys = append(a.keys, ingredients.NameKey(n))
		}
		return a
	})
}

// UndissociatedPct is the share of the acid that is undissociated at a pH, %.
//
//	share = 100 / (1 + 10^(pH − pKa))
//
// Source: Henderson and Hasselbalch; activities taken as 1.
func (a *AcidPreservative) UndissociatedPct(ph float64) float64 {
	return 100 / (1 + math.Pow(10, ph-a.PKa))
}

// AcidPreservative returns the row of a name, or nil.
func (t *Tables) AcidPreservative(inci string) *AcidPreservative {
	key := ingredients.NameKey(inci)
	for _, a := range t.acids {
		if slices.Contains(a.keys, key) {
			return a
		}
	}
	return nil
}

// AreaWord is a customary word for where a product is used, with the body areas
// of the conditions that it means.
//
// Source: area-words.csv.
type AreaWord struct {
	Row
	Word  string
	Areas []string
}

func readAreaWords(file string, data []byte) ([]*AreaWord, error) {
	return readTable(file, data, areaWordColumns, func(r *record) *AreaWord {
		return &AreaWord{Row: r.head(r.text("word")), Word: r.must("word"), Areas: r.list("areas")}
	})
}

// AreaWords returns the customary words for body areas, in the order of the table.
func (t *Tables) AreaWords() []*AreaWord { return slices.Clone(t.areaWords) }
