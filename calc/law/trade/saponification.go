package trade

import (
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
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
	rows.Row
	Name string
	INCI string   // names of one fat are joined by " / "
	CAS  []string // empty: none given
	Kind string

	// Saponification value in mg KOH for 1 g of fat. nil: not stated.
	SVMin, SVMax *exact.Num

	FattyAcids string // typical pattern, % of fatty acids, in words
	// % of the fat's soap that each of several soaps is, as the pattern of its acids has it; not tightened
	SoapShares    []exact.Range
	SoapSodium    string // INCI name of the sodium soap; several joined by ";", none: not confirmed
	SoapPotassium string // INCI name of the potassium soap; likewise
}

var FatColumns = rows.Columns{Meaning: []string{"key", "inci", "cas", "kind", "sv_min_mg_koh_g",
	"sv_max_mg_koh_g", "soap_inci_sodium", "soap_inci_potassium", "soap_shares_pct", "seen"},
	Remarks: []string{"oil_name", "fatty_acids_typical_pct", "source", "note"}}

func ReadFats(file string, text string) ([]*Fat, error) {
	return rows.ReadTable(file, text, FatColumns, func(r *rows.Record) *Fat {
		f := &Fat{
			Row: r.Head(r.Text("key")), Name: r.Must("oil_name"), INCI: r.Must("inci"), CAS: r.Numbers("cas"),
			Kind:  r.Word("kind", FatGlyceride, FatAcid, FatWax),
			SVMin: r.Num("sv_min_mg_koh_g"), SVMax: r.Num("sv_max_mg_koh_g"),
			FattyAcids: r.Text("fatty_acids_typical_pct"),
			SoapSodium: r.Text("soap_inci_sodium"), SoapPotassium: r.Text("soap_inci_potassium"),
		}
		r.CheckNumbers(f.CAS, nil)
		for _, item := range r.List("soap_shares_pct") {
			a, err := exact.ParseAmount(item)
			if err != nil {
				r.FailIn("soap_shares_pct", err)
			}
			f.SoapShares = append(f.SoapShares, a.Range)
		}
		if f.SVMin != nil && f.SVMax != nil && f.SVMax.Less(*f.SVMin) {
			r.Fail("sv_min_mg_koh_g is above sv_max_mg_koh_g")
		}
		for _, names := range []string{f.SoapSodium, f.SoapPotassium} {
			if n := len(rows.SplitList(names)); n > 1 && len(f.SoapShares) != n {
				r.Fail("%q names %d soaps, soap_shares_pct has %d contents", names, n, len(f.SoapShares))
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
	Pct  exact.Range // % of the fat's soap; not tightened
}

// Soaps returns the soaps that the fat gives with sodium or with potassium
// hydroxide; none where the name is not confirmed.
func (f *Fat) Soaps(potassium bool) []SoapShare {
	names := rows.SplitList(f.SoapSodium)
	if potassium {
		names = rows.SplitList(f.SoapPotassium)
	}
	if len(names) == 1 {
		return []SoapShare{{names[0], exact.Exactly(exact.Int(100))}}
	}
	var out []SoapShare
	for i, share := range f.SoapShares {
		if i < len(names) {
			out = append(out, SoapShare{names[i], share})
		}
	}
	return out
}
