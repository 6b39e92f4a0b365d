package ready

import (
	"slices"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/tox"
	"gallipot/calc/limits"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// noticeRules judge rows N1 to N11: the notice to each market before sale.
var noticeRules = map[string]func(*evidence.Filing) evidence.Answer{
	"N1":  notifiedBeforeSale,
	"N2":  categoryAndName,
	"N3":  responsibleAnswer,
	"N4":  originAndPlacing,
	"N5":  contactAnswer,
	"N6":  nanoInNotice,
	"N7":  classesAnswer,
	"N8":  frameFormulation,
	"N8a": concentrationBands,
	"N8b": ingredientsOfConcern,
	"N8c": phInNotice,
	"N8d": entryMethod,
	"N9":  labelAndPicture,
	"N10": noticeUpdate,
	"N11": penaltyNote,
}

func notifiedBeforeSale(f *evidence.Filing) evidence.Answer {
	var without []string
	var x evidence.Answer
	for _, m := range f.A.Markets {
		n := noticeOfFiling(f, m)
		if n == nil {
			without = append(without, string(m))
			continue
		}
		x = x.At(evidence.PlaceOf(n.Pos))
	}
	switch {
	case len(without) == 0:
		x.State, x.Words = evidence.ReadyPresent, "number on record for "+words.JoinNames(f.MarketNames())
		return x
	case len(without) == len(f.A.Markets):
		x.State = evidence.ReadyMissing
	default:
		x.State = evidence.ReadyPartly
	}
	x.Words = "no notification is on record for " + words.JoinNames(without)
	return x.By(words.MakerWord)
}

func categoryAndName(f *evidence.Filing) evidence.Answer {
	if f.Kind == nil || f.P.Name == "" {
		return evidence.Lacking("name or type of the product is not stated").By(words.MakerWord)
	}
	return evidence.Present("%s: %s", f.P.Name, f.Kind.Name).At(evidence.PlaceOf(f.P.TypePos))
}

func originAndPlacing(f *evidence.Filing) evidence.Answer {
	switch {
	case !sellsUnderEU(f):
		return evidence.NotNeeded("not asked for in Great Britain")
	case notifiedEU(f):
		return evidence.Present("given with the notice")
	}
	made, first := f.P.Origin(f.W), f.P.FirstPlaced
	switch {
	case made == "" && first == "":
		return evidence.Lacking("neither origin nor first Member State is stated: made_in and first_placed_in of the product file").By(words.MakerWord)
	case made == "":
		return evidence.Partly("first placed in %s; where it is made is not stated: made_in of the product file",
			first).By(words.MakerWord)
	case first == "":
		return evidence.Partly("made in %s; the first Member State is not stated: first_placed_in of the product file", made).
			InShort("made in %s; the first Member State is not stated", made).By(words.MakerWord)
	}
	return evidence.Present("made in %s, first placed in %s", made, first).At(evidence.PlaceOf(f.P.Pos))
}

func nanoInNotice(f *evidence.Filing) evidence.Answer {
	nano := f.Nano()
	switch {
	case len(nano) == 0:
		return evidence.Unstated("no constituent is marked as nano, and no document on file states particle sizes").
			InShort("none is marked as nano; no document states particle sizes")
	case f.Answer("N1").State == evidence.ReadyPresent:
		return evidence.Present("given with the notice: %s", words.JoinNames(nano))
	}
	return evidence.Lacking("to be given with the notice: %s", words.JoinNames(nano)).By(words.MakerWord)
}

func frameFormulation(f *evidence.Filing) evidence.Answer {
	if x := f.Answer("A1a"); x.State != evidence.ReadyPresent {
		return evidence.Partly("the exact or highest contents are computed; %s", x.Words).
			InShort("the exact or highest contents are computed; %s", x.InLine()).Asking(x.From...)
	}
	return evidence.Present("contents are computed, exact or as the highest of a range; a preset frame is checked on the form").
		InShort("contents are computed, exact or as the highest of a range")
}

func concentrationBands(f *evidence.Filing) evidence.Answer {
	return evidence.NotNeeded("exact contents are at hand, so no bands are needed")
}

func ingredientsOfConcern(f *evidence.Filing) evidence.Answer {
	if names := ethanolAndOils(f); len(names) > 0 {
		return evidence.Present("contents are computed for %s; the form says whether they are asked for",
			words.JoinNames(names)).InShort("contents are computed for %s", words.JoinNames(names))
	}
	return evidence.NotNeeded("neither ethanol nor an essential oil is in it")
}

func phInNotice(f *evidence.Filing) evidence.Answer {
	least := law.Fact(f.Law, "ph-water-least")
	_, wet := f.Wet()
	switch {
	case f.P.Specification.PH != nil:
		return evidence.Present("pH %s", f.P.Specification.PH.Text).At(evidence.PlaceOf(f.P.Specification.Pos))
	case !wet:
		return evidence.NotNeeded("no water in it: the form has an entry for that")
	case len(f.PhAsked()) == 0:
		return evidence.NotNeeded("less than %s %% of water in it: the form has an entry for products without a pH", least.Value)
	}
	return evidence.Lacking("no pH is specified").By(words.MakerWord)
}

func entryMethod(f *evidence.Filing) evidence.Answer {
	if !slices.Contains(f.A.Markets, rows.GB) {
		return evidence.NotNeeded("not sold in Great Britain")
	}
	return evidence.Present("the lines to type are the composition by substance")
}

func labelAndPicture(f *evidence.Filing) evidence.Answer {
	label, okLabel := f.Document("label")
	photo, okPhoto := f.Document("photo")
	for _, x := range f.P.Pictures {
		if !okPhoto && f.There(x.File) {
			photo, okPhoto = x.File, true
		}
	}
	switch {
	case okLabel && okPhoto:
		return evidence.Present("label and picture of the pack").At(label, photo)
	case okLabel || okPhoto:
		return evidence.Partly("only one of label and picture of the pack").At(label, photo).By(words.MakerWord)
	}
	return evidence.Lacking("neither label nor picture of the pack is on file").By(words.MakerWord)
}

func noticeUpdate(f *evidence.Filing) evidence.Answer {
	last := f.P.Newest()
	switch {
	case len(f.P.Notifications) == 0:
		return evidence.NotNeeded("nothing is notified yet")
	case last != nil && last.Fingerprint != f.A.Fingerprint:
		return evidence.Lacking("figures have changed since the assessment of %s: change the notice where an item of it did", last.Dated).At(evidence.PlaceOf(last.Pos)).By(words.MakerWord)
	}
	return evidence.Present("no change of figures is on record since the assessment or the notice")
}

// noticeOfFiling returns the notification that covers a market: the EU portal serves
// Northern Ireland too.
func noticeOfFiling(f *evidence.Filing, m rows.Market) *workshop.Notification {
	for i := range f.P.Notifications {
		n := &f.P.Notifications[i]
		if rows.Market(n.Market).Annexes() == m.Annexes() && n.Number != "" && !n.Dated.IsZero() {
			return n
		}
	}
	return nil
}

// contactAnswer judges row N5: a person to reach for each portal.
func contactAnswer(f *evidence.Filing) evidence.Answer {
	if f.Answer("N1").State == evidence.ReadyPresent {
		return evidence.Present("given with the notice")
	}
	var who, without []string
	for _, m := range f.A.Markets {
		if c := f.W.ContactFor(m); c.Name != "" {
			who = words.AddOnce(who, c.Name)
		} else {
			without = append(without, string(m))
		}
	}
	switch {
	case len(without) == 0:
		return evidence.Present("contact: %s", words.JoinNames(who)).At("workshop.yaml")
	case len(who) == 0:
		return evidence.Lacking("no contact person is named: contact under the responsible person in workshop.yaml").
			InShort("no contact person is named").By(words.MakerWord)
	}
	return evidence.Partly("contact: %s; none for %s: contact under the responsible person in workshop.yaml",
		words.JoinNames(who), words.JoinNames(without)).
		InShort("contact: %s; none for %s", words.JoinNames(who),
			words.JoinNames(without)).At("workshop.yaml").By(words.MakerWord)
}

func sellsUnderEU(f *evidence.Filing) bool {
	return slices.ContainsFunc(f.A.Markets, func(m rows.Market) bool { return m.Annexes() == rows.EU })
}

func notifiedEU(f *evidence.Filing) bool { return noticeOfFiling(f, rows.EU) != nil }

// dutyRules judge rows X1 to X13.
var dutyRules = map[string]func(*evidence.Filing) evidence.Answer{
	"X1":  nanoPreNotice,
	"X2":  animalTestingBan,
	"X3":  claimAnswer,
	"X4":  claimAnswer,
	"X5":  claimRefusals,
	"X6":  notTestedOnAnimals,
	"X7":  publicAccess,
	"X8":  seriousAnswer,
	"X9":  reportTimeAnswer,
	"X10": complaintLogAnswer,
	"X11": restrictedCheck,
	"X12": responsibleAnswer,
	"X13": onlineSale,
}

func nanoPreNotice(f *evidence.Filing) evidence.Answer {
	nano := f.Nano()
	if len(nano) == 0 {
		return evidence.Unstated("no constituent is marked as nano, and no document on file states particle sizes").
			InShort("none is marked as nano; no document states particle sizes")
	}
	return evidence.Lacking("%s: six months' notice, unless the substance is a listed colourant, preservative or UV filter in that form", words.JoinNames(nano)).By(words.MakerWord)
}

func animalTestingBan(f *evidence.Filing) evidence.Answer {
	return f.WithPaper(f.Having(func(t evidence.Traits) bool { return !t.Own }),
		evidence.Wanted{Words: "animal-testing statement"},
		"animal-testing")
}

func claimRefusals(f *evidence.Filing) evidence.Answer {
	if len(f.P.Claims) == 0 && len(claimsOfFiling(f)) == 0 {
		return evidence.NotNeeded("no claim is made")
	}
	stops, asks := claimCounts(f)
	switch {
	case stops > 0:
		return evidence.Lacking("%s to be taken out", words.Count(stops, "wording", "wordings")).
			By(words.MakerWord)
	case asks > 0:
		return evidence.Partly("%s to be decided", words.Count(asks, "wording", "wordings")).By(words.MakerWord)
	}
	return evidence.Present("no wording of the table is in the claims, names or directions; that makes no claim lawful").
		InShort("no wording of the table is in the claims, names or directions")
}

func notTestedOnAnimals(f *evidence.Filing) evidence.Answer {
	for _, x := range claimsOfFiling(f) {
		if x.Code != "claim-animal-testing" {
			continue
		}
		if proof := f.Answer("P5"); proof.State != evidence.ReadyPresent {
			return evidence.Lacking("the claim is made; %s", proof.Words).
				InShort("the claim is made; %s", proof.InLine()).At(evidence.PlaceOf(x.Pos)).Asking(proof.From...)
		}
		return evidence.Present("the claim is made, and statements of all suppliers and of the maker are there").
			At(evidence.PlaceOf(x.Pos))
	}
	return evidence.NotNeeded("the claim is not made")
}

func publicAccess(f *evidence.Filing) evidence.Answer {
	if f.P.ComplaintsPos.IsZero() {
		return evidence.Partly("composition can be given on request; nothing is said about undesirable effects").
			By(words.MakerWord)
	}
	return evidence.Present("composition and undesirable effects can be given on request").
		At(evidence.PlaceOf(f.P.ComplaintsPos))
}

func restrictedCheck(f *evidence.Filing) evidence.Answer {
	exceeded, open := 0, 0
	f.EachResult(func(r *calc.Result) {
		for _, l := range r.Limits {
			switch l.Verdict {
			case limits.LimitExceeded:
				exceeded++
			case limits.LimitUndecided:
				open++
			}
		}
	})
	if exceeded+open > 0 {
		return evidence.Partly("checked; over variants and markets %s exceeded and %s undecided",
			words.Count(exceeded, "row", "rows"), words.Count(open, "row", "rows")).By(words.MakerWord)
	}
	return evidence.Present("checked against the tables for %s on %s", words.JoinNames(f.MarketNames()),
		f.A.Options.Date)
}

func onlineSale(f *evidence.Filing) evidence.Answer {
	if !sellsUnderEU(f) {
		return evidence.NotNeeded("not sold in the EU or Northern Ireland")
	}
	if paper, ok := f.Document("offer"); ok {
		return evidence.Present("picture of the offer").At(paper)
	}
	return evidence.Lacking("if it is sold at a distance: no picture of the offer is on file").By(words.MakerWord)
}

// claimAnswer judges whether the claims are backed and free of wordings that
// the law refuses.
func claimAnswer(f *evidence.Filing) evidence.Answer {
	if len(f.P.Claims) == 0 && len(claimsOfFiling(f)) == 0 {
		return evidence.NotNeeded("no claim is made")
	}
	proof := f.Answer("P4")
	stops, asks := claimCounts(f)
	switch {
	case stops > 0:
		return evidence.Lacking("%s that a cosmetic may not carry", words.Count(stops, "wording", "wordings")).
			At(proof.Places...).By(words.MakerWord)
	case asks > 0 || proof.Open():
		open := words.Count(asks, "wording", "wordings")
		return evidence.Partly("%s; %s to be decided", proof.Words, open).
			InShort("%s; %s to be decided", proof.InLine(), open).At(proof.Places...).By(words.MakerWord)
	}
	return evidence.Present("%s", proof.Words).InShort("%s", proof.InLine()).At(proof.Places...)
}

func claimCounts(f *evidence.Filing) (stops, asks int) {
	for _, x := range claimsOfFiling(f) {
		switch {
		case x.Code == "claim-proof" && x.About.ID == f.P.ID: // said once for all claims, in words above
		case x.Severity == finding.Stop:
			stops++
		case x.Severity == finding.Ask:
			asks++
		}
	}
	return stops, asks
}

func seriousAnswer(f *evidence.Filing) evidence.Answer {
	open, all := seriousEffects(f)
	switch {
	case all == 0 && f.P.ComplaintsPos.IsZero():
		return evidence.Partly("nothing is said about undesirable effects").By(words.MakerWord)
	case all == 0:
		return evidence.NotNeeded("no serious undesirable effect is on record")
	case len(open) > 0:
		return evidence.Lacking("%s not reported to the authority", words.Count(len(open), "serious effect",
			"serious effects")).At(evidence.PlaceOf(open[0].Pos)).By(words.MakerWord)
	}
	return evidence.Present("%s reported", words.Count(all, "serious effect", "serious effects"))
}

// seriousEffects returns those not yet reported, and how many there are.
func seriousEffects(f *evidence.Filing) (open []workshop.Complaint, all int) {
	for _, c := range f.P.Complaints {
		if c.Serious {
			all++
			if c.Reported.IsZero() {
				open = append(open, c)
			}
		}
	}
	return open, all
}

func reportTimeAnswer(f *evidence.Filing) evidence.Answer {
	open, all := seriousEffects(f)
	if all == 0 && f.P.ComplaintsPos.IsZero() {
		return evidence.Unstated("nothing is said about undesirable effects")
	}
	if all == 0 {
		return evidence.NotNeeded("no serious undesirable effect is on record")
	}
	days, late := f.ReportDays(), 0
	for _, c := range f.P.Complaints {
		if c.Serious && !c.Reported.IsZero() && c.Dated.AddDays(days).Before(c.Reported) {
			late++
		}
	}
	switch {
	case len(open) > 0:
		return evidence.Lacking("report within %d days, and without delay", days).At(evidence.PlaceOf(open[0].Pos)).
			By(words.MakerWord)
	case late > 0:
		return evidence.Partly("%s after more than %d days", words.Count(late, "report", "reports"), days)
	}
	return evidence.Present("each within %d days", days)
}

func complaintLogAnswer(f *evidence.Filing) evidence.Answer {
	without := 0
	for _, c := range f.P.Complaints {
		if c.Batch == "" || c.Outcome == "" {
			without++
		}
	}
	switch {
	case f.P.ComplaintsPos.IsZero():
		return evidence.Lacking("no log of complaints").By(words.MakerWord)
	case len(f.P.Complaints) == 0:
		return evidence.NotNeeded("no complaint is on record")
	case without > 0:
		return evidence.Partly("%s without batch or outcome", words.Count(without, "complaint", "complaints")).
			At(evidence.PlaceOf(f.P.ComplaintsPos)).By(words.MakerWord)
	}
	return evidence.Present("%s with batch and outcome", words.Count(len(f.P.Complaints), "complaint",
		"complaints")).At(evidence.PlaceOf(f.P.ComplaintsPos))
}

// classesAnswer says which substances the table of hazard classes knows as carcinogenic,
// mutagenic or toxic to reproduction, and how many it does not speak of.
func classesAnswer(f *evidence.Filing) evidence.Answer {
	tables := tox.Builtin()
	var classed, second, asked, silent []string
	for _, r := range f.A.Results {
		for _, s := range r.Whole().Substances {
			switch class := tables.ClassOf(s.CAS); {
			case class == nil:
				silent = words.AddOnce(silent, s.INCI)
			case class.IsFirstCMR():
				classed = words.AddOnce(classed, s.INCI)
			case class.IsCMR():
				second = words.AddOnce(second, s.INCI)
			case class.Question:
				asked = words.AddOnce(asked, s.INCI)
			}
		}
	}
	found, short := "none of category 1A or 1B by the table of hazard classes", "none of category 1A or 1B"
	if len(classed) > 0 {
		found = "category 1A or 1B: " + words.JoinNames(classed)
		short = found
	}
	if len(second) > 0 {
		found += "; category 2: " + words.JoinNames(second)
		short += "; category 2: " + words.JoinNames(second)
	}
	if len(asked) > 0 {
		found += "; to be judged by the note of the entry: " + words.JoinNames(asked)
		short += "; question: " + words.JoinNames(asked)
	}
	rest := words.Count(len(silent), "substance", "substances")
	return evidence.ForAssessor("%s; %s not in it: safety data sheets", found,
		words.Count(len(silent), "substance is", "substances are")).InShort("%s; %s not in the table", short, rest)
}

func penaltyNote(*evidence.Filing) evidence.Answer { return evidence.NotNeeded("for information only") }
