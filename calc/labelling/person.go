package labelling

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
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
		at := slices.IndexFunc(entries, func(e entry) bool {
			return e.person.Name == p.Name &&
				slices.Equal(e.person.Address, p.Address)
		})
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
		form := ""
		if len(holding) > 1 {
			form = "several"
		}
		b.say(finding.NewFinding(finding.Ask, "label-file-address", b.facts.Pos, formula.With().
			Count("addresses", len(entries))).As(form).
			At("workshop.yaml", "responsible_person.holds_file", nil), "L13")
	}
}

// person returns the responsible person for a market: the one for the EU serves
// Northern Ireland too.
func (f *LabelFacts) person(m rows.Market) (LabelPerson, bool) {
	if p, ok := f.Persons[m]; ok && p.Name != "" {
		return p, true
	}
	p, ok := f.Persons[m.Annexes()]
	return p, ok && p.Name != ""
}

// grace returns the person for the EU where a label in Great Britain may bear
// those details alone for a time, and says so.
func (b *labelling) grace(m rows.Market) (LabelPerson, bool) {
	rule := law.LabelRule(b.law, "L14")
	p, ok := b.facts.person(rows.EU)
	if m != rows.GB || !ok || rule.Until.Before(b.in.Date) {
		return LabelPerson{}, false
	}
	b.say(finding.NewFinding(finding.Ask, "label-grace", b.facts.Pos, formula.With().Day("until", *rule.Until)).
		On("GB").At("workshop.yaml", "responsible_person.GB", nil), "L14")
	return p, true
}

func (b *labelling) noPerson(m rows.Market) {
	b.add(LabelItem{Kind: ItemPerson, Text: "[responsible person for " + string(m) + ", with address]",
		State: LabelMissing}, "L01", "L10")
	b.say(finding.NewFinding(finding.Ask, "label-no-responsible-person", b.facts.Pos, nil).On(string(m)).
		At("workshop.yaml", "responsible_person."+string(m), nil), "L10")
}

var postBox = pattern.New(`(?i)\b(?:p\.?\s*o\.?\s*box|post\s+office\s+box|post\s*box)\b`)

// checkPerson says where an address cannot stand on the label of a market.
func (b *labelling) checkPerson(m rows.Market, p LabelPerson) {
	country, known := law.Country(b.law, p.Country)
	say := func(sev finding.Severity, code, form, rule, key string, v finding.Values) {
		b.say(finding.NewFinding(sev, code, p.Pos, v.Name("market", string(m))).As(form).On(p.Name).
			At(p.Pos.File, "responsible_person."+string(m)+"."+key, nil), rule)
	}
	switch {
	case p.Country == "":
		say(finding.Ask, "label-person-country", "", "L10", "country", nil)
	case m == rows.NI && known && country.Within(rows.GB):
		if !b.inNorthernIreland(p) {
			say(finding.Stop, "label-person-elsewhere", "northern-ireland", "L10", "address", nil)
		}
	case !known || !country.Within(m):
		say(finding.Stop, "label-person-elsewhere", "", "L10", "address", formula.With().
			Name("country", b.countryName(p.Country)))
	}
	box := law.LabelRule(b.law, "L11")
	if line := slices.IndexFunc(p.Address, postBox.MatchString); line >= 0 && box.In(m) {
		say(finding.Stop, "label-po-box", "", "L11", "address", formula.With().Quote("box", p.Address[line]))
	}
	if !slices.ContainsFunc(p.Address,
		func(line string) bool { return strings.ContainsAny(line, "0123456789") }) {
		say(finding.Ask, "label-address-short", "", "L12", "address", nil)
	}
}

// inNorthernIreland looks for a postcode of Northern Ireland.
func (b *labelling) inNorthernIreland(p LabelPerson) bool {
	letters := law.LabelRule(b.law, "L10a").Wording[0]
	code := regexp.MustCompile(`\b` + regexp.QuoteMeta(letters) + `\d{1,2}\b`)
	return slices.ContainsFunc(p.Address, code.MatchString)
}

// countryName is a country as printed, or its code where the table has none.
func (b *labelling) countryName(code string) string {
	if c, ok := law.Country(b.law, code); ok {
		return c.Name
	}
	return code
}

// addressText is the person on one line. The country is named save on a label
// for Great Britain alone with an address there.
func (b *labelling) addressText(p LabelPerson) string {
	lines := append([]string{p.Name}, p.Address...)
	home := slices.Equal(b.Markets, []rows.Market{rows.GB}) && p.Country == "GB"
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
		b.add(LabelItem{Kind: ItemOrigin, Text: "[made in …, if outside the market]", State: LabelMissing},
			"L02", "L16")
		b.say(finding.NewFinding(finding.Ask, "label-no-origin", b.facts.Pos, nil).At(b.facts.Pos.File, "made_in",
			nil), "L16")
		return
	}
	rule := law.LabelRule(b.law, "L16")
	country, known := law.Country(b.law, made.Text)
	if !slices.ContainsFunc(b.Markets, func(m rows.Market) bool { return !known || !country.Within(m) }) {
		b.add(LabelItem{Kind: ItemOrigin, State: labelNotNeeded, Remark: "made in the market: " +
			b.countryName(made.Text)}, "L02", "L16")
		return
	}
	i := LabelItem{Kind: ItemOrigin, Text: rule.Wording[0] + " " + b.countryName(made.Text), State: LabelGiven}
	if slices.Contains(b.Markets, rows.NI) && known && country.Within(rows.GB) {
		i.Remark = "whether goods of the United Kingdom need it in Northern Ireland is doubtful: printed as the cautious choice"
	}
	b.add(i, "L02", "L16")
}
