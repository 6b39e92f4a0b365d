package composition

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// Reader reads the composition of a material.
type Reader struct {
	*desk.Desk
	Names    Names
	Declares func(name string) bool // whether a name is that of a declarable allergen; may be nil
	record   *reading.Constituent   // the constituent that rows without a head build up
}

// Names answers what a printed name or number means. A name that it does not know
// stays as printed and is asked about.
type Names interface {
	// INCI gives the label name of a substance by its printed name and numbers; ""
	// where it is not known.
	INCI(printed string, cas, ec []string) string
	// ECOf gives the EC numbers that the tables have for a CAS number; none where
	// they do not know.
	ECOf(cas string) []string
	// CASOf gives the CAS numbers that the lists have for an EC number; none where
	// they do not know.
	CASOf(ec string) []string
}

// Identity fills in name and numbers from the columns.
func (s *Reader) Identity(t *cells.Table, row cells.Row, c *reading.Constituent, numbered map[int]bool) {
	var bad []string
	for i, col := range t.Columns {
		cell := row.Cells[i].Text
		if strings.TrimSpace(cell) == "" {
			continue
		}
		switch col.Role {
		case "cas", "ec", "casec", "reach", "index", "name", "inci", "":
			cas, ec, wrong, rest := pieces.Numbers(cell)
			c.CAS, c.EC, bad = append(c.CAS, cas...), append(c.EC, ec...), append(bad, wrong...)
			if own := col.Role == "casec" && !t.Has("name") && !t.Has("inci"); !own && col.Role != "name" &&
				col.Role != "inci" {
				continue
			}
			name := pieces.OneLine(cell)
			if len(cas)+len(ec) > 0 || rest != cell {
				name = pieces.CleanName(pieces.WithoutNumberWords(rest))
			}
			name = s.Unmarked(strings.TrimLeft(name, "-–—•· "))
			if m := desk.LeadingNumber.FindStringSubmatch(name); m != nil && numbered[i] {
				name = m[2]
			}
			switch {
			case col.Role == "inci" && c.INCI != "": // a second list's name of the same substance
			case col.Role == "inci":
				if c.Name == "" || s.columnFirst(t, i) {
					c.Name, c.Place = name, s.Place(row.Place, row.Cells[i])
				}
				c.INCI = name
			case c.Name == "":
				c.Name, c.Place = name, s.Place(row.Place, row.Cells[i])
			}
		case "function":
			c.Function = pieces.Printed(cell)
		}
	}
	for _, n := range bad {
		s.Ask("number-wrong", c.Place, "number", n, "name", c.Name)
	}
	if s.Names != nil && c.INCI == "" {
		c.INCI = s.Names.INCI(c.Name, c.CAS, c.EC)
	}
	s.otherEC(c)
}

// columnFirst says whether the column is the first of the names.
func (s *Reader) columnFirst(t *cells.Table, i int) bool {
	for k, c := range t.Columns[:i] {
		if c.Role == "name" && k < i {
			return false
		}
	}
	return true
}

// otherEC asks where the tables know another EC number for the CAS number, or the EC
// number beside another CAS number too.
func (s *Reader) otherEC(c *reading.Constituent) {
	if s.Names == nil || len(c.CAS) != 1 || len(c.EC) != 1 {
		return
	}
	cas, ec := c.CAS[0], c.EC[0]
	known := s.Names.ECOf(cas)
	if len(known) == 0 {
		return
	}
	if !slices.Contains(known, ec) {
		s.Ask("ec-other", c.Place, "ec", ec, "cas", cas, "others", strings.Join(known, ", "))
		return
	}
	others := slices.DeleteFunc(s.Names.CASOf(ec), func(n string) bool { return n == cas })
	if len(others) > 0 {
		s.Ask("ec-shared", c.Place, "ec", ec, "cas", cas, "others", strings.Join(others, ", "))
	}
}

// UnknownNames asks about names that no list has; they stay as printed.
func (s *Reader) UnknownNames() {
	if s.Names == nil {
		return
	}
	for _, c := range s.Out.Composition {
		if c.INCI == "" && strings.TrimSpace(c.Name) != "" {
			s.Ask("name-unknown", c.Place, "name", c.Name)
		}
	}
}
