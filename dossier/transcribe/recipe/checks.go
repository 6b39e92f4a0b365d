package recipe

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/exact"
)

// check judges a product as a whole: the rest, the sum, what is open, what stands
// twice, what is hidden.
func (d *doc) check(p *Product) {
	if p.Steps == nil {
		p.Steps = []string{}
	}
	if p.Phases == nil {
		p.Phases = []Phase{}
	}
	d.units(p)
	d.rests(p)
	d.lineFindings(p)
	d.hidden(p)
	d.sum(p)
	d.twice(p)
	d.slots(p)
	d.variants(p)
	d.names(p)
	d.lye(p)
}

// units gives lines without a unit the one that the sum shows, or asks.
func (d *doc) units(p *Product) {
	var bare []*Line
	others := map[string]int{}
	sum, rest := exact.Num{}, false
	for _, l := range p.Lines() {
		switch {
		case !l.Counted():
		case l.QS != nil:
			rest = rest || *l.QS == string(dose.To100) && l.ToMass == ""
		case l.Unit == nil && (l.Amount != nil || l.Low != nil || l.High != nil):
			bare = append(bare, l)
			sum = sum.Add(num(textOf(l.Amount)))
		case l.Unit != nil && massy(*l.Unit):
			others[*l.Unit]++
		}
	}
	if len(bare) > 0 {
		hundred := exact.Int(100)
		unit := ""
		switch {
		case len(others) == 1 && others[firstKey(others)] >= 1:
			unit = firstKey(others)
			p.say("unit-by-others", "unit", unit)
		case len(others) == 0 && (p.near100(bare, sum) && len(bare) > 1 || rest && sum.Less(hundred)):
			unit = "%"
			p.say("unit-by-sum")
		}
		for _, l := range bare {
			if unit != "" {
				l.Unit = text(unit)
				continue
			}
			if l.Ask == "" {
				l.Ask = say("line-unit", "printed", l.printed).text()
			}
		}
		if unit == "" {
			p.say("no-unit")
		}
	}
	p.found = slices.DeleteFunc(p.found, func(f finding) bool { return f.code == "two-units" })
	p.basisOf()
	for _, l := range p.Lines() {
		if l.Unit == nil && (p.Basis == "percent" || l.QS != nil) {
			switch p.Basis {
			case "percent":
				l.Unit = text("%")
			case "grams":
				l.Unit = text("g")
			case "parts":
				l.Unit = text("parts")
			}
		}
	}
}

// near100 says whether lines sum to about 100, in each variant where there are any.
func (p *Product) near100(lines []*Line, sum exact.Num) bool {
	hundred := exact.Int(100)
	for _, v := range p.Variants {
		sum = exact.Num{}
		for _, l := range lines {
			if len(l.Variants) == 0 || slices.Contains(l.Variants, v.Name) {
				sum = sum.Add(num(textOf(l.Amount)))
			}
		}
		if !near(sum, hundred, num("1.5")) {
			return false
		}
	}
	return near(sum, hundred, num("1.5"))
}

func firstKey(m map[string]int) string {
	for k := range m {
		return k
	}
	return ""
}

// rests decides what each q.s. is.
func (d *doc) rests(p *Product) {
	var open, rest []*Line
	for _, l := range p.Lines() {
		switch {
		case !l.Counted() || l.QS == nil:
		case l.open:
			open = append(open, l)
		case *l.QS == string(dose.To100):
			rest = append(rest, l)
		}
	}
	if len(open) > 0 {
		d.openRests(p, open, &rest)
	}
	if len(rest) > 1 && !sameVariants(rest) {
		p.say("two-rests", "names", listed(namesOf(rest)))
		for _, l := range rest {
			l.Ask = say("line-two-rests").text()
		}
	}
	if len(rest) == 1 {
		var others []*Line
		for _, l := range p.Lines() {
			if l.Counted() && l.QS != nil && l != rest[0] {
				others = append(others, l)
			}
		}
		if len(others) > 0 {
			p.say("several-qs", "names", listed(namesOf(append([]*Line{rest[0]}, others...))), "rest", rest[0].Name)
		}
	}
}

// sameVariants says whether rests belong to different variants.
func sameVariants(rest []*Line) bool {
	seen := map[string]bool{}
	for _, l := range rest {
		if len(l.Variants) == 0 {
			return false
		}
		for _, v := range l.Variants {
			if seen[v] {
				return false
			}
			seen[v] = true
		}
	}
	return true
}

// openRests decides the bare q.s. lines: one may be the rest where the others
// leave room; acids and bases go to a pH.
func (d *doc) openRests(p *Product, open []*Line, rest *[]*Line) {
	full := false
	if p.Basis == "percent" || p.Basis == "parts" {
		full = !p.fixed(nil).Less(num("99.95"))
	}
	candidate := -1
	if len(*rest) == 0 && !full {
		for i, l := range open {
			if d.isWater(l) {
				if candidate >= 0 {
					candidate = -2
					break
				}
				candidate = i
			}
		}
		if candidate == -1 && len(open) == 1 && !d.isAdjuster(open[0]) && d.slotOf(open[0]) == "" {
			candidate = 0
		}
	}
	for i, l := range open {
		switch {
		case i == candidate:
			l.QS = text(string(dose.To100))
			*rest = append(*rest, l)
		case d.isAdjuster(l):
			l.QS = text(string(dose.ToPH))
			l.Ask = say("line-to-ph", "about", aboutText(l)).text()
		default:
			l.Ask = say("line-open-rest").text()
			p.say("open-qs", "name", l.Name)
		}
	}
}

func (d *doc) isWater(l *Line) bool {
	for _, s := range []string{l.Name, textOf(l.INCI)} {
		f := lexicon.Fold(headBraces.ReplaceAllString(s, " "))
		if d.is("formula word", "water", f) || d.starts("formula word", "water", f) || strings.HasSuffix(f, " water") || strings.HasSuffix(f, "wasser") {
			return true
		}
	}
	return false
}

func (d *doc) isAdjuster(l *Line) bool {
	f := lexicon.Fold(l.Name + " " + textOf(l.INCI))
	return d.holds("formula word", "adjuster", f)
}

func namesOf(ls []*Line) []string {
	var out []string
	for _, l := range ls {
		if !slices.Contains(out, l.Name) {
			out = append(out, l.Name)
		}
	}
	return out
}

// fixed sums the lines with an amount in the unit of the basis, without additions
// after 100; of a variant where one is named.
func (p *Product) fixed(variant *string) exact.Num {
	var sum exact.Num
	for _, l := range p.Lines() {
		if !l.Counted() || l.After100 || l.Amount == nil || l.QS != nil || l.Unit == nil {
			continue
		}
		if len(l.Variants) > 0 && (variant == nil || !slices.Contains(l.Variants, *variant)) {
			continue
		}
		x := num(*l.Amount)
		switch {
		case p.Basis == "percent" && *l.Unit == "%", p.Basis == "grams" && *l.Unit == "g", p.Basis == "parts" && *l.Unit == "parts", p.Basis == "mixed" && *l.Unit == "%":
		case p.Basis == "percent" && *l.Unit == "ppm":
			x = x.Quo(exact.Int(10_000))
		case p.Basis == "grams" && *l.Unit == "kg":
			x = x.Mul(exact.Int(1000))
		case p.Basis == "grams" && *l.Unit == "mg":
			x = x.Quo(exact.Int(1000))
		default:
			continue
		}
		sum = sum.Add(x)
	}
	return sum
}

// open lists the lines that a sum leaves out.
func (p *Product) open() (names []string, most exact.Num) {
	for _, l := range p.Lines() {
		if !l.Counted() || l.After100 || l.QS != nil && *l.QS == string(dose.To100) {
			continue
		}
		sameUnit := l.Unit != nil && (*l.Unit == "%" && p.Basis == "percent" || *l.Unit == "g" && p.Basis == "grams")
		if l.Amount != nil && l.QS == nil && l.Unit != nil && massy(*l.Unit) {
			continue
		}
		names = append(names, l.Name)
		if l.High != nil && sameUnit {
			most = most.Add(num(*l.High))
		}
	}
	return names, most
}

// sum compares the lines with 100 and says what is left for the rest.
func (d *doc) sum(p *Product) {
	var rest *Line
	for _, l := range p.Lines() {
		if l.Counted() && l.QS != nil && *l.QS == string(dose.To100) && l.ToMass == "" {
			rest = l
		}
	}
	fixed := p.fixed(nil)
	names, most := p.open()
	p.Total.Without = listed(names)
	if v, u, _ := strings.Cut(textOf(p.Total.Stated), " "); p.Batch == "" && (u == "g" || u == "kg") && figure.IsNumber(v) {
		p.Batch = *p.Total.Stated
	}
	unit := map[string]string{"percent": "", "grams": " g", "parts": " parts"}[p.Basis]
	if rest != nil && p.Basis == "percent" {
		p.Total.Fixed = fixed.Exact()
	} else {
		p.Total.Computed = fixed.Exact() + unit
	}
	if p.Basis != "percent" || len(p.Variants) > 0 || p.batchSum.Sign() != 0 {
		return
	}
	hundred := exact.Int(100)
	left := hundred.Sub(fixed)
	switch {
	case rest != nil && left.Sign() <= 0:
		p.say("no-room", "sum", fixed.Exact(), "name", rest.Name)
	case rest != nil:
		p.Total.Rest = left.Exact()
		if len(names) > 0 {
			p.say("rest-less-open", "name", rest.Name, "rest", left.Exact(), "names", listed(names))
		} else {
			p.say("rest-is", "name", rest.Name, "rest", left.Exact())
		}
	case near(fixed, hundred, num("0.0049")):
	case len(names) > 0 && most.Sign() > 0:
		p.say("sum-at-most", "sum", fixed.Exact(), "most", fixed.Add(most).Exact())
	case len(names) > 0 && left.Sign() > 0:
		p.say("sum-with-open", "sum", fixed.Exact(), "names", listed(names))
	case left.Sign() > 0:
		p.say("sum-not-100", "sum", fixed.Exact(), "difference", left.Exact(), "way", "too little")
	default:
		p.say("sum-not-100", "sum", fixed.Exact(), "difference", left.Neg().Exact(), "way", "too much")
	}
}

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
			p.say("hidden-rest", "name", l.Name, "with", with.Exact(), "without", with.Add(num(*l.Amount)).Exact())
		} else {
			p.say("ask-hidden", "name", l.Name, "where", l.Where)
		}
	}
}

func (p *Product) hasRest() bool {
	return slices.ContainsFunc(p.Lines(), func(l *Line) bool { return l.Counted() && l.QS != nil && *l.QS == string(dose.To100) })
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
		p.say("ask-twice", "name", ls[0].Name, "times", itoa(len(ls)), "sum", strings.TrimSpace(sum.Exact()+" "+textOf(ls[0].Unit)))
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

var colourIndex = regexp.MustCompile(`(?i)\bCI ?\d{5}\b`)

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
		case strings.ContainsAny(*l.INCI, ",;/") || strings.Contains(*l.INCI, " and ") || strings.Contains(*l.INCI, "(and)"):
			with++
			blends = append(blends, l.Name)
		default:
			with++
		}
		if (strings.Contains(l.Name, " + ") || strings.Contains(l.Name, " & ")) && (l.INCI == nil || d.slotOf(l) != "") {
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
