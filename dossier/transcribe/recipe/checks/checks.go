package checks

import (
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/recipe/terms"
	"gallipot/ingredients/exact"
)

// checker looks at a product as a whole.
type checker struct{ *terms.Terms }

// Check judges a product as a whole: the rest, the sum, what is open, what stands
// twice, what is hidden.
func Check(t *terms.Terms, p *formulation.Product) {
	d := &checker{t}
	if p.Steps == nil {
		p.Steps = []string{}
	}
	if p.Phases == nil {
		p.Phases = []formulation.Phase{}
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
func (d *checker) units(p *formulation.Product) {
	var bare []*formulation.Line
	others := map[string]int{}
	sum, rest := exact.Num{}, false
	for _, l := range p.Lines() {
		switch {
		case !l.Counted():
		case l.QS != nil:
			rest = rest || *l.QS == string(dose.To100) && l.ToMass == ""
		case l.Unit == nil && (l.Amount != nil || l.Low != nil || l.High != nil):
			bare = append(bare, l)
			sum = sum.Add(figure.Sum(formulation.ValueOf(l.Amount)))
		case l.Unit != nil && formulation.IsMass(*l.Unit):
			others[*l.Unit]++
		}
	}
	if len(bare) > 0 {
		hundred := exact.Int(100)
		unit := ""
		switch {
		case len(others) == 1 && others[firstKey(others)] >= 1:
			unit = firstKey(others)
			p.Say("unit-by-others", "unit", unit)
		case len(others) == 0 && (p.Near100(bare, sum) && len(bare) > 1 || rest && sum.Less(hundred)):
			unit = "%"
			p.Say("unit-by-sum")
		}
		for _, l := range bare {
			if unit != "" {
				l.Unit = formulation.Value(unit)
				continue
			}
			if l.Ask == "" {
				l.Ask = formulation.Sentence("line-unit", "printed", l.Printed)
			}
		}
		if unit == "" {
			p.Say("no-unit")
		}
	}
	p.Unsay("two-units")
	p.BasisOf()
	for _, l := range p.Lines() {
		if l.Unit == nil && (p.Basis == "percent" || l.QS != nil) {
			switch p.Basis {
			case "percent":
				l.Unit = formulation.Value("%")
			case "grams":
				l.Unit = formulation.Value("g")
			case "parts":
				l.Unit = formulation.Value("parts")
			}
		}
	}
}

func firstKey(m map[string]int) string {
	for k := range m {
		return k
	}
	return ""
}

// sum compares the lines with 100 and says what is left for the rest.
func (d *checker) sum(p *formulation.Product) {
	var rest *formulation.Line
	for _, l := range p.Lines() {
		if l.Counted() && l.QS != nil && *l.QS == string(dose.To100) && l.ToMass == "" {
			rest = l
		}
	}
	fixed := p.Fixed(nil)
	names, most := p.Open()
	p.Total.Without = listed(names)
	if v, u, _ := strings.Cut(formulation.ValueOf(p.Total.Stated), " "); p.Batch == "" &&
		(u == "g" || u == "kg") &&
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
		p.Say("no-room", "sum", fixed.Exact(), "name", rest.Name)
	case rest != nil:
		p.Total.Rest = left.Exact()
		if len(names) > 0 {
			p.Say("rest-less-open", "name", rest.Name, "rest", left.Exact(), "names", listed(names))
		} else {
			p.Say("rest-is", "name", rest.Name, "rest", left.Exact())
		}
	case figure.Near(fixed, hundred, figure.Sum("0.0049")):
	case len(names) > 0 && most.Sign() > 0:
		p.Say("sum-at-most", "sum", fixed.Exact(), "most", fixed.Add(most).Exact())
	case len(names) > 0 && left.Sign() > 0:
		p.Say("sum-with-open", "sum", fixed.Exact(), "names", listed(names))
	case left.Sign() > 0:
		p.Say("sum-not-100", "sum", fixed.Exact(), "difference", left.Exact(), "way",
			formulation.Sentence("too-little"))
	default:
		p.Say("sum-not-100", "sum", fixed.Exact(), "difference", left.Neg().Exact(), "way",
			formulation.Sentence("too-much"))
	}
}
