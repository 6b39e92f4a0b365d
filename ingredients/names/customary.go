package names

import (
	_ "embed"
	"strings"

	"gallipot/ingredients/namelist"
)

//go:embed data/customary.bin
var customaryPacked string

// CustomaryName is a name of the trade that the official lists do not have.
//
// Source: customary-names.csv.
type CustomaryName struct {
	Name   string
	Names  []string // official names, or those of the law; several are asked about
	Scope  string   // what it matters for: allergen, prohibited, restricted, label …
	Kind   string   // kind of name: trade, perfumery, common, American …
	Source string
	Seen   string
	Note   string
}

// isMixture says whether the name is that of a mixture of all its substances; other
// names of several are of one of them.
func (c *CustomaryName) isMixture() bool { return c.Kind == "mixture" }

// coloursOnly says whether the name is an official one that the colour index has a
// number for: kaolin is CI 77004 only where it colours.
func (c *CustomaryName) coloursOnly() bool { return c.Kind == "pair" && colourIndex(c.Names[0]) != "" }

const customaryLayout = "customary1\n"

var customaryColumns = []string{"name", "inci", "scope", "kind", "source", "seen", "note"}

// customaryNames is the opened table.
type customaryNames struct {
	list  *namelist.List
	lines *namelist.Lines
}

func openCustomary(data string) (*customaryNames, error) {
	secs, err := namelist.OpenSections(customaryLayout, data, 2)
	if err != nil {
		return nil, err
	}
	c := &customaryNames{}
	if c.list, err = namelist.Open(secs[0]); err != nil {
		return nil, err
	}
	c.lines, err = namelist.OpenLines(secs[1])
	return c, err
}

// find returns the row of a name, or nil. Rows of the same letters mean the same.
func (c *customaryNames) find(name string) *CustomaryName {
	places := c.list.Find(name)
	if len(places) == 0 {
		return nil
	}
	return c.at(places[0])
}

func (c *customaryNames) at(place int) *CustomaryName {
	cells := strings.Split(c.lines.Line(place), "\t")
	return &CustomaryName{Name: c.list.Name(place), Names: strings.Split(cells[0], "|"), Scope: cells[1],
		Kind: cells[2], Source: cells[3], Seen: cells[4], Note: cells[5]}
}

const digits = "0123456789"

// colourIndex returns the colour index number a name begins with, such as
// "CI 77891" of "C.I.77891".
func colourIndex(name string) string {
	key := namelist.Key(name)
	if len(key) < 7 || key[:2] != "ci" {
		return ""
	}
	number := key[2:7]
	if strings.Trim(number, digits) != "" || strings.TrimLeft(key[7:], digits) != key[7:] {
		return ""
	}
	return "CI " + number
}
