package answer

import (
	"gallipot/dossier/edit"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// value is a record as it is written into the product file under assessments.
func value(rec workshop.Recorded) edit.Value {
	v := edit.Group()
	text := func(key, s string) {
		if s != "" {
			v = v.With(key, edit.Text(s))
		}
	}
	text("assessor", rec.Assessor)
	text("qualification", rec.Qualification)
	if !rec.Dated.IsZero() {
		v = v.With("dated", edit.Typed(rec.Dated.String()))
	}
	text("fingerprint", rec.Fingerprint)
	if rec.Revision > 0 {
		v = v.With("revision", edit.Typed(exact.Int(int64(rec.Revision)).String()))
	}
	text("conclusion", rec.Conclusion)
	text("conditions", rec.Conditions)
	text("warnings", rec.Warnings)
	text("more_warnings", rec.MoreWarnings)
	text("next_review", rec.NextReview)
	if len(rec.Variants)+len(rec.Markets) > 0 {
		g := edit.Group()
		if len(rec.Variants) > 0 {
			g = g.With("variants", valid(rec.Variants))
		}
		if len(rec.Markets) > 0 {
			g = g.With("markets", valid(rec.Markets))
		}
		v = v.With("valid_for", g)
	}
	list := func(key string, items []edit.Value) {
		if len(items) > 0 {
			v = v.With(key, edit.List(items...))
		}
	}
	var values, accepted, replies, statements []edit.Value
	for _, j := range rec.Values {
		g := group("inci", j.INCI)
		for _, f := range []struct {
			key string
			n   *exact.Num
		}{{"pod_mg_per_kg_bw_d", j.PoD}, {"absorption_pct", j.AbsorptionPct}, {"target", j.Target}} {
			if f.n != nil {
				g = g.With(f.key, edit.Typed(f.n.Exact()))
			}
		}
		values = append(values, and(g, "pod_type", j.PoDType, "route", j.Route, "reason", j.Reason))
	}
	for _, a := range rec.Accepted {
		accepted = append(accepted, group("finding", a.Finding, "about", a.About, "says", a.Says, "because",
			a.Because))
	}
	for _, a := range rec.Replies {
		replies = append(replies, group("question", a.Question, "answer", a.Answer, "words", a.Words))
	}
	for _, s := range rec.Statements {
		statements = append(statements, group("code", s.Code, "text", s.Text))
	}
	list("values", values)
	list("accepted", accepted)
	list("replies", replies)
	list("statements", statements)
	return v.With("answer", group("file", rec.Answer.File, "sha256", rec.Answer.SHA256))
}

func valid(of []workshop.Valid) edit.Value {
	var items []edit.Value
	for _, x := range of {
		items = append(items, group("id", x.ID, "verdict", x.Verdict, "condition", x.Condition))
	}
	return edit.List(items...)
}

// group makes a group of the keys that have a text.
func group(pairs ...string) edit.Value { return and(edit.Group(), pairs...) }

func and(g edit.Value, pairs ...string) edit.Value {
	for i := 0; i < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			g = g.With(pairs[i], edit.Text(pairs[i+1]))
		}
	}
	return g
}

// Enter puts a record at the end of the assessments of a product file and leaves every
// other byte as it is.
//
// Errors: a *edit.Refusal where the file cannot be changed there.
func Enter(name string, data []byte, rec workshop.Recorded) ([]byte, error) {
	f, err := edit.Parse(name, data)
	if err != nil {
		return nil, err
	}
	f, err = f.Apply(edit.Insert(edit.Path{"assessments", "-"}, value(rec)))
	if err != nil {
		return nil, err
	}
	return f.Bytes(), nil
}

// Sign enters the signed report of the newest answer for figures: its file and its hash.
// ok is false where no answer for them is on record.
//
// Errors: a *edit.Refusal where the file cannot be changed there.
func Sign(name string, data []byte, at int, file, sha256 string) ([]byte, error) {
	f, err := edit.Parse(name, data)
	if err != nil {
		return nil, err
	}
	p := edit.Path{"assessments"}.At(at)
	f, err = f.Apply(edit.Set(p.Then("file"), edit.Text(file)), edit.Set(p.Then("sha256"), edit.Text(sha256)))
	if err != nil {
		return nil, err
	}
	return f.Bytes(), nil
}
