package formula

import (
	"slices"
	"strings"
	"sync/atomic"

	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/names"
)

// identityMemo keeps the findings of [Identity] for one set of tables, since
// every product with the material asks for them.
type identityMemo struct{ found atomic.Pointer[identityFound] }

type identityFound struct {
	tables   *table.Tables
	findings []finding.Finding
}

// IdentityFindings is [Identity], computed once for a set of tables.
func (m *Material) IdentityFindings(tables *table.Tables) []finding.Finding {
	if f := m.identity.found.Load(); f != nil && f.tables == tables {
		return f.findings
	}
	f := &identityFound{tables, Identity(m.Sheet, tables)}
	m.identity.found.Store(f)
	return f.findings
}

// Identity looks at each name of a sheet and the numbers beside it.
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
func Identity(s *ingredients.Sheet, tables *table.Tables) []finding.Finding {
	var fs []finding.Finding
	for _, c := range s.Composition.Constituents {
		fs = append(fs, identityOf(s, tables, printedName{c.INCI, c.CAS, c.EC, c.Pos, true})...)
		if c.Pct.Assay {
			fs = append(fs, finding.Findingf(finding.Note, "assay-above-100", c.Pct.Pos, "%s is an assay: it is counted as %s to 100 %%", c.Pct.Text, c.Pct.Min.Exact()).On(c.INCI).
				WithFix("nothing to do; an assay above 100 is the spread of the measurement"))
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
	pos           finding.Pos
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
func numberFinding(s *ingredients.Sheet, tables *table.Tables, p printedName, n names.Named) (finding.Finding, bool) {
	ok, others := tables.CASFits(n.Name, p.cas)
	known := tables.Dictionary().Known(n.Name)
	switch {
	case ok, n.Plant != nil && tables.Dictionary().Names().PlantNumber(p.cas):
		return finding.Finding{}, false
	case len(others) > 0:
		return finding.Findingf(finding.Ask, "cas-contradicts", p.pos, "CAS %s stands for %s, not for %s", p.cas, strings.Join(others, " or "), p.text).On(p.text).AskOf(s.Supplier.Name).
			WithFix("check name and number against the supplier's paper; figures follow the name until then"), true
	case slices.ContainsFunc(n.Names(), func(name string) bool { return inventoryGives(tables, name, p.cas) }):
		return finding.Finding{}, false
	}
	return finding.Findingf(finding.Note, "cas-unknown", p.pos, "CAS %s is not in our tables; for %s they have %s", p.cas, p.text, strings.Join(known.CAS, " and ")).On(p.text).
		WithFix("check it against the supplier's paper; where it stands there, leave it: one name can have several numbers"), true
}

func inventoryGives(tables *table.Tables, name, cas string) bool {
	e, ok := tables.Dictionary().Names().Inventory().Entry(name)
	return ok && slices.Contains(e.CAS, cas)
}

// nameFinding words what must be asked about a printed name.
func nameFinding(s *ingredients.Sheet, p printedName, ask names.Ask) finding.Finding {
	others := JoinOr(ask.Others)
	var f finding.Finding
	switch ask.Code {
	case names.AskSeveral:
		f = finding.Findingf(finding.Stop, "name-several", p.pos, "%s are %d substances in one value: each is counted with the whole content in every limit", JoinAnd(ask.Others), len(ask.Others)).
			WithFix("write one line each, with its own content: %s", strings.Join(ask.Others, "; "))
	case names.AskWhich:
		f = finding.Findingf(finding.Ask, "name-ambiguous", p.pos, "%s can be %s: limits are looked at for each", ask.Name, others).
			WithFix("ask which it is, and write that name")
	case names.AskBracket:
		f = finding.Findingf(finding.Ask, "bracket-contradicts", p.pos, "the name says %s, the bracket %s: it is counted as %s, and limits are looked at for both", ask.Name, others, ask.Name).
			WithFix("write the one that is meant; two substances need two lines")
	case names.AskBracketUnknown:
		f = finding.Findingf(finding.Ask, "bracket-unknown", p.pos, "%s stands in brackets behind %s, and no list has that name", others, ask.Name).
			WithFix("take the bracket out if it says nothing of the substance, such as a grade or a trade name; a second substance needs a line of its own")
	case names.AskPart:
		f = finding.Findingf(finding.Ask, "name-in-part", p.pos, "only part of this name is known: %s; limits are looked at for that too", JoinAnd(ask.Others)).
			WithFix("write each substance on its own line, under its INCI name")
	case names.AskByBracket:
		f = finding.Findingf(finding.Ask, "named-by-bracket", p.pos, "no list has the name %s; by its bracket it is counted as %s", ask.Name, others).
			WithFix("write %s, if that is what the paper means", others)
	case names.AskByNumber:
		f = finding.Findingf(finding.Ask, "named-by-number", p.pos, "no list has the name %s; by its number %s it is counted as %s", ask.Name, ask.Number, others).
			WithFix("write %s, if that is what the paper means", others)
	case names.AskNumberFits:
		f = finding.Findingf(finding.Ask, "number-fits-several", p.pos, "no list has the name %s, and its number %s is given to several substances: %s", ask.Name, ask.Number, firstFew(ask.Others)).
			WithFix("ask which it is, and write that name")
	case names.AskPlantNumber:
		f = finding.Findingf(finding.Ask, "plant-number", p.pos, "no list has the name %s, and its number %s is that of a plant, whatever the part: %s", ask.Name, ask.Number, firstFew(ask.Others)).
			WithFix("ask for plant, part and preparation, and write the name that has them")
	default:
		f = finding.Findingf(finding.Ask, "unknown-inci", p.pos, "%s is in no list of names: no limit, allergen or toxicological value is found for it by name", ask.Name).
			WithFix("check the spelling against the glossary of ingredient names")
		if len(ask.Others) > 0 {
			f.Fix = "did you mean " + others + "? " + f.Fix
		}
	}
	return f.On(p.text).AskOf(s.Supplier.Name)
}

// firstFew names at most four of a list.
func firstFew(list []string) string {
	const few = 4
	if len(list) <= few {
		return strings.Join(list, ", ")
	}
	return strings.Join(list[:few], ", ") + " and others"
}

// ColourNames reads colourants from the colourant annex.
type ColourNames struct{ Tables *table.Tables }

// ColourName takes a name that is a CI number as a colourant, and any other name
// of the colourant annex where the material's sheet says that it colours.
func (c ColourNames) ColourName(inci string, functions []string) (string, bool) {
	if IsCI(inci) {
		return strings.ToUpper(inci[:2]) + inci[2:], true
	}
	if !Colours(functions) {
		return "", false
	}
	return c.Tables.ColourIndex(inci)
}

func IsCI(name string) bool {
	return len(name) > 3 && strings.EqualFold(name[:3], "CI ") && name[3] >= '0' && name[3] <= '9'
}

func Colours(functions []string) bool {
	for _, f := range functions {
		f = strings.ToLower(f)
		if strings.Contains(f, "colour") || strings.Contains(f, "color") {
			return true
		}
	}
	return false
}
