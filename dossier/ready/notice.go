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
		return evidence.Present("notified", finding.With().Names("markets", f.MarketNames())).At(x.Places...)
	case len(without) == len(f.A.Markets):
		x.State = evidence.ReadyMissing
	default:
		x.State = evidence.ReadyPartly
	}
	return x.Also("not-notified", finding.With().Names("markets", without)).By(words.MakerWord)
}

func categoryAndName(f *evidence.Filing) evidence.Answer {
	if f.Kind == nil || f.P.Name == "" {
		return evidence.Lacking("category-unknown", nil).By(words.MakerWord)
	}
	return evidence.Present("category-known", finding.With().Quote("name", f.P.Name).Quote("type", f.Kind.Name)).
		At(evidence.PlaceOf(f.P.TypePos))
}

func originAndPlacing(f *evidence.Filing) evidence.Answer {
	switch {
	case !sellsUnderEU(f):
		return evidence.NotNeeded("origin-not-asked", nil)
	case notifiedEU(f):
		return evidence.Present("given-with-notice", nil)
	}
	made, first := f.P.Origin(f.W), f.P.FirstPlaced
	stated := finding.With().Name("made", made).Name("first", first)
	switch {
	case made == "" && first == "":
		return evidence.Lacking("origin-unstated", nil).By(words.MakerWord)
	case made == "":
		return evidence.Partly("made-unstated", stated).By(words.MakerWord)
	case first == "":
		return evidence.Partly("first-unstated", stated).By(words.MakerWord)
	}
	return evidence.Present("origin-stated", stated).At(evidence.PlaceOf(f.P.Pos))
}

func nanoInNotice(f *evidence.Filing) evidence.Answer {
	nano := f.Nano()
	switch {
	case len(nano) == 0:
		return evidence.Unstated("no-nano-marked", nil)
	case f.Answer("N1").State == evidence.ReadyPresent:
		return evidence.Present("given-with-notice", finding.With().Names("substances", nano))
	}
	return evidence.Lacking("nano-to-give", finding.With().Names("substances", nano)).By(words.MakerWord)
}

func frameFormulation(f *evidence.Filing) evidence.Answer {
	if x := f.Answer("A1a"); x.State != evidence.ReadyPresent {
		return evidence.Partly("contents-so-far", nil).Saying(x).Asking(x.From...)
	}
	return evidence.Present("contents-computed", nil)
}

func concentrationBands(f *evidence.Filing) evidence.Answer {
	return evidence.NotNeeded("no-bands-needed", nil)
}

func ingredientsOfConcern(f *evidence.Filing) evidence.Answer {
	if names := ethanolAndOils(f); len(names) > 0 {
		return evidence.Present("concern-computed", finding.With().Names("substances", names))
	}
	return evidence.NotNeeded("none-of-concern", nil)
}

func phInNotice(f *evidence.Filing) evidence.Answer {
	least := law.Fact(f.Law, "ph-water-least")
	_, wet := f.Wet()
	switch {
	case f.P.Specification.PH != nil:
		return evidence.Present("ph-specified", finding.With().Figure("ph", f.P.Specification.PH.Text, "")).
			At(evidence.PlaceOf(f.P.Specification.Pos))
	case !wet:
		return evidence.NotNeeded("ph-no-water", nil)
	case len(f.PhAsked()) == 0:
		return evidence.NotNeeded("ph-little-water", finding.With().Figure("least", least.Value, "%"))
	}
	return evidence.Lacking("ph-unspecified", nil).By(words.MakerWord)
}

func entryMethod(f *evidence.Filing) evidence.Answer {
	if !slices.Contains(f.A.Markets, rows.GB) {
		return evidence.NotNeeded("not-sold-gb", nil)
	}
	return evidence.Present("lines-to-type", nil)
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
		return evidence.Present("label-and-picture", nil).At(label, photo)
	case okLabel || okPhoto:
		return evidence.Partly("label-or-picture", nil).At(label, photo).By(words.MakerWord)
	}
	return evidence.Lacking("no-label-no-picture", nil).By(words.MakerWord)
}

func noticeUpdate(f *evidence.Filing) evidence.Answer {
	last := f.P.Newest()
	switch {
	case len(f.P.Notifications) == 0:
		return evidence.NotNeeded("nothing-notified", nil)
	case last != nil && last.Fingerprint != f.A.Fingerprint:
		return evidence.Lacking("notice-to-change", finding.With().Day("dated", last.Dated)).
			At(evidence.PlaceOf(last.Pos)).By(words.MakerWord)
	}
	return evidence.Present("notice-unchanged", nil)
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
		return evidence.Present("given-with-notice", nil)
	}
	var who, without []string
	for _, m := range f.A.Markets {
		if c := f.W.ContactFor(m); c.Name != "" {
			who = words.AddOnce(who, c.Name)
		} else {
			without = append(without, string(m))
		}
	}
	named := finding.With().Names("names", who)
	switch {
	case len(without) == 0:
		return evidence.Present("contact-named", named).At("workshop.yaml")
	case len(who) == 0:
		return evidence.Lacking("contact-none", nil).By(words.MakerWord)
	}
	return evidence.Partly("contact-partly", named.Names("markets", without)).At("workshop.yaml").By(words.MakerWord)
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
		return evidence.Unstated("no-nano-marked", nil)
	}
	return evidence.Lacking("nano-six-months", finding.With().Names("substances", nano)).By(words.MakerWord)
}

func animalTestingBan(f *evidence.Filing) evidence.Answer {
	return f.WithPaper(f.Having(func(t evidence.Traits) bool { return !t.Own }),
		evidence.Wanted{What: "wanted-animal-testing"}, "animal-testing")
}

func claimRefusals(f *evidence.Filing) evidence.Answer {
	if len(f.P.Claims) == 0 && len(claimsOfFiling(f)) == 0 {
		return evidence.NotNeeded("no-claim", nil)
	}
	stops, asks := claimCounts(f)
	switch {
	case stops > 0:
		return evidence.Lacking("wordings-out", finding.With().Count("wordings", stops)).By(words.MakerWord)
	case asks > 0:
		return evidence.Partly("wordings-open", finding.With().Count("wordings", asks)).By(words.MakerWord)
	}
	return evidence.Present("no-wording", nil)
}

func notTestedOnAnimals(f *evidence.Filing) evidence.Answer {
	for _, x := range claimsOfFiling(f) {
		if x.Code != "claim-animal-testing" {
			continue
		}
		if proof := f.Answer("P5"); proof.State != evidence.ReadyPresent {
			return evidence.Lacking("animal-claim", nil).Saying(proof).At(evidence.PlaceOf(x.Pos)).
				Asking(proof.From...)
		}
		return evidence.Present("animal-claim-shown", nil).At(evidence.PlaceOf(x.Pos))
	}
	return evidence.NotNeeded("no-animal-claim", nil)
}

func publicAccess(f *evidence.Filing) evidence.Answer {
	if f.P.ComplaintsPos.IsZero() {
		return evidence.Partly("access-without-effects", nil).By(words.MakerWord)
	}
	return evidence.Present("access-given", nil).At(evidence.PlaceOf(f.P.ComplaintsPos))
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
		return evidence.Partly("limits-open", finding.With().Count("exceeded", exceeded).Count("open", open)).
			By(words.MakerWord)
	}
	return evidence.Present("limits-checked", finding.With().Names("markets", f.MarketNames()).
		Day("day", f.A.Options.Date))
}

func onlineSale(f *evidence.Filing) evidence.Answer {
	if !sellsUnderEU(f) {
		return evidence.NotNeeded("not-sold-eu", nil)
	}
	if paper, ok := f.Document("offer"); ok {
		return evidence.Present("offer-shown", nil).At(paper)
	}
	return evidence.Lacking("offer-not-shown", nil).By(words.MakerWord)
}

// claimAnswer judges whether the claims are backed and free of wordings that
// the law refuses.
func claimAnswer(f *evidence.Filing) evidence.Answer {
	if len(f.P.Claims) == 0 && len(claimsOfFiling(f)) == 0 {
		return evidence.NotNeeded("no-claim", nil)
	}
	proof := f.Answer("P4")
	stops, asks := claimCounts(f)
	switch {
	case stops > 0:
		return evidence.Lacking("wordings-barred", finding.With().Count("wordings", stops)).
			At(proof.Places...).By(words.MakerWord)
	case asks > 0 || proof.Open():
		return evidence.Answer{State: evidence.ReadyPartly}.Saying(proof).
			Also("wordings-open", finding.With().Count("wordings", asks)).At(proof.Places...).By(words.MakerWord)
	}
	return evidence.Answer{State: evidence.ReadyPresent}.Saying(proof).At(proof.Places...)
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
		return evidence.Partly("serious-unsaid", nil).By(words.MakerWord)
	case all == 0:
		return evidence.NotNeeded("serious-none", nil)
	case len(open) > 0:
		return evidence.Lacking("serious-unreported", finding.With().Count("effects", len(open))).
			At(evidence.PlaceOf(open[0].Pos)).By(words.MakerWord)
	}
	return evidence.Present("serious-reported", finding.With().Count("effects", all))
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
		return evidence.Unstated("serious-unsaid", nil)
	}
	if all == 0 {
		return evidence.NotNeeded("serious-none", nil)
	}
	days, late := f.ReportDays(), 0
	for _, c := range f.P.Complaints {
		if c.Serious && !c.Reported.IsZero() && c.Dated.AddDays(days).Before(c.Reported) {
			late++
		}
	}
	within := finding.With().Count("days", days)
	switch {
	case len(open) > 0:
		return evidence.Lacking("report-due", within).At(evidence.PlaceOf(open[0].Pos)).By(words.MakerWord)
	case late > 0:
		return evidence.Partly("report-late", within.Count("reports", late))
	}
	return evidence.Present("report-in-time", within)
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
		return evidence.Lacking("no-complaint-log", nil).By(words.MakerWord)
	case len(f.P.Complaints) == 0:
		return evidence.NotNeeded("no-complaint", nil)
	case without > 0:
		return evidence.Partly("complaints-incomplete", finding.With().Count("complaints", without)).
			At(evidence.PlaceOf(f.P.ComplaintsPos)).By(words.MakerWord)
	}
	return evidence.Present("complaints-complete", finding.With().Count("complaints", len(f.P.Complaints))).
		At(evidence.PlaceOf(f.P.ComplaintsPos))
}

// classesAnswer says which substances the table of hazard classes knows as carcinogenic,
// mutagenic or toxic to reproduction, and how many it does not speak of.
func classesAnswer(f *evidence.Filing) evidence.Answer {
	tables := tox.Builtin()
	var classed, second, asked, silent []string
	for _, s := range f.Substances() {
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
	x := evidence.ForAssessor("no-first-cmr", nil)
	if len(classed) > 0 {
		x = evidence.ForAssessor("first-cmr", finding.With().Names("substances", classed))
	}
	if len(second) > 0 {
		x = x.Also("second-cmr", finding.With().Names("substances", second))
	}
	if len(asked) > 0 {
		x = x.Also("cmr-by-note", finding.With().Names("substances", asked))
	}
	return x.Also("cmr-silent", finding.With().Count("silent", len(silent)))
}

func penaltyNote(*evidence.Filing) evidence.Answer {
	return evidence.NotNeeded("information-only", nil)
}
