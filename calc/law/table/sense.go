package table

import (
	"math"
	"slices"
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/ingredients"
)

var usePhraseColumns = rows.Columns{Meaning: []string{"phrase", "use", "seen"}, Remarks: []string{"source", "note"}}

var acidColumns = rows.Columns{Meaning: []string{"key", "names", "pka", "seen"}, Remarks: []string{"source", "note"}}

var areaWordColumns = rows.Columns{Meaning: []string{"word", "areas", "seen"}, Remarks: []string{"source", "note"}}

// usePhrase is wording that says whether a product stays on or is washed off.
//
// Source: use-words.csv.
type usePhrase struct {
	rows.Row
	Phrase   string // small letters
	RinseOff bool
}

func readUsePhrases(file string, data []byte) ([]*usePhrase, error) {
	return rows.ReadTable(file, data, usePhraseColumns, func(r *rows.Record) *usePhrase {
		return &usePhrase{Row: r.Head(r.Text("phrase")), Phrase: strings.ToLower(r.Must("phrase")), RinseOff: r.Word("use", "rinse-off", "leave-on") == "rinse-off"}
	})
}

// UsePhrase returns the longest phrase of the table that stands in a text, or nil.
func (t *Tables) UsePhrase(text string) *usePhrase {
	text = " " + strings.Join(strings.Fields(strings.ToLower(text)), " ") + " "
	var best *usePhrase
	for _, p := range t.usePhrases {
		if strings.Contains(text, " "+p.Phrase) && (best == nil || len(p.Phrase) > len(best.Phrase)) {
			best = p
		}
	}
	return best
}

// acidPreservative is a weak acid that preserves in its undissociated form, with
// its salts.
//
// Source: acid-preservatives.csv.
type acidPreservative struct {
	rows.Row
	Names []string
	PKa   float64
	keys  []string
}

func readAcidPreservatives(file string, data []byte) ([]*acidPreservative, error) {
	return rows.ReadTable(file, data, acidColumns, func(r *rows.Record) *acidPreservative {
		r.Must("pka")
		a := &acidPreservative{Row: r.Head(r.Text("key")), Names: r.List("names")}
		if n := r.Num("pka"); n != nil {
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
func (a *acidPreservative) UndissociatedPct(ph float64) float64 {
	return 100 / (1 + math.Pow(10, ph-a.PKa))
}

// AcidPreservative returns the row of a name, or nil.
func (t *Tables) AcidPreservative(inci string) *acidPreservative {
	key := ingredients.NameKey(inci)
	for _, a := range t.acids {
		if slices.Contains(a.keys, key) {
			return a
		}
	}
	return nil
}

// areaWord is a customary word for where a product is used, with the body areas
// of the conditions that it means.
//
// Source: area-words.csv.
type areaWord struct {
	rows.Row
	Word  string
	Areas []string
}

func readAreaWords(file string, data []byte) ([]*areaWord, error) {
	return rows.ReadTable(file, data, areaWordColumns, func(r *rows.Record) *areaWord {
		return &areaWord{Row: r.Head(r.Text("word")), Word: r.Must("word"), Areas: r.List("areas")}
	})
}

// AreaWords returns the customary words for body areas, in the order of the table.
func (t *Tables) AreaWords() []*areaWord { return slices.Clone(t.areaWords) }
