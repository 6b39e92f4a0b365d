package recipe

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
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
	d.sentences(p)
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
		case p.Basis == "percent" && *l.Unit == "%", p.Basis == "grams" &&
			*l.Unit == "g", p.Basis == "parts" && *l.Unit == "parts", p.Basis == "mixed" && *l.Unit == "%":
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
		sameUnit := l.Unit != nil && (*l.Unit == "%" && p.Basis == "percent" || *l.Unit == "g" &&
			p.Basis == "grams")
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
	if v, u, _ := strings.Cut(textOf(p.Total.Stated), " "); p.Batch == "" && (u == "g" || u == "kg") &&
		figure.IsNumber(v) {
		p.Batch = *p.Total.Stated
	}
	unit := map[string]string{"percent": "", "grams": " g", "parts": " parts"}[p.Basis]
	if rest != nil && p.Basis == "percent" {
		p.Total.Fixed = fixed.Exact()
	} else {
		p.Total.Computed = fixed.Exact() + unit
	}
	if p.Basis != "percent" || len(p.Variants) > 0 {
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

var colourIndex = regexp.MustCompile(`(?i)\bCI ?\d{5}\b`)
