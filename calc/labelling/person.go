package labelling

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/calc/law/table"
	"gallipot/ingredients/finding"
)

// persons prints the responsible person of each market with the address. A pack
// for several markets names each before its address, and underlines the one where
// the file is held.
func (b *labelling) persons() {
	type entry struct {
		markets []string
		person  LabelPerson
		rules   []string
		remark  string
	}
	var entries []entry
	for _, m := range b.Markets {
		p, ok := b.facts.person(m)
		rules, remark := []string{"L01", "L10", "L12"}, ""
		if !ok {
			if p, ok = b.grace(m); !ok {
				b.noPerson(m)
				continue
			}
			rules, remark = append(rules, "L14"), "the details for the EU in place of those for GB, for a time"
		} else {
			b.checkPerson(m, p)
		}
		at := slices.IndexFunc(entries, func(e entry) bool { return e.person.Name == p.Name && slices.Equal(e.person.Address, p.Address) })
		if at < 0 {
			entries = append(entries, entry{person: p, rules: rules, remark: remark})
			at = len(entries) - 1
		}
		entries[at].markets = append(entries[at].markets, string(m))
	}
	var holding []string
	for _, e := range entries {
		if e.person.HoldsFile {
			holding = append(holding, e.person.Name)
		}
	}
	for _, e := range entries {
		i := LabelItem{Kind: ItemPerson, Text: b.addressText(e.person), State: LabelGiven, Remark: e.remark}
		if len(b.Markets) > 1 && len(entries) > 1 {
			i.Lead = strings.Join(e.markets, ", ")
			e.rules = append(e.rules, "L15")
		}
		if len(entries) > 1 {
			e.rules = append(e.rules, "L13")
			if i.Underlined = len(holding) == 1 && e.person.HoldsFile; i.Underlined {
				i.Remark = joinRemarks(i.Remark, "underlined: the file is held there")
			}
		}
		b.add(i, e.rules...)
	}
	if len(entries) > 1 && len(holding) != 1 {
		said := "it is not stated at which of them the file is held"
		if len(holding) > 1 {
			said = "several of them are said to hold the file"
		}
		b.say(finding.Findingf(finding.Ask, "label-file-address", b.facts.Pos, "the label bears %d addresses, of which one is underlined: %s", len(entries), said).
			WithFix("write holds_file: true under that one responsible person in workshop.yaml, and under no other"), "L13")
	}
}

// person returns the responsible person for a market: the one for the EU serves
// Northern Ireland too.
func (f *LabelFacts) person(m table.Market) (LabelPerson, bool) {
	if p, ok := f.Persons[m]; ok && p.Name != "" {
		return p, true
	}
	p, ok := f.Persons[m.Annexes()]
	return p, ok && p.Name != ""
}

// grace returns the person for the EU where a label in Great Britain may bear
// those details alone for a time, and says so.
func (b *labelling) grace(m table.Market) (LabelPerson, bool) {
	rule := b.law.LabelRule("L14")
	p, ok := b.facts.person(table.EU)
	if m != table.GB || !ok || rule.Until.Before(b.in.Date) {
		return LabelPerson{}, false
	}
	b.say(finding.Findingf(finding.Ask, "label-grace", b.facts.Pos, "no responsible person for GB is named: until %s the label may bear the details for the EU alone, yet a person in the United Kingdom is needed all the same", rule.Until).
		On("GB").WithFix("write responsible_person: {GB: {name: …, address: […], country: GB}} in workshop.yaml"), "L14")
	return p, true
}

func (b *labelling) noPerson(m table.Market) {
	b.add(LabelItem{Kind: ItemPerson, Text: "[responsible person for " + string(m) + ", with address]", State: LabelMissing}, "L01", "L10")
	b.say(finding.Findingf(finding.Ask, "label-no-responsible-person", b.facts.Pos, "no responsible person for %s is named", m).On(string(m)).
		WithFix("write responsible_person: {%s: {name: …, address: […], country: …}} in workshop.yaml", m), "L10")
}

var postBox = regexp.MustCompile(`(?i)\b(?:p\.?\s*o\.?\s*box|post\s+office\s+box|post\s*box)\b`)

// checkPerson says where an address cannot stand on the label of a market.
func (b *labelling) checkPerson(m table.Market, p LabelPerson) {
	country, known := b.law.Country(p.Country)
	switch {
	case p.Country == "":
		b.say(finding.Findingf(finding.Ask, "label-person-country", p.Pos, "the country of the responsible person for %s is not stated", m).On(p.Name).
			WithFix("write country: with the two letters of the country"), "L10")
	case m == table.NI && known && country.Within(table.GB):
		if !b.inNorthernIreland(p) {
			b.say(finding.Findingf(finding.Stop, "label-person-elsewhere", p.Pos, "the responsible person for NI has an address in Great Britain").On(p.Name).
				WithFix("name a person in Northern Ireland or in the EU"), "L10")
		}
	case !known || !country.Within(m):
		b.say(finding.Findingf(finding.Stop, "label-person-elsewhere", p.Pos, "the responsible person for %s has an address in %s", m, b.countryName(p.Country)).On(p.Name).
			WithFix("name a person in the market"), "L10")
	}
	box := b.law.LabelRule("L11")
	if line := slices.IndexFunc(p.Address, postBox.MatchString); line >= 0 && box.In(m) {
		b.say(finding.Findingf(finding.Stop, "label-po-box", p.Pos, "the address of the responsible person for %s is a box: %s", m, p.Address[line]).On(p.Name).
			WithFix("give the street address at which the file is kept"), "L11")
	}
	if !slices.ContainsFunc(p.Address, func(line string) bool { return strings.ContainsAny(line, "0123456789") }) {
		b.say(finding.Findingf(finding.Ask, "label-address-short", p.Pos, "the address of the responsible person for %s has no figure in it: neither house nor postcode", m).On(p.Name).
			WithFix("add the number of the house or the postcode"), "L12")
	}
}

// inNorthernIreland looks for a postcode of Northern Ireland.
func (b *labelling) inNorthernIreland(p LabelPerson) bool {
	letters := b.law.LabelRule("L10a").Wording[0]
	code := regexp.MustCompile(`\b` + regexp.QuoteMeta(letters) + `\d{1,2}\b`)
	return slices.ContainsFunc(p.Address, code.MatchString)
}

// countryName is a country as printed, or its code where the table has none.
func (b *labelling) countryName(code string) string {
	if c, ok := b.law.Country(code); ok {
		return c.Name
	}
	return code
}

// addressText is the person on one line. The country is named save on a label
// for Great Britain alone with an address there.
func (b *labelling) addressText(p LabelPerson) string {
	lines := append([]string{p.Name}, p.Address...)
	home := slices.Equal(b.Markets, []table.Market{table.GB}) && p.Country == "GB"
	name := upperFirst(strings.TrimPrefix(b.countryName(p.Country), "the "))
	if p.Country != "" && !home && !slices.Contains(p.Address, name) {
		lines = append(lines, name)
	}
	return strings.Join(lines, ", ")
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// origin prints where a product comes from when that is outside a market of
// the label.
func (b *labelling) origin() {
	made := b.facts.MadeIn
	if made.Text == "" {
		b.add(LabelItem{Kind: ItemOrigin, Text: "[made in …, if outside the market]", State: LabelMissing}, "L02", "L16")
		b.say(finding.Findingf(finding.Ask, "label-no-origin", b.facts.Pos, "it is not stated where the product is made: goods from outside the market bear their origin").
			WithFix("write made_in: with the two letters of the country"), "L16")
		return
	}
	rule := b.law.LabelRule("L16")
	country, known := b.law.Country(made.Text)
	if !slices.ContainsFunc(b.Markets, func(m table.Market) bool { return !known || !country.Within(m) }) {
		b.add(LabelItem{Kind: ItemOrigin, State: labelNotNeeded, Remark: "made in the market: " + b.countryName(made.Text)}, "L02", "L16")
		return
	}
	i := LabelItem{Kind: ItemOrigin, Text: rule.Wording[0] + " " + b.countryName(made.Text), State: LabelGiven}
	if slices.Contains(b.Markets, table.NI) && known && country.Within(table.GB) {
		i.Remark = "whether goods of the United Kingdom need it in Northern Ireland is doubtful: printed as the cautious choice"
	}
	b.add(i, "L02", "L16")
}
