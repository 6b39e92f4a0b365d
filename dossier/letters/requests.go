package letters

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/ageing"
	"gallipot/calc/law"
	"gallipot/dossier/document"
	"gallipot/dossier/evidence"
	"gallipot/dossier/ready"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/stability"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// paperRequests asks for the papers that a material lacks, that have gone
// missing, or that are old.
func paperRequests(f *evidence.Filing, s *ingredients.Sheet) []request {
	var list []request
	missing, _ := ready.MissingPapersOf(f, s) // what is typed in is in a folder of the maker's own
	for _, w := range missing {
		list = append(list, request{workshop.DocumentName(w.Kind), words.Term(w.Why, nil, words.Assessor), w.Kind})
	}
	for _, d := range s.Documents {
		if d.File != "" && f.Absent[d.File] {
			list = append(list, request{workshop.DocumentName(d.Kind) + datedText(d.Dated),
				"it stands on our list and is no longer on our file", ""})
		}
	}
	oldest := f.A.Options.Date.AddYears(-f.W.EvidenceYears)
	for _, d := range s.Documents {
		if !d.Dated.IsZero() && d.Dated.Before(oldest) && !ready.HasNewer(s, d.Kind, oldest, f.A.Options.Date) &&
			!settled(f, s, d) {
			list = append(list, request{currentPaper + workshop.DocumentName(d.Kind),
				fmt.Sprintf("ours is of %s, more than %s old", d.Dated, words.Count(f.W.EvidenceYears, "year",
					"years")), d.Kind})
		}
	}
	return list
}

// settled says whether it is decided in writing that a paper need not be renewed.
func settled(f *evidence.Filing, s *ingredients.Sheet, d ingredients.Document) bool {
	return slices.ContainsFunc(f.A.Findings, func(x finding.Finding) bool {
		return x.Severity == finding.Decided && x.Code == "old-document" && x.About.ID == s.ID && x.Pos == d.Pos
	})
}

// Beginnings of what is wanted, by which requests for the same are joined.
const (
	currentPaper = "the current "
	statementOn  = "a statement on "
)

func datedText(d exact.Date) string {
	if d.IsZero() {
		return ""
	}
	return " of " + d.String()
}

// letterTopics are the papers that answer a finding; a finding that is not
// named here is asked about in its own words.
var letterTopics = map[string]string{
	"open-order": "composition", "undeclared-remainder": "composition", "no-declaration": "allergens",
	"short-declaration": "allergens",
	"no-certificate":    "certificate", "old-amendment": "certificate", "category-not-covered": "certificate",
	"criterion": "purity",
}

// notForSuppliers are findings that a supplier cannot answer, or that the papers
// asked for answer already.
var notForSuppliers = []string{"missing-document", "old-document", "evidence-missing", "document-changed",
	"toxicology-unmatched"}

// requestOf words a finding for the supplier who can settle it, by the terms want-CODE
// and because-CODE; a finding without such terms is asked about in its own words.
func requestOf(x finding.Finding) (request, bool) {
	if !x.IsAsked(finding.RoleSupplier) || slices.Contains(notForSuppliers, x.Code) {
		return request{}, false
	}
	v := append(workshop.With().Quote("subject", x.Subject).Those("things", x.Things), x.Values...)
	r := request{topic: letterTopics[x.Code]}
	if words.HasTerm("want-" + x.Code) {
		r.Want, r.Why = words.Term("want-"+x.Code, v, words.Assessor), words.Term("because-"+x.Code, v,
			words.Assessor)
		return r, true
	}
	said := words.Say(&x, words.Assessor)
	r.Want, r.Why = words.Term("want-answer", v, words.Assessor), said.Text()
	return r, true
}

// laboratoryItems are the items of the dossier that a laboratory can supply, in
// the order of the table.
var laboratoryItems = []string{"A2c", "A3b", "A3c", "A3d", "A4c"}

// laboratoryProduct gathers the tests that a product needs.
func laboratoryProduct(f *evidence.Filing) (toTest, bool) {
	p := toTest{Name: f.P.Name, Revision: "revision " + words.Itoa(f.P.Revision), Facts: laboratoryFacts(f)}
	for _, row := range law.Dossier(f.Law) {
		x := f.Answer(row.Key)
		if !slices.Contains(laboratoryItems, row.Key) || !x.Open() || !ready.AsksFor(x.From, words.LaboratoryWord) {
			continue
		}
		test := laboratoryTest{Name: row.Title, How: row.Needs + "; shown by " + row.Proof +
			laboratoryDetail(f, row.Key), Why: sections.SentenceCase(words.InFull(x.Says))}
		if row.Key == "A4c" { // the rest of the item is for the supplier of the pack
			test = laboratoryTest{Name: "Pack and product together", How: packObservation(f),
				Why: "No report on them is on record"}
		}
		p.Tests = append(p.Tests, test)
	}
	return p, len(p.Tests) > 0
}

// laboratoryFacts are what a laboratory has to know of a product beforehand.
func laboratoryFacts(f *evidence.Filing) []string {
	v := show.Show(f.A, "")
	facts := []string{"Type of product: " + v.TypeName() + ", " + v.RinseText(), "Variants: " +
		strings.Join(variantNames(f), "; ")}
	if c := sections.NetCell(v); c.Kind == document.CellNum {
		facts = append(facts, "Net content: "+c.String())
	}
	if pack := strings.ReplaceAll(sections.PackText(v), "\n", "; "); pack != "" {
		facts = append(facts, "Pack as sold: "+pack)
	}
	if water, wet := f.Wet(); wet {
		facts = append(facts, "Holds water: "+words.JoinNames(water))
	} else if f.WetInUse() {
		facts = append(facts, "Holds no water; water may get in when it is used")
	} else {
		facts = append(facts, "Holds no water")
	}
	if names := preservatives(f); len(names) > 0 {
		facts = append(facts, "Preservatives: "+words.JoinNames(names))
	} else {
		facts = append(facts, "No listed preservative")
	}
	if f.P.Specification.PH != nil {
		facts = append(facts, "pH "+strings.ReplaceAll(f.P.Specification.PH.Text, "-", "–"))
	}
	return facts
}

func variantNames(f *evidence.Filing) []string {
	var names []string
	for _, x := range f.P.Variants {
		names = append(names, show.VariantName(x))
	}
	return names
}

func preservatives(f *evidence.Filing) []string {
	return ready.Contradicting(f, []string{"@preservative"}, "")
}

// packObservation is what to look at in a pack while the product is stored in
// it. Source: stability-micro.csv, row O9.
func packObservation(f *evidence.Filing) string {
	for _, s := range law.Stability(f.Law) {
		if s.Key == "O9" {
			return "stored as sold, " + s.Condition + ": " + s.Value
		}
	}
	return "stored as sold"
}

// wholeUp prints the next whole number: a test must not end short.
func wholeUp(f float64) string { return strconv.FormatFloat(math.Ceil(f-1e-9), 'f', 0, 64) }

// laboratoryDetail adds the figures of the tables that a test has to meet.
func laboratoryDetail(f *evidence.Filing, id string) string {
	switch id {
	case "A2c":
		d := stability.DurabilityOf(f)
		if d.StatedMonths == 0 {
			return ""
		}
		weeks, warm := exact.Frac(int64(d.StatedMonths)*52, 12), stability.WarmStore(f)
		life := ageing.SupportedLife([]ageing.Storage{{TempC: warm, Weeks: weeks}}, f.Law)
		return fmt.Sprintf("; for the %s on the label %s weeks at room temperature, or by rule of thumb %s weeks at %s °C (Q10 %s, store %s °C)",
			words.Count(d.StatedMonths, "month",
				"months"), wholeUp(weeks.Float()), wholeUp(weeks.Float()/life.Spans[0].Factor), warm.Exact(),
			life.Q10.Value, life.StoreC.Exact())
	case "A3b":
		row := "L2"
		if f.Kind != nil && f.Kind.MicroClass == "eye-mucous-under3" || f.P.IntendedFor == "under-3" {
			row = "L1"
		}
		for _, s := range law.Stability(f.Law) {
			if s.Key == row {
				return "; limit " + s.Value + " " + s.Unit + " (" + s.Item + ", stability-micro.csv, row " + s.Key + ")"
			}
		}
	}
	return ""
}
