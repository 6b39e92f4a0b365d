package trade

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// FragranceCategory is one row of the IFRA product categories; a category may
// have several rows, read and from memory.
//
// Source: ifra-categories.csv.
type FragranceCategory struct {
	rows.Row              // Key is the category and the number of its row, such as 5A/2
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
	rows.Row           // Key is the substance and its category cell
	Substance string   // name of the Standard
	INCI      []string // ingredient names of what it is on, where a number does not tell them
	CAS       []string // CAS numbers it names
	Type      string   // restriction, prohibition, specification or none

	Categories []string // categories the row is for; "all" alone means every one

	// MaxPct is the highest content in the finished product in % w/w. nil with
	// Unrestricted: no ceiling in these categories. nil otherwise: not stated.
	MaxPct       *exact.Num
	Unrestricted bool
	Basis        string // what drives the figure, in words
	// Specification is what the Standard asks of the raw material, in words, where it
	// sets no percentage.
	Specification string

	// Phototoxic says that furocoumarins drive the figure: such oils count together.
	Phototoxic  bool
	NewerUnread bool     // figures of a newer amendment exist and were not seen
	Entries     []string // entries of the annexes whose substances the Standard counts, such as III/70
	Together    string   // another Standard whose contents are added; empty: none
}

// Covers says whether the row is for a category.
func (s *FragranceStandard) Covers(category string) bool {
	return slices.Contains(s.Categories, category) || slices.Contains(s.Categories, "all")
}

var (
	CategoryColumns = rows.Columns{Meaning: []string{"category", "product_types", "rinse_off", "seen"},
		Remarks: []string{"description", "source", "note"}}
	StandardColumns = rows.Columns{Meaning: []string{"substance", "inci", "cas", "standard_type", "category",
		"max_pct_finished_product", "phototoxic", "newer_unread", "entries", "together", "seen"},
		Remarks: []string{"basis_note", "specification", "source", "note"}}
)

func ReadFragranceCategories(file string, text string) ([]*FragranceCategory, error) {
	count := map[string]int{}
	return rows.ReadTable(file, text, CategoryColumns, func(r *rows.Record) *FragranceCategory {
		c := r.Must("category")
		count[c]++
		return &FragranceCategory{
			Row: r.Head(fmt.Sprintf("%s/%d", c, count[c])), Category: c, Description: r.Must("description"),
			ProductTypes: r.List("product_types"), RinseOff: r.Word("rinse_off", "yes", "no", "mixed"),
		}
	})
}

func ReadFragranceStandards(file string, text string) ([]*FragranceStandard, error) {
	return rows.ReadTable(file, text, StandardColumns, func(r *rows.Record) *FragranceStandard {
		s := &FragranceStandard{
			Row: r.Head(r.Must("substance") + "/" +
				r.Must("category")), Substance: r.Text("substance"), INCI: r.List("inci"), CAS: r.Numbers("cas"),
			Type:       r.Word("standard_type", "restriction", "prohibition", "specification", "none"),
			Categories: r.List("category"), Basis: r.Text("basis_note"), Phototoxic: r.Mark("phototoxic"),
			NewerUnread: r.Mark("newer_unread"),
			Entries:     annex.Entries(r, "entries"), Together: r.Text("together"),
			Specification: r.Text("specification"),
		}
		r.CheckNumbers(s.CAS, nil)
		if s.Unrestricted = strings.EqualFold(r.Text("max_pct_finished_product"),
			"no restriction"); !s.Unrestricted {
			s.MaxPct = r.Pct("max_pct_finished_product")
		}
		return s
	})
}
