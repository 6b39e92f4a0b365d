package product

import (
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/workshop"
)

// claim is what the label claims and what the lint says of it; with no text, what it says of
// them all.
type claim struct {
	Text string
	Told []frame.Told
}

// claimText are the claims of a product as they are typed, one a line.
func claimText(p *workshop.Product) string {
	var lines []string
	for _, c := range p.Claims {
		lines = append(lines, c.Text)
	}
	return strings.Join(lines, "\n")
}

// claims are the claims of a product, each with what is open about it.
func claims(a *assess.Assessment, v *frame.Visit) []claim {
	var list []claim
	for _, c := range a.Product.Claims {
		list = append(list, claim{Text: c.Text})
	}
	var rest claim
	for _, f := range a.Findings {
		if !strings.HasPrefix(f.Code, "claim") {
			continue
		}
		of := &rest
		for i := range list {
			if list[i].Text == f.Subject {
				of = &list[i]
			}
		}
		of.Told = append(of.Told, v.Tell(f))
	}
	if len(rest.Told) > 0 {
		list = append(list, rest)
	}
	return list
}

// liveClaims says what the lint says of claims while they are typed. Nothing is written.
func liveClaims(v *frame.Visit) error {
	done, ok := v.Turn()
	if !ok {
		return nil
	}
	defer done()
	x, err := tryOut(v)
	if err != nil {
		return err
	}
	if x.after == nil {
		return frame.Wrong("That cannot be read.", "Write a sentence on each line.")
	}
	out, err := v.Part("claimlist", claims(x.after, v))
	return v.JSONOf(frame.Answer{Out: map[string]frame.HTML{"out-claims": out}}, err)
}

func saveClaims(v *frame.Visit) error {
	_, _, form, err := of(v)
	if err != nil {
		return err
	}
	form.Back += "/label"
	return v.SaveForm(form,
		func(*frame.Opened) (frame.Answer, error) { return frame.Answer{Go: form.Back}, nil })
}
