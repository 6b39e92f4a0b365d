package records

import (
	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/stability"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// usual are the columns of readings that always stand; the others where something is in them.
var usual = map[string]bool{"week": true, "ph": true, "appearance": true, "odour": true}

// dueRow is a reading that is still to be taken.
type dueRow struct{ Day, What string }

// tests fills the page of tests: each test as a form of its own with its readings or counts.
func tests(v *frame.Visit, f *frame.Opened, p *workshop.Product, a *assess.Assessment,
	words map[string][]frame.Choice, wrong *failed, data map[string]any) error {
	storage, err := nested(v, f, "storage", []string{"readings", "covers"}, words, wrong)
	if err != nil {
		return err
	}
	micro, err := nested(v, f, "micro", []string{"counts", "covers"}, words, wrong)
	if err != nil {
		return err
	}
	data["Storage"], data["Micro"] = storage, micro
	var due []dueRow
	for _, e := range stability.Readings(p, v.Shot.Options.Law, v.Shot.Options.Date) {
		due = append(due, dueRow{frame.ShortDay(e.Day), e.Summary})
	}
	data["Due"] = due[:min(len(due), 6)]
	if a != nil && len(p.Stability) > 0 {
		if data["Trend"], err = drawn(v, stability.Shown(a)); err != nil {
			return err
		}
	}
	if a != nil && len(p.Microbiology) > 0 {
		data["Evaluated"], err = drawn(v, stability.Evaluated(a))
	}
	return err
}

// nested fills a list whose entries hold lists.
func nested(v *frame.Visit, f *frame.Opened, name string, inner []string, words map[string][]frame.Choice,
	wrong *failed) (*frame.Listing, error) {
	at := placeOf(name)
	l, err := frame.Listed(f, lists, name, at, words)
	if err != nil {
		return nil, err
	}
	wrong.set(v, l)
	for i := range l.Rows {
		for _, x := range inner {
			if x == "covers" && len(words["variants"]) < 2 ||
				x == "counts" && l.Rows[i].Cell("test") != "challenge" {
				continue
			}
			in, err := frame.Listed(f, lists, x, at.At(i).Then(x), words)
			if err != nil {
				return nil, err
			}
			if x == "readings" {
				in.Drop(func(key string) bool { return !usual[key] })
			}
			wrong.set(v, in)
			l.Rows[i].Lists = append(l.Rows[i].Lists, in)
		}
	}
	return l, nil
}

// pointsOf are the open points that a page settles.
func pointsOf(v *frame.Visit, a *assess.Assessment, page string) (list []finding.Finding) {
	for _, f := range v.Open(a) {
		if link := v.Where(f); frame.SamePage(link.Href, page) {
			list = append(list, f)
		}
	}
	return list
}
