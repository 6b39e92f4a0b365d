package law

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/ingredients"
)

// Kinds of fat, by what it gives beside soap.
const (
	FatGlyceride = "glyceride" // soap and glycerin
	FatAcid      = "acid"      // soap and water
	FatWax       = "wax"       // soap and alcohols; reacts slowly and in part
)

// Fat is one oil, fat or wax with its saponification value and the names of
// its soaps.
//
// Source: saponification.csv; kind after the table's own notes.
type Fat struct {
	Row
	Name string
	INCI string   // names of one fat are joined by " / "
	CAS  []string // empty: none given
	Kind string

	// Saponification value in mg KOH for 1 g of fat. nil: not stated.
	SVMin, SVMax *ingredients.Num

	FattyAcids    string // typical pattern, % of fatty acids, in words
	SoapSodium    string // INCI name of the sodium soap; several joined by ";", none: not confirmed
	SoapPotassium string // INCI name of the potassium soap; likewise
}

var fatColumns = columns{meaning: []string{"key", "inci", "cas", "kind", "sv_min_mg_koh_g", "sv_max_mg_koh_g", "fatty_acids_typical_pct", "soap_inci_sodium", "soap_inci_potassium", "seen"},
	remarks: []string{"oil_name", "source", "note"}}

func readFats(file string, data []byte) ([]*Fat, error) {
	return readTable(file, data, fatColumns, func(r *record) *Fat {
		f := &Fat{
			Row: r.head(r.text("key")), Name: r.must("oil_name"), INCI: r.must("inci"), CAS: r.list("cas"),
			Kind:  r.word("kind", FatGlyceride, FatAcid, FatWax),
			SVMin: r.num("sv_min_mg_koh_g"), SVMax: r.num("sv_max_mg_koh_g"), FattyAcids: r.text("fatty_acids_typical_pct"),
			SoapSodium: r.text("soap_inci_sodium"), SoapPotassium: r.text("soap_inci_potassium"),
		}
		r.checkNumbers(f.CAS, nil)
		if f.SVMin != nil && f.SVMax != nil && f.SVMax.Less(*f.SVMin) {
			r.fail("sv_min_mg_koh_g is above sv_max_mg_koh_g")
		}
		for _, names := range []string{f.SoapSodium, f.SoapPotassium} {
			if n := len(splitList(names)); n > 1 && len(f.acidShares()) < n {
				r.fail("%q names %d soaps, fatty_acids_typical_pct has %d contents", names, n, len(f.acidShares()))
			}
		}
		return f
	})
}

// Names returns the INCI names of the fat.
func (f *Fat) Names() []string {
	if before, after, two := strings.Cut(f.INCI, " / "); two {
		return []string{before, after}
	}
	return []string{f.INCI}
}

// SoapShare is one soap of a fat and its share of the fat's soap.
type SoapShare struct {
	INCI string
	Pct  ingredients.Range // % of the fat's soap, as the pattern of its acids has it; not tightened
}

// Soaps returns the soaps that the fat gives with sodium or with potassium
// hydroxide; none where the name is not confirmed. Of several soaps the shares
// are those of the first acids of the pattern, in the same order.
func (f *Fat) Soaps(potassium bool) []SoapShare {
	names := splitList(f.SoapSodium)
	if potassium {
		names = splitList(f.SoapPotassium)
	}
	if len(names) == 1 {
		return []SoapShare{{names[0], ingredients.Exactly(ingredients.Int(100))}}
	}
	var out []SoapShare
	for i, share := range f.acidShares() {
		if i < len(names) {
			out = append(out, SoapShare{names[i], share})
		}
	}
	return out
}

// acidForm matches one content of a pattern such as "C18:0 40-60" or "C8 50-65".
var acidForm = regexp.MustCompile(`^\S+ ([0-9.]+(?:-[0-9.]+)?)$`)

func (f *Fat) acidShares() []ingredients.Range {
	var out []ingredients.Range
	for item := range strings.SplitSeq(f.FattyAcids, ";") {
		m := acidForm.FindStringSubmatch(strings.TrimSpace(item))
		if m == nil {
			continue
		}
		if a, err := ingredients.ParseAmount(m[1]); err == nil {
			out = append(out, a.Range)
		}
	}
	return out
}

// FatsOf returns the fats of a name, found by INCI name; several rows may have
// the same, such as olive oil and olive pomace oil.
func (t *Tables) FatsOf(inci string) []*Fat {
	keys := t.names().same(inci)
	var out []*Fat
	for _, f := range t.fats {
		if slices.ContainsFunc(f.Names(), func(n string) bool { return keys[ingredients.NameKey(n)] }) {
			out = append(out, f)
		}
	}
	return out
}
