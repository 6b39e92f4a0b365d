package recipe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/exact"
)

// lineFindings says of each open line what is open.
func (d *doc) lineFindings(p *Product) {
	var noMass []string
	parts := false
	for _, l := range p.Lines() {
		if !l.Struck && l.Ask == "" && d.stopped(l.Note) {
			l.Ask = say("line-stopped", "note", l.Note).text()
			p.say("stopped", "name", l.Name, "note", l.Note)
		}
		if l.Struck {
			p.say("struck", "name", l.Name, "where", l.Where)
			continue
		}
		switch {
		case l.QS != nil && *l.QS == string(dose.ToPH):
			p.say("to-ph", "name", l.Name)
			p.say("ask-to-ph", "name", l.Name, "about", aboutText(l))
			if l.High != nil {
				p.say("to-ph-bound", "name", l.Name, "high", *l.High)
			}
			if m := phValue.FindStringSubmatch(l.Note); m != nil {
				p.setPH(m[1])
			}
			if l.Ask == "" {
				l.Ask = say("line-to-ph", "about", aboutText(l)).text()
			}
		case l.QS != nil && *l.QS == string(dose.AsNeeded) && !l.open:
			p.say("as-needed", "name", l.Name, "printed", l.printed)
		case l.QS != nil:
		case l.Low != nil && l.High != nil:
			p.say("range", "name", l.Name, "printed", l.printed)
		case l.Low != nil || l.High != nil:
			p.say("bound", "name", l.Name, "printed", l.printed)
		case l.Unit != nil && !massy(*l.Unit) && l.Amount != nil:
			noMass = append(noMass, l.Name)
			p.say("ask-mass", "name", l.Name, "amount", *l.Amount, "unit", *l.Unit)
		case l.Amount == nil:
			p.say("no-amount", "name", l.Name, "printed", l.AlsoPrinted+l.printed)
		case l.Ask != "" && !l.After100:
			p.say("not-exact", "name", l.Name, "printed", l.printed)
		}
		parts = parts || l.Unit != nil && *l.Unit == "parts"
	}
	if len(noMass) > 0 {
		p.say("no-mass", "names", listed(noMass))
	}
	if parts {
		p.say("parts-volume")
		p.say("parts")
	}
	var after []string
	for _, l := range p.Lines() {
		if l.After100 {
			after = append(after, l.Name)
		}
	}
	if len(after) > 0 {
		p.say("after-100", "names", listed(after))
	}
}

// sentences asks about lines of which a sentence beside the formula says another
// figure or a change: "ps: xanthan 0.3, not 0.4".
func (d *doc) sentences(p *Product) {
	for _, t := range p.sentences {
		f := lexicon.Fold(t)
		if len(d.amounts(dose.Plain(t))) == 0 && !d.holds("formula word", "change", f) {
			continue
		}
		for _, l := range p.Lines() {
			name := lexicon.Fold(headBraces.ReplaceAllString(l.Name, " "))
			first, _, _ := strings.Cut(name, " ")
			whole := strings.Contains(" "+f+" ", " "+name+" ")
			part := len(first) > 4 && first != "water" && strings.Contains(" "+f+" ", " "+first+" ") && d.holds("formula word", "change", f)
			if name != "" && (whole || part) && l.Ask == "" && l.Counted() {
				l.Ask = say("line-sentence", "text", t).text()
				p.say("sentence", "name", l.Name, "text", t)
			}
		}
	}
}

// stopped says whether a remark says that a line is no longer in use.
func (d *doc) stopped(note string) bool {
	return d.holds("formula word", "stopped", lexicon.Fold(note))
}

// hidden says which lines stand in hidden rows, and what the rest is with and
// without them.
func (d *doc) hidden(p *Product) {
	for _, l := range p.Lines() {
		if !l.Hidden || l.Struck {
			continue
		}
		p.say("hidden-line", "where", l.Where, "name", l.Name, "printed", l.printed)
		fixed := p.fixed(nil)
		if l.Amount != nil && p.Basis == "percent" && p.hasRest() {
			with := exact.Int(100).Sub(fixed)
			p.say("hidden-rest", "name", l.Name, "with", with.Exact(), "without",
				with.Add(num(*l.Amount)).Exact())
		} else {
			p.say("ask-hidden", "name", l.Name, "where", l.Where)
		}
	}
}

// twice says which materials stand in several lines.
func (d *doc) twice(p *Product) {
	byName := map[string][]*Line{}
	var order []string
	for _, l := range p.Lines() {
		if !l.Counted() {
			continue
		}
		k := lexicon.Fold(l.Name)
		if byName[k] == nil {
			order = append(order, k)
		}
		byName[k] = append(byName[k], l)
	}
	for _, k := range order {
		ls := byName[k]
		if len(ls) < 2 || sameVariants(ls) {
			continue
		}
		var amounts []string
		var sum exact.Num
		for _, l := range ls {
			amounts = append(amounts, strings.TrimSpace(textOf(l.Amount)+" "+textOf(l.Unit)))
			sum = sum.Add(num(textOf(l.Amount)))
		}
		p.say("twice", "name", ls[0].Name, "times", itoa(len(ls)), "amounts", strings.Join(amounts, " and "))
		p.say("ask-twice", "name", ls[0].Name, "times", itoa(len(ls)), "sum",
			strings.TrimSpace(sum.Exact()+" "+textOf(ls[0].Unit)))
	}
}

// slotOf guesses whether a maker would let a line vary.
func (d *doc) slotOf(l *Line) string {
	f, inci := lexicon.Fold(l.Name), lexicon.Fold(textOf(l.INCI))
	switch {
	case colourIndex.MatchString(textOf(l.INCI)) || colourIndex.MatchString(l.Name):
		return "colour"
	case inci == "parfum" || inci == "aroma" || inci == "fragrance" || inci == "parfum fragrance":
		return "scent"
	case d.holds("formula slot", "colour", f):
		return "colour"
	case d.holds("formula slot", "scent", f):
		return "scent"
	}
	return ""
}

func (d *doc) slots(p *Product) {
	for _, l := range p.Lines() {
		if l.Counted() {
			l.Slot = d.slotOf(l)
		}
	}
}

// variants fills the variants and sums each.
func (d *doc) variants(p *Product) {
	if len(p.Variants) == 0 {
		return
	}
	var differ []string
	for i := range p.Variants {
		v := &p.Variants[i]
		for _, l := range p.Lines() {
			if !slices.Contains(l.Variants, v.Name) {
				continue
			}
			slot := l.Slot
			if slot == "" || v.Fill[slot] != "" {
				slot = l.Name
			}
			v.Fill[slot] = strings.TrimSpace(l.Name + " " + textOf(l.Amount) + " " + textOf(l.Unit))
			if !slices.Contains(differ, slot) {
				differ = append(differ, slot)
			}
		}
		sum := p.fixed(&v.Name).Exact()
		if p.Basis == "grams" {
			v.TotalG = sum
		} else {
			v.Total = sum
			if p.Basis == "percent" && !p.hasRest() && !near(num(sum), exact.Int(100), num("0.0049")) {
				p.say("variant-sum", "variant", v.Name, "sum", sum)
			}
		}
	}
	for _, slot := range differ {
		var parts []string
		amounts := map[string]bool{}
		for _, v := range p.Variants {
			if fill := v.Fill[slot]; fill != "" {
				parts = append(parts, v.Name+": "+fill)
				amounts[amountOfFill(p, v.Name, fill)] = true
			}
		}
		if len(amounts) > 1 {
			p.say("variants-differ", "slot", slot, "fills", strings.Join(parts, "; "))
		}
	}
}

// amountOfFill is the amount with which a variant fills a slot.
func amountOfFill(p *Product, variant, fill string) string {
	for _, l := range p.Lines() {
		if slices.Contains(l.Variants, variant) && strings.HasPrefix(fill, l.Name+" ") {
			return textOf(l.Amount)
		}
	}
	return fill
}

// names asks for INCI names and contents.
func (d *doc) names(p *Product) {
	var without, blends []string
	with := 0
	for _, l := range p.Lines() {
		if !l.Counted() {
			continue
		}
		switch {
		case l.INCI == nil:
			if !slices.Contains(without, l.Name) {
				without = append(without, l.Name)
			}
		case strings.ContainsAny(*l.INCI, ",;/") || strings.Contains(*l.INCI, " and ") ||
			strings.Contains(*l.INCI, "(and)"):
			with++
			blends = append(blends, l.Name)
		default:
			with++
		}
		if (strings.Contains(l.Name, " + ") || strings.Contains(l.Name, " & ")) && (l.INCI == nil ||
			d.slotOf(l) != "") {
			p.say("blends", "name", l.Name)
		}
	}
	if len(without) > 0 {
		p.say("no-inci", "names", listed(without))
	}
	if len(blends) > 0 {
		p.say("compositions", "names", listed(blends))
	}
}

// lye says that a soap is not the sum of what was weighed.
func (d *doc) lye(p *Product) {
	for _, l := range p.Lines() {
		f := lexicon.Fold(l.Name + " " + textOf(l.INCI))
		if !l.Counted() || !d.holds("formula word", "lye", f) {
			continue
		}
		if p.Basis == "grams" || d.holds("formula word", "soap", lexicon.Fold(p.Name)) {
			p.say("lye")
			p.say("ask-lye")
			for _, t := range append(slices.Clone(p.Steps), p.Notes...) {
				if d.holds("formula word", "loss", lexicon.Fold(t)) {
					p.say("ask-loss", "text", t)
				}
			}
			return
		}
	}
}
