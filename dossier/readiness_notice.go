package dossier

import (
	"slices"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// noticeRules judge rows N1 to N11: the notice to each market before sale.
var noticeRules = map[string]func(*filing) answer{
	"N1": func(f *filing) answer {
		var without []string
		var x answer
		for _, m := range f.a.Markets {
			n := f.notice(m)
			if n == nil {
				without = append(without, string(m))
				continue
			}
			x = x.at(placeOf(n.Pos))
		}
		switch {
		case len(without) == 0:
			x.state, x.words = ReadyPresent, "number on record for "+joinNames(f.marketNames())
			return x
		case len(without) == len(f.a.Markets):
			x.state = ReadyMissing
		default:
			x.state = ReadyPartly
		}
		x.words = "no notification is on record for " + joinNames(without)
		return x.by(makerWord)
	},
	"N2": func(f *filing) answer {
		if f.kind == nil || f.p.Name == "" {
			return lacking("name or type of the product is not stated").by(makerWord)
		}
		return present("%s: %s", f.p.Name, f.kind.Name).at(placeOf(f.p.TypePos))
	},
	"N3": responsibleAnswer,
	"N4": func(f *filing) answer {
		switch {
		case !f.sellsUnderEU():
			return notNeeded("not asked for in Great Britain")
		case f.notifiedEU():
			return present("given with the notice")
		}
		made, first := f.p.madeIn(f.w), f.p.FirstPlaced
		switch {
		case made == "" && first == "":
			return lacking("neither origin nor first Member State is stated: made_in and first_placed_in of the product file").by(makerWord)
		case made == "":
			return partly("first placed in %s; where it is made is not stated: made_in of the product file", first).by(makerWord)
		case first == "":
			return partly("made in %s; the first Member State is not stated: first_placed_in of the product file", made).by(makerWord)
		}
		return present("made in %s, first placed in %s", made, first).at(placeOf(f.p.Pos))
	},
	"N5": contactAnswer,
	"N6": func(f *filing) answer {
		nano := f.nano()
		switch {
		case len(nano) == 0:
			return notNeeded("no constituent is marked as nano")
		case f.answer("N1").state == ReadyPresent:
			return present("given with the notice: %s", joinNames(nano))
		}
		return lacking("to be given with the notice: %s", joinNames(nano)).by(makerWord)
	},
	"N7": func(f *filing) answer {
		return forAssessor("the tables do not say which substances are carcinogenic, mutagenic or toxic to reproduction: see the safety data sheets")
	},
	"N8": func(f *filing) answer {
		if x := f.answer("A1a"); x.state != ReadyPresent {
			return partly("the exact or highest contents are computed; %s", x.words).asking(x.from...)
		}
		return present("contents are computed, exact or as the highest of a range; a preset frame is checked on the form")
	},
	"N8a": func(f *filing) answer { return notNeeded("exact contents are at hand, so no bands are needed") },
	"N8b": func(f *filing) answer {
		if names := f.ethanolAndOils(); len(names) > 0 {
			return present("contents are computed for %s; the form says whether they are asked for", joinNames(names))
		}
		return notNeeded("neither ethanol nor an essential oil is in it")
	},
	"N8c": func(f *filing) answer {
		least := f.law.Fact("ph-water-least")
		_, wet := f.wet()
		switch {
		case f.p.Specification.PH != nil:
			return present("pH %s", f.p.Specification.PH.Text).at(placeOf(f.p.Specification.Pos))
		case !wet:
			return notNeeded("no water in it: the form has an entry for that")
		case len(f.phAsked()) == 0:
			return notNeeded("less than %s %% of water in it: the form has an entry for products without a pH", least.Value)
		}
		return lacking("no pH is specified").by(makerWord)
	},
	"N8d": func(f *filing) answer {
		if !slices.Contains(f.a.Markets, law.GB) {
			return notNeeded("not sold in Great Britain")
		}
		return present("the lines to type are the composition by substance")
	},
	"N9": func(f *filing) answer {
		label, okLabel := f.document("label")
		photo, okPhoto := f.document("photo")
		switch {
		case okLabel && okPhoto:
			return present("label and picture of the pack").at(label, photo)
		case okLabel || okPhoto:
			return partly("only one of label and picture of the pack").at(label, photo).by(makerWord)
		}
		return lacking("neither label nor picture of the pack is in the workshop").by(makerWord)
	},
	"N10": func(f *filing) answer {
		last := f.p.newest()
		switch {
		case len(f.p.Notifications) == 0:
			return notNeeded("nothing is notified yet")
		case last != nil && last.Fingerprint != f.a.Fingerprint:
			return lacking("figures have changed since the assessment of %s: change the notice where an item of it did", last.Dated).at(placeOf(last.Pos)).by(makerWord)
		}
		return present("no change of figures is on record since the assessment or the notice")
	},
	"N11": func(f *filing) answer { return notNeeded("for information only") },
}

// notice returns the notification that covers a market: the EU portal serves
// Northern Ireland too.
func (f *filing) notice(m law.Market) *Notification {
	for i := range f.p.Notifications {
		n := &f.p.Notifications[i]
		if law.Market(n.Market).Annexes() == m.Annexes() && n.Number != "" && !n.Dated.IsZero() {
			return n
		}
	}
	return nil
}

// contactAnswer judges row N5: a person to reach for each portal.
func contactAnswer(f *filing) answer {
	if f.answer("N1").state == ReadyPresent {
		return present("given with the notice")
	}
	var who, without []string
	for _, m := range f.a.Markets {
		if c := f.w.contactFor(m); c.Name != "" {
			who = addOnce(who, c.Name)
		} else {
			without = append(without, string(m))
		}
	}
	switch {
	case len(without) == 0:
		return present("contact: %s", joinNames(who)).at("workshop.yaml")
	case len(who) == 0:
		return lacking("no contact person is named: contact under the responsible person in workshop.yaml").by(makerWord)
	}
	return partly("contact: %s; none for %s: contact under the responsible person in workshop.yaml", joinNames(who), joinNames(without)).at("workshop.yaml").by(makerWord)
}

func (f *filing) sellsUnderEU() bool {
	return slices.ContainsFunc(f.a.Markets, func(m law.Market) bool { return m.Annexes() == law.EU })
}

func (f *filing) notifiedEU() bool { return f.notice(law.EU) != nil }

// dutyRules judge rows X1 to X13.
var dutyRules = map[string]func(*filing) answer{
	"X1": func(f *filing) answer {
		nano := f.nano()
		if len(nano) == 0 {
			return notNeeded("no constituent is marked as nano")
		}
		return lacking("%s: six months' notice, unless the substance is a listed colourant, preservative or UV filter in that form", joinNames(nano)).by(makerWord)
	},
	"X2": func(f *filing) answer {
		return f.withPaper(f.having(func(t traits) bool { return !t.own }), "animal-testing statement", "animal-testing")
	},
	"X3": func(f *filing) answer { return f.claimAnswer() },
	"X4": func(f *filing) answer { return f.claimAnswer() },
	"X5": func(f *filing) answer {
		if len(f.p.Claims) == 0 && len(f.claims()) == 0 {
			return notNeeded("no claim is made")
		}
		stops, asks := f.claimCounts()
		switch {
		case stops > 0:
			return lacking("%s to be taken out", count(stops, "wording", "wordings")).by(makerWord)
		case asks > 0:
			return partly("%s to be decided", count(asks, "wording", "wordings")).by(makerWord)
		}
		return present("no wording of the table is in the claims, names or directions; that makes no claim lawful")
	},
	"X6": func(f *filing) answer {
		for _, x := range f.claims() {
			if x.Code != "claim-animal-testing" {
				continue
			}
			if proof := f.answer("P5"); proof.state != ReadyPresent {
				return lacking("the claim is made; %s", proof.words).at(placeOf(x.Pos)).asking(proof.from...)
			}
			return present("the claim is made, and statements of all suppliers and of the maker are there").at(placeOf(x.Pos))
		}
		return notNeeded("the claim is not made")
	},
	"X7": func(f *filing) answer {
		if f.p.ComplaintsPos.IsZero() {
			return partly("composition can be given on request; nothing is said about undesirable effects").by(makerWord)
		}
		return present("composition and undesirable effects can be given on request").at(placeOf(f.p.ComplaintsPos))
	},
	"X8":  seriousAnswer,
	"X9":  reportTimeAnswer,
	"X10": complaintLogAnswer,
	"X11": func(f *filing) answer {
		exceeded, open := 0, 0
		f.eachResult(func(r *calc.Result) {
			for _, l := range r.Limits {
				switch l.Verdict {
				case calc.LimitExceeded:
					exceeded++
				case calc.LimitUndecided:
					open++
				}
			}
		})
		if exceeded+open > 0 {
			return partly("checked; over variants and markets %s exceeded and %s undecided", count(exceeded, "row", "rows"), count(open, "row", "rows")).by(makerWord)
		}
		return present("checked against the tables for %s on %s", joinNames(f.marketNames()), f.a.Options.Date)
	},
	"X12": responsibleAnswer,
	"X13": func(f *filing) answer {
		if !f.sellsUnderEU() {
			return notNeeded("not sold in the EU or Northern Ireland")
		}
		if paper, ok := f.document("offer"); ok {
			return present("picture of the offer").at(paper)
		}
		return lacking("if it is sold at a distance: no picture of the offer is in the workshop (a paper of kind offer)").by(makerWord)
	},
}

// claimAnswer judges whether the claims are backed and free of wordings that
// the law refuses.
func (f *filing) claimAnswer() answer {
	if len(f.p.Claims) == 0 && len(f.claims()) == 0 {
		return notNeeded("no claim is made")
	}
	proof := f.answer("P4")
	stops, asks := f.claimCounts()
	switch {
	case stops > 0:
		return lacking("%s that a cosmetic may not carry", count(stops, "wording", "wordings")).at(proof.places...).by(makerWord)
	case asks > 0 || proof.open():
		x := partly("%s; %s to be decided", proof.words, count(asks, "wording", "wordings")).at(proof.places...)
		return x.by(makerWord)
	}
	return present("%s", proof.words).at(proof.places...)
}

func (f *filing) claimCounts() (stops, asks int) {
	for _, x := range f.claims() {
		switch {
		case x.Code == "claim-proof" && x.Subject == f.p.ID:
		case x.Severity == ingredients.Stop:
			stops++
		case x.Severity == ingredients.Ask:
			asks++
		}
	}
	return stops, asks
}

func seriousAnswer(f *filing) answer {
	open, all := f.seriousEffects()
	switch {
	case all == 0 && f.p.ComplaintsPos.IsZero():
		return partly("nothing is said about undesirable effects").by(makerWord)
	case all == 0:
		return notNeeded("no serious undesirable effect is on record")
	case len(open) > 0:
		return lacking("%s not reported to the authority", count(len(open), "serious effect", "serious effects")).at(placeOf(open[0].Pos)).by(makerWord)
	}
	return present("%s reported", count(all, "serious effect", "serious effects"))
}

// seriousEffects returns those not yet reported, and how many there are.
func (f *filing) seriousEffects() (open []Complaint, all int) {
	for _, c := range f.p.Complaints {
		if c.Serious {
			all++
			if c.Reported.IsZero() {
				open = append(open, c)
			}
		}
	}
	return open, all
}

// reportDays is how many days a report may take, as the table has it.
func (f *filing) reportDays() int { return f.law.DossierItem("X9").Days }

func reportTimeAnswer(f *filing) answer {
	open, all := f.seriousEffects()
	if all == 0 {
		return notNeeded("no serious undesirable effect is on record")
	}
	days, late := f.reportDays(), 0
	for _, c := range f.p.Complaints {
		if c.Serious && !c.Reported.IsZero() && c.Dated.AddDays(days).Before(c.Reported) {
			late++
		}
	}
	switch {
	case len(open) > 0:
		return lacking("report within %d days, and without delay", days).at(placeOf(open[0].Pos)).by(makerWord)
	case late > 0:
		return partly("%s after more than %d days", count(late, "report", "reports"), days)
	}
	return present("each within %d days", days)
}

func complaintLogAnswer(f *filing) answer {
	without := 0
	for _, c := range f.p.Complaints {
		if c.Batch == "" || c.Outcome == "" {
			without++
		}
	}
	switch {
	case f.p.ComplaintsPos.IsZero():
		return lacking("no log of complaints").by(makerWord)
	case len(f.p.Complaints) == 0:
		return notNeeded("no complaint is on record")
	case without > 0:
		return partly("%s without batch or outcome", count(without, "complaint", "complaints")).at(placeOf(f.p.ComplaintsPos)).by(makerWord)
	}
	return present("%s with batch and outcome", count(len(f.p.Complaints), "complaint", "complaints")).at(placeOf(f.p.ComplaintsPos))
}
