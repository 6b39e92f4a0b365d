package law

import (
	"strings"

	"gallipot/ingredients"
)

// Material is a common raw material with its usual composition: a help for
// filling in a sheet, never a stand-in for the supplier's own paper.
//
// Source: materials.csv, mostly from memory.
type Material struct {
	Row
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
}

// Constituent is a substance of a material, % w/w of the material.
type Constituent struct {
	INCI string
	CAS  string           // empty: none given
	Typ  *ingredients.Num // nil where the table gives bounds alone
	Min  ingredients.Num
	Max  ingredients.Num
	// Inside says that the substance is part of the oil or extract named before
	// it: it counts for allergens and limits, not for the ingredient list.
	Inside bool
}

var materialColumns = columns{meaning: []string{"key", "generic_name", "constituents", "functions", "form", "phase", "impurities_to_ask", "seen"},
	remarks: []string{"solubility", "ph_note", "max_temp_c_note", "maker_hazard_note", "typical_use_pct_range", "source", "note"}}

func readMaterials(file string, data []byte) ([]*Material, error) {
	return readTable(file, data, materialColumns, func(r *record) *Material {
		return &Material{
			Row: r.head(r.text("key")), Name: r.must("generic_name"), Constituents: r.constituents("constituents"),
			Functions: r.list("functions"), Form: r.must("form"), Phase: r.must("phase"), Solubility: r.text("solubility"),
			PHNote: r.text("ph_note"), MaxTempC: r.text("max_temp_c_note"), HazardNote: r.text("maker_hazard_note"),
			UsePct: r.text("typical_use_pct_range"), Ask: r.list("impurities_to_ask"),
		}
	})
}

// constituents reads name|CAS|typical|min|max and, for oils, name|CAS|min|max.
func (r *record) constituents(col string) []Constituent {
	var out []Constituent
	for _, item := range r.list(col) {
		p := strings.Split(item, "|")
		if len(p) != 4 && len(p) != 5 {
			r.fail("%s: %q is neither name|CAS|typical|min|max nor name|CAS|min|max", col, item)
			continue
		}
		c := Constituent{INCI: strings.TrimSpace(p[0]), CAS: strings.TrimSpace(p[1])}
		if c.CAS == "-" {
			c.CAS = ""
		}
		if c.CAS != "" {
			r.checkNumbers([]string{c.CAS}, nil)
		}
		var nums []ingredients.Num
		for _, s := range p[2:] {
			n, err := ingredients.ParseNum(strings.TrimSpace(s))
			if err != nil {
				r.fail("%s: %q: %v", col, item, err)
			}
			nums = append(nums, n)
		}
		if len(nums) == 3 {
			c.Typ = &nums[0]
		}
		c.Inside = len(nums) == 2
		c.Min, c.Max = nums[len(nums)-2], nums[len(nums)-1]
		if c.Max.Less(c.Min) || ingredients.Int(100).Less(c.Max) || c.Typ != nil && (c.Typ.Less(c.Min) || c.Max.Less(*c.Typ)) {
			r.fail("%s: %q: the contents are not in order", col, item)
		}
		out = append(out, c)
	}
	return out
}
