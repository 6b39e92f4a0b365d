package calc

import (
	"slices"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// coming says what the rules of later days change: what is kept now and will not
// be, what will be undecided, and which words the label will need. Each change
// is reported for its first day.
func (run *limitRun) coming(checks []LimitCheck, now []ingredients.Finding) []ingredients.Finding {
	var fs []ingredients.Finding
	said := map[string]bool{}
	for _, f := range now {
		said[changeKey(f)] = true
	}
	stops := stopKeys(now)
	for _, day := range run.changeDays() {
		_, then := run.on(day)
		for _, f := range then {
			key := changeKey(f)
			if f.Code == "criterion" || said[key] {
				continue
			}
			said[key] = true
			if f.Code == "draft-law" { // names its day itself
				fs = append(fs, f)
				continue
			}
			fs = append(fs, comingFinding(f, day))
		}
		later := stopKeys(then)
		for _, stop := range stops {
			if !slices.Contains(later, stop) && !said["free|"+stop.what+stop.subject] {
				said["free|"+stop.what+stop.subject] = true
				fs = append(fs, ingredients.NewFinding(ingredients.Note, "coming-limit", run.in.Product.Pos, with().Day("day", day)).As("free").On(stop.subject).
					By(ingredients.TheMaker).With(ingredients.Action{Kind: ingredients.ActionCheckOn, Day: day}))
			}
		}
	}
	return fs
}

// changeKey tells findings apart that say the same of another day.
func changeKey(f ingredients.Finding) string {
	key := f.Severity.String() + "|" + f.Code + "|" + f.Subject
	if f.Code == "label-wording" {
		key = f.Code + "|" + f.Form + "|" + f.Subject + "|" + f.Values.Key()
	}
	return key
}

// stopKey tells what stops a substance.
type stopKey struct{ what, subject string }

func stopKeys(fs []ingredients.Finding) []stopKey {
	var out []stopKey
	for _, f := range fs {
		if f.Severity == ingredients.Stop {
			out = append(out, stopKey{f.Code, f.Subject})
		}
	}
	return out
}

// changeDays lists the later days on which a row that names a substance of the
// product starts, or is no longer in force.
func (run *limitRun) changeDays() []ingredients.Date {
	var days []ingredients.Date
	add := func(d ingredients.Date) {
		if run.in.Date.Before(d) && !slices.Contains(days, d) {
			days = append(days, d)
		}
	}
	for _, u := range run.uses {
		for _, m := range u.matches {
			if !m.row.From.IsZero() {
				add(m.row.From)
			}
			if !m.row.Until.IsZero() {
				add(m.row.Until.AddDays(1))
			}
			if slices.Contains(m.row.ReplacedIn, run.in.Market.Annexes()) {
				add(m.row.Replaced)
			}
		}
	}
	for _, u := range slices.Concat(run.uses, run.others) {
		for _, e := range u.elements {
			if e.row.For(run.in.Market) && !e.row.From.IsZero() {
				add(e.row.From)
			}
		}
	}
	slices.Sort(days)
	return days
}

// comingFinding words a finding of a later day. What will be unlawful must be
// settled before; the rest is worth knowing.
func comingFinding(f ingredients.Finding, day ingredients.Date) ingredients.Finding {
	inner := f
	f.Inner, f.Form, f.Values = &inner, "", with().Day("day", day)
	switch {
	case f.Code == "label-wording":
		f.Code, f.Severity = "coming-label", ingredients.Note
	case f.Severity == ingredients.Stop:
		f.Code, f.Severity = "coming-limit", ingredients.Ask
		f = f.By(ingredients.TheMaker)
	default:
		f.Code, f.Severity = "coming-limit", ingredients.Note
	}
	return f
}

// ComingAllergens says which names the label will need on a later day, and how
// long old stock without the newer names may be sold.
//
// Findings: note "coming-allergen" for each later day, with the names to add and
// those that no paper states yet; note "old-stock" while the transition of names
// that are due already runs.
// Source: Regulation (EU) 2023/1545 and allergens.csv, columns applies_from and
// transition_end.
func ComingAllergens(in *Input, comps []*Composition, materials map[string]*Material, now []AllergenTotal) []ingredients.Finding {
	fs := oldStock(in, now)
	var days []ingredients.Date
	for _, row := range in.Law.AllergensLater(in.Market, in.Date) {
		if !slices.Contains(days, row.From) {
			days = append(days, row.From)
		}
	}
	slices.Sort(days)
	have := map[string]bool{}
	for _, t := range now {
		have[t.LabelName] = t.OnLabel()
	}
	for _, day := range days {
		then := *in
		then.Date = day
		totals, _ := Allergens(&then, comps, materials)
		var c comingAllergens
		for _, t := range totals {
			switch {
			case t.OnLabel() && !have[t.LabelName]:
				have[t.LabelName] = true
				c.names, c.row = append(c.names, t.LabelName), t.Row
				c.sum = append(c.sum, ingredients.Term{Pos: t.Contributions[0].SourcePos, Key: "allergen-content", Values: portion(with().Name("allergen", t.LabelName).
					Range("content", t.Worst, "%", ingredients.FourDigits), t.WorstIn).Num("threshold", t.ThresholdPct, "%", ingredients.AsIs)})
			case t.Verdict == Unstated && t.Row.From == day:
				c.open = append(c.open, t.LabelName)
				c.whom = union(c.whom, t.Uncovered)
				c.row = t.Row
			}
		}
		if c.row != nil {
			fs = append(fs, c.finding(in, day))
		}
	}
	return fs
}

// oldStock says until when stock without the newer names may be sold.
func oldStock(in *Input, now []AllergenTotal) []ingredients.Finding {
	byDay := map[[2]ingredients.Date][]string{}
	var days [][2]ingredients.Date
	for _, t := range now {
		row := t.Row
		if !t.OnLabel() || row.Regime == "2003-list" || row.Until.IsZero() || row.Until.Before(in.Date) {
			continue
		}
		key := [2]ingredients.Date{row.From, row.Until}
		if byDay[key] == nil {
			days = append(days, key)
		}
		byDay[key] = append(byDay[key], t.LabelName)
	}
	var fs []ingredients.Finding
	for _, d := range days {
		fs = append(fs, in.onProduct(ingredients.NewFinding(ingredients.Note, "old-stock", in.Product.Pos,
			with().Name("market", string(in.Market)).Day("from", d[0]).Names("names", byDay[d]).Day("until", d[1]).Day("after", d[1].AddDays(1)))).By(ingredients.TheMaker))
	}
	return fs
}

// comingAllergens is what the label will need from a later day on.
type comingAllergens struct {
	row         *law.Allergen
	names, open []string
	whom        []string // materials whose papers do not state the open ones
	sum         []ingredients.Term
}

func (c *comingAllergens) finding(in *Input, day ingredients.Date) ingredients.Finding {
	form, v := "names", with().Day("day", day).Name("market", string(in.Market)).Names("names", c.names)
	if len(c.open) > 0 {
		v = v.Count("open", len(c.open)).Those("materials", in.materials(c.whom))
		form = "both"
		if len(c.names) == 0 {
			form = "unstated"
		}
	}
	f := in.onVariant(ingredients.NewFinding(ingredients.Note, "coming-allergen", in.Product.Pos,
		v.Source("law", ingredients.Values{{Kind: ingredients.KindQuote, Text: c.row.Source}}).Day("until", c.row.Until))).As(form).By(ingredients.TheMaker)
	f.Sum = c.sum
	return f
}
