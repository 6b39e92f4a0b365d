package law

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/ingredients"
)

// FragranceCategory is one row of the IFRA product categories; a category may
// have several rows, read and from memory.
//
// Source: ifra-categories.csv.
type FragranceCategory struct {
	Row                   // Key is the category and the number of its row, such as 5A/2
	Category     string   // 1 to 12, with letters, 49th Amendment and later
	Description  string   // what belongs there
	ProductTypes []string // trade terms
	RinseOff     string   // yes, no or mixed
}

// FragranceStandard is one row of an IFRA Standard: one substance in one or
// several categories. Standards bind the members of the association; the law
// stands beside them and the lower figure counts.
//
// Source: ifra-standards.csv.
type FragranceStandard struct {
	Row                // Key is the substance and its category cell
	Substance string   // name of the Standard
	CAS       []string // CAS numbers it names
	Type      string   // restriction, prohibition, specification or none

	Categories []string // categories the row is for; "all" alone means every one

	// MaxPct is the highest content in the finished product in % w/w. nil with
	// Unrestricted: no ceiling in these categories. nil otherwise: not stated.
	MaxPct       *ingredients.Num
	Unrestricted bool
	Basis        string // what drives the figure
}

// Covers says whether the row is for a category.
func (s *FragranceStandard) Covers(category string) bool {
	return slices.Contains(s.Categories, category) || slices.Contains(s.Categories, "all")
}

var (
	categoryColumns = columns{meaning: []string{"category", "product_types", "rinse_off", "seen"},
		remarks: []string{"description", "source", "note"}}
	standardColumns = columns{meaning: []string{"substance", "cas", "standard_type", "category", "max_pct_finished_product", "seen"},
		remarks: []string{"basis_note", "source", "note"}}
)

func readFragranceCategories(file string, data []byte) ([]*FragranceCategory, error) {
	count := map[string]int{}
	return readTable(file, data, categoryColumns, func(r *record) *FragranceCategory {
		c := r.must("category")
		count[c]++
		return &FragranceCategory{
			Row: r.head(fmt.Sprintf("%s/%d", c, count[c])), Category: c, Description: r.must("description"),
			ProductTypes: r.list("product_types"), RinseOff: r.word("rinse_off", "yes", "no", "mixed"),
		}
	})
}

func readFragranceStandards(file string, data []byte) ([]*FragranceStandard, error) {
	return readTable(file, data, standardColumns, func(r *record) *FragranceStandard {
		s := &FragranceStandard{
			Row: r.head(r.must("substance") + "/" + r.must("category")), Substance: r.text("substance"), CAS: r.list("cas"),
			Type:       r.word("standard_type", "restriction", "prohibition", "specification", "none"),
			Categories: r.list("category"), Basis: r.text("basis_note"),
		}
		r.checkNumbers(s.CAS, nil)
		if s.Unrestricted = strings.EqualFold(r.text("max_pct_finished_product"), "no restriction"); !s.Unrestricted {
			s.MaxPct = r.pct("max_pct_finished_product")
		}
		return s
	})
}
