package formula

import (
	"slices"
	"strings"
	"sync/atomic"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/names"
)

// identityMemo keeps the findings of [findIdentity] for one set of tables, since
// every product with the material asks for them.
type identityMemo struct{ found atomic.Pointer[identityFound] }

type identityFound struct {
	tables   *table.Tables
	findings []finding.Finding
}

// IdentityFindings is [findIdentity], computed once for a set of tables.
func (m *Material) IdentityFindings(tables *table.Tables) []finding.Finding {
	if f := m.identity.found.Load(); f != nil && f.tables == tables {
		return f.findings
	}
	f := &identityFound{tables, findIdentity(m.Sheet, tables)}
	m.identity.found.Store(f)
	return f.findings
}

// findIdentity looks at each name of a sheet and the numbers beside it.
//
// Findings: note "assay-above-100" when a content is an assay that ends above 100;
// stop "name-several" when one value joins substances; ask
// "name-ambiguous" when a name is that of several, "name-in-part" when only parts
// of it are names, "bracket-contradicts" and "bracket-unknown" for what stands in
// brackets, "named-by-bracket" and "named-by-number" when the name itself is in no
// list, "number-fits-several" and "plant-number" when its number does not decide,
// "unknown-inci" when nothing does, "cas-contradicts" when a CAS number stands for
// other substances in the tables; note "cas-unknown" when the tables give a name
// other numbers only.
func findIdentity(s *ingredients.Sheet, tables *table.Tables) []finding.Finding {
	var fs []finding.Finding
	for _, c := range s.Composition.Constituents {
		fs = append(fs, identityOf(s, tables, printedName{c.INCI, c.CAS, c.EC, c.Pos, true})...)
		if c.Pct.Assay {
			fs = append(fs, finding.NewFinding(finding.Note, "assay-above-100", c.Pct.Pos,
				With().Quote("typed", c.Pct.Text).Num("least", c.Pct.Min, "", finding.AsIs)).On(c.INCI).
				By(finding.TheMaker))
		}
	}
	for _, t := range s.Impurities {
		fs = append(fs, identityOf(s, tables, printedName{t.Name, t.CAS, "", t.Pos, false})...)
	}
	if s.Allergens == nil {
		return fs
	}
	for _, d := range s.Allergens.Declared {
		// names off the list are reported against the market's list
		fs = append(fs, identityOf(s, tables, printedName{d.Name, d.CAS, "", d.Pos, false})...)
	}
	return fs
}

// printedName is a name as a sheet has it.
type printedName struct {
	text, cas, ec string
	pos           exact.Pos
	unknownToo    bool // a name in no list is a finding here
}

// NearNames is how many near names an unknown one is answered with.
const NearNames = 3

func identityOf(s *ingredients.Sheet, tables *table.Tables, p printedName) []finding.Finding {
	dict := tables.Dictionary()
	reading := dict.Resolve(p.text, p.cas, p.ec)
	var fs []finding.Finding
	for _, ask := range reading.Asks {
		if ask.Code == names.AskUnknown && !p.unknownToo {
			continue
		}
		if ask.Code == names.AskUnknown {
			for _, near := range dict.Names().Nearest(p.text, NearNames) {
				ask.Others = append(ask.Others, near.Name)
			}
		}
		fs = append(fs, nameFinding(s, p, ask))
	}
	first := reading.First()
	if p.cas == "" || reading.Several() || !first.Known() {
		return fs
	}
	if _, asked := reading.Asked(names.AskByNumber); asked {
		return fs
	}
	if f, ok := numberFinding(s, tables, p, first); ok {
		fs = append(fs, f)
	}
	return fs
}

// numberFinding compares a name that is known with the number beside it. The
// number of a plant contradicts no name of one.
func numberFinding(s *ingredients.Sheet, tables *table.Tables, p printedName,
	n names.Named) (finding.Finding, bool) {
	ok, others := tables.CASFits(n.Name, p.cas)
	known := tables.Dictionary().Known(n.Name)
	switch {
	case ok, n.Plant != nil && tables.Dictionary().Names().PlantNumber(p.cas):
		return finding.Finding{}, false
	case len(others) > 0:
		return nameSays(finding.Ask, "cas-contradicts", p, With().Name("cas", p.cas).Names("others", others)).
			By(s.Asked()), true
	case slices.ContainsFunc(n.Names(), func(name string) bool { return inventoryGives(tables, name, p.cas) }):
		return finding.Finding{}, false
	}
	return nameSays(finding.Note, "cas-unknown", p, With().Name("cas", p.cas).Names("known", known.CAS)).
		By(finding.TheMaker), true
}

// nameSays is a finding about a printed name.
func nameSays(sev finding.Severity, code string, p printedName, v finding.Values) finding.Finding {
	return finding.NewFinding(sev, code, p.pos, v).On(p.text).At(p.pos.File, "name", nil)
}

func inventoryGives(tables *table.Tables, name, cas string) bool {
	e, ok := tables.Dictionary().Names().Inventory().Entry(name)
	return ok && slices.Contains(e.CAS, cas)
}

// nameCodes are the codes of what must be asked about a printed name. A value that
// joins substances stops; the others ask.
var nameCodes = map[names.Code]string{
	names.AskSeveral:        "name-several",
	names.AskWhich:          "name-ambiguous",
	names.AskBracket:        "bracket-contradicts",
	names.AskBracketUnknown: "bracket-unknown",
	names.AskPart:           "name-in-part",
	names.AskByBracket:      "named-by-bracket",
	names.AskByNumber:       "named-by-number",
	names.AskNumberFits:     "number-fits-several",
	names.AskPlantNumber:    "plant-number",
	names.AskUnknown:        "unknown-inci",
}

// fewNames is how many of the substances that a number is given to are named.
const fewNames = 4

// nameFinding says what must be asked about a printed name.
func nameFinding(s *ingredients.Sheet, p printedName, ask names.Ask) finding.Finding {
	sev := finding.Ask
	if ask.Code == names.AskSeveral {
		sev = finding.Stop
	}
	v := With()
	switch ask.Code {
	case names.AskBracket, names.AskBracketUnknown:
		v = v.Name("name", ask.Name)
	case names.AskByNumber, names.AskNumberFits, names.AskPlantNumber:
		v = v.Name("number", ask.Number)
	}
	if n := len(ask.Others); n > fewNames &&
		(ask.Code == names.AskNumberFits || ask.Code == names.AskPlantNumber) {
		v = v.Names("others", ask.Others[:fewNames]).Count("more", n-fewNames)
	} else {
		v = v.Names("others", ask.Others)
	}
	return nameSays(sev, nameCodes[ask.Code], p, v).By(s.Asked())
}

// ColourNames reads colourants from the colourant annex.
type ColourNames struct{ Tables *table.Tables }

// ColourName takes a name that is a CI number as a colourant, and any other name
// of the colourant annex where the material's sheet says that it colours.
func (c ColourNames) ColourName(inci string, functions []string) (string, bool) {
	if IsCI(inci) {
		return strings.ToUpper(inci[:2]) + inci[2:], true
	}
	if !c.Colours(functions) {
		return "", false
	}
	return c.Tables.ColourIndex(inci)
}

// IsSubstrate asks the table of customary substrates.
func (c ColourNames) IsSubstrate(inci string) bool { return c.Tables.IsSubstrate(inci) }

func IsCI(name string) bool {
	return len(name) > 3 && strings.EqualFold(name[:3], "CI ") && name[3] >= '0' && name[3] <= '9'
}

func (c ColourNames) Colours(functions []string) bool {
	return slices.ContainsFunc(functions, c.Tables.Words(rows.WordsColouring).In)
}
