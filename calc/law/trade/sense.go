package trade

import (
	"math"
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/ingredients"
)

var UsePhraseColumns = rows.Columns{Meaning: []string{"phrase", "use", "seen"},
	Remarks: []string{"source", "note"}}

var AcidColumns = rows.Columns{Meaning: []string{"key", "names", "pka", "seen"},
	Remarks: []string{"source", "note"}}

var AreaWordColumns = rows.Columns{Meaning: []string{"word", "areas", "seen"},
	Remarks: []string{"source", "note"}}

// UsePhrase is wording that says whether a product stays on or is washed off.
//
// Source: use-words.csv.
type UsePhrase struct {
	rows.Row
	Phrase   string // small letters
	RinseOff bool
}

func ReadUsePhrases(file string, text string) ([]*UsePhrase, error) {
	return rows.ReadTable(file, text, UsePhraseColumns, func(r *rows.Record) *UsePhrase {
		return &UsePhrase{Row: r.Head(r.Text("phrase")), Phrase: strings.ToLower(r.Must("phrase")),
			RinseOff: r.Word("use", "rinse-off", "leave-on") == "rinse-off"}
	})
}

// AcidPreservative is a weak acid that preserves in its undissociated form, with
// its salts.
//
// Source: acid-preservatives.csv.
type AcidPreservative struct {
	rows.Row
	Names []string
	PKa   float64
	Keys  []string
}

func ReadAcidPreservatives(file string, text string) ([]*AcidPreservative, error) {
	return rows.ReadTable(file, text, AcidColumns, func(r *rows.Record) *AcidPreservative {
		r.Must("pka")
		a := &AcidPreservative{Row: r.Head(r.Text("key")), Names: r.List("names")}
		if n := r.Num("pka"); n != nil {
			a.PKa = n.Float()
		}
		for _, n := range a.Names {
			a.Keys = append(a.Keys, ingredients.NameKey(n))
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

// AreaWord is a customary word for where a product is used, with the body areas
// of the conditions that it means.
//
// Source: area-words.csv.
type AreaWord struct {
	rows.Row
	Word  string
	Areas []string
}

func ReadAreaWords(file string, text string) ([]*AreaWord, error) {
	return rows.ReadTable(file, text, AreaWordColumns, func(r *rows.Record) *AreaWord {
		return &AreaWord{Row: r.Head(r.Text("word")), Word: r.Must("word"), Areas: r.List("areas")}
	})
}
