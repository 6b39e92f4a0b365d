package calc

import (
	"fmt"
	"slices"
	"strings"

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
		for _, key := range stops {
			if !slices.Contains(later, key) && !said["free|"+key] {
				said["free|"+key] = true
				_, subject, _ := strings.Cut(key, "|")
				fs = append(fs, ingredients.Findingf(ingredients.Note, "coming-limit", run.in.Product.Pos, "from %s on no rule in the tables stops %s any more", day, subject).
					On(subject).WithFix("check the product again for a day from %s on, with check --date", day))
			}
		}
	}
	return fs
}

// changeKey tells findings apart that say the same of another day.
func changeKey(f ingredients.Finding) string {
	key := f.Severity.String() + "|" + f.Code + "|" + f.Subject
	if f.Code == "label-wording" {
		key = f.Code + "|" + f.Message
	}
	return key
}

func stopKeys(fs []ingredients.Finding) []string {
	var out []string
	for _, f := range fs {
		if f.Severity == ingredients.Stop {
			out = append(out, f.Code+"|"+f.Subject)
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
	f.Message = fmt.Sprintf("from %s: %s", day, f.Message)
	switch {
	case f.Code == "label-wording":
		f.Code, f.Severity = "coming-label", ingredients.Note
	case f.Severity == ingredients.Stop:
		f.Code, f.Severity, f.Ask = "coming-limit", ingredients.Ask, "the maker"
	default:
		f.Code, f.Severity = "coming-limit", ingredients.Note
	}
	f.Fix = "before " + day.String() + ": " + f.Fix
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
		var names, open, whom []string
		var row *law.Allergen
		var sum []ingredients.Term
		for _, t := range totals {
			switch {
			case t.OnLabel() && !have[t.LabelName]:
				have[t.LabelName] = true
				names, row = append(names, t.LabelName), t.Row
				sum = append(sum, ingredients.Term{Pos: t.Contributions[0].SourcePos, Text: t.LabelName + " " + rangeText(t.Worst) + " % of " + placeName(t.WorstIn) + ", threshold " + t.ThresholdPct.Exact() + " %"})
			case t.Verdict == Unstated && t.Row.From == day:
				open = append(open, t.LabelName)
				whom = union(whom, t.Uncovered)
				row = t.Row
			}
		}
		if row != nil {
			fs = append(fs, comingNames(in, day, row, names, open, whom, sum))
		}
	}
	return fs
}

func comingNames(in *Input, day ingredients.Date, row *law.Allergen, names, open, whom []string, sum []ingredients.Term) ingredients.Finding {
	variant := in.Product.ID
	if in.Variant.ID != "" {
		variant += "/" + in.Variant.ID
	}
	var parts []string
	fix := ""
	if len(names) > 0 {
		parts = append(parts, "needs these names added to its "+string(in.Market)+" label: "+strings.Join(names, ", "))
		fix = "add the names when the label is next printed, at the latest for what is placed on the market on that day"
	}
	if len(open) > 0 {
		parts = append(parts, fmt.Sprintf("%d names of the list are not stated by the papers of %s", len(open), joinAnd(whom)))
		fix = strings.TrimPrefix(fix+"; ask for declarations against the list of Regulation (EU) 2023/1545", "; ")
	}
	f := ingredients.Findingf(ingredients.Note, "coming-allergen", in.Product.Pos, "from %s %s %s", day, variant, strings.Join(parts, ", and ")).On(variant)
	f.Sum, f.Fix = sum, fix
	f.Why = row.Source
	if !row.Until.IsZero() {
		f.Why += "; stock placed before may be sold until " + row.Until.String()
	}
	return f
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
		fs = append(fs, ingredients.Findingf(ingredients.Note, "old-stock", in.Product.Pos, "stock placed on the %s market before %s without %s on its label may be sold until %s", in.Market, d[0], strings.Join(byDay[d], ", "), d[1]).
			On(in.Product.ID).WithFix("from %s on relabel or withdraw what is left of it", d[1].AddDays(1)).
			WithWhy("transition of Regulation (EU) 2023/1545; allergens.csv"))
	}
	return fs
}
