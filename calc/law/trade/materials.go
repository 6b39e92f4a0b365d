package trade

import (
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// Material is a common raw material with its usual composition: a help for
// filling in a sheet, never a stand-in for the supplier's own paper.
//
// Source: materials.csv, mostly from memory.
type Material struct {
	rows.Row
	Name         string
	Constituents []Constituent
	Functions    []string // functions as the trade words them
	Form         string   // liquid, powder, solid or paste
	Phase        string   // phase it usually goes into
	Solubility   string
	PHNote       string
	MaxTempC     string   // highest temperature it should see, °C, in words
	HazardNote   string   // what the maker should mind
	UsePct       string   // usual content, % w/w, in words
	Ask          []string // impurities to ask the supplier for
	CountsAsked  bool     // microbial counts are among them
}

// Constituent is a substance of a material, % w/w of the material.
type Constituent struct {
	INCI string
	CAS  string     // empty: none given
	Typ  *exact.Num // nil where the table gives bounds alone
	Min  exact.Num
	Max  exact.Num
	// Inside says that the substance is part of the oil or extract named before
	// it: it counts for allergens and limits, not for the ingredient list.
	Inside bool
}

var MaterialColumns = rows.Columns{Meaning: []string{"key", "generic_name", "constituents", "functions",
	"form", "phase", "impurities_to_ask", "counts_asked", "seen"},
	Remarks: []string{"solubility", "ph_note", "max_temp_c_note", "maker_hazard_note", "typical_use_pct_range",
		"source", "note"}}

func ReadMaterials(file string, text string) ([]*Material, error) {
	return rows.ReadTable(file, text, MaterialColumns, func(r *rows.Record) *Material {
		return &Material{
			Row: r.Head(r.Text("key")), Name: r.Must("generic_name"), Constituents: constituents(r, "constituents"),
			Functions: r.List("functions"), Form: r.Must("form"), Phase: r.Must("phase"),
			Solubility: r.Text("solubility"),
			PHNote:     r.Text("ph_note"), MaxTempC: r.Text("max_temp_c_note"), HazardNote: r.Text("maker_hazard_note"),
			UsePct: r.Text("typical_use_pct_range"), Ask: r.List("impurities_to_ask"),
			CountsAsked: r.Mark("counts_asked"),
		}
	})
}

// constituents reads name|CAS|typical|min|max and, for oils, name|CAS|min|max.
func constituents(r *rows.Record, col string) []Constituent {
	var out []Constituent
	for _, item := range r.List(col) {
		p := strings.Split(item, "|")
		if len(p) != 4 && len(p) != 5 {
			r.Fail("%s: %q is neither name|CAS|typical|min|max nor name|CAS|min|max", col, item)
			continue
		}
		c := Constituent{INCI: strings.TrimSpace(p[0]), CAS: strings.TrimSpace(p[1])}
		if c.CAS == "-" {
			c.CAS = ""
		}
		if c.CAS != "" {
			r.CheckNumbers([]string{c.CAS}, nil)
		}
		var nums []exact.Num
		for _, s := range p[2:] {
			n, err := exact.ParseNum(strings.TrimSpace(s))
			if err != nil {
				r.Fail("%s: %q: %v", col, item, err)
			}
			nums = append(nums, n)
		}
		if len(nums) == 3 {
			c.Typ = &nums[0]
		}
		c.Inside = len(nums) == 2
		c.Min, c.Max = nums[len(nums)-2], nums[len(nums)-1]
		if c.Max.Less(c.Min) || exact.Int(100).Less(c.Max) || c.Typ != nil &&
			(c.Typ.Less(c.Min) || c.Max.Less(*c.Typ)) {
			r.Fail("%s: %q: the contents are not in order", col, item)
		}
		out = append(out, c)
	}
	return out
}
