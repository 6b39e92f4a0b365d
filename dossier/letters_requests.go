package dossier

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

// paperRequests asks for the papers that a material lacks, that have gone
// missing, or that are old.
func (f *filing) paperRequests(s *ingredients.Sheet) []Request {
	var list []Request
	for _, w := range f.missingPapersOf(s) {
		list = append(list, Request{documentName(w.kind), w.why, w.kind})
	}
	for _, d := range s.Documents {
		if d.File != "" && f.absent[d.File] {
			list = append(list, Request{documentName(d.Kind) + datedText(d.Dated), "it stands on our list and is no longer on our file", ""})
		}
	}
	oldest := f.a.Options.Date.AddYears(-f.w.EvidenceYears)
	for _, d := range s.Documents {
		if !d.Dated.IsZero() && d.Dated.Before(oldest) {
			list = append(list, Request{currentPaper + documentName(d.Kind), fmt.Sprintf("ours is of %s, more than %s old", d.Dated, count(f.w.EvidenceYears, "year", "years")), d.Kind})
		}
	}
	return list
}

// Beginnings of what is wanted, by which requests for the same are joined.
const (
	currentPaper = "the current "
	statementOn  = "a statement on "
)

func datedText(d ingredients.Date) string {
	if d.IsZero() {
		return ""
	}
	return " of " + d.String()
}

// letterTopics are the papers that answer a finding; a finding that is not
// named here is asked about in its own words.
var letterTopics = map[string]string{
	"open-order": "composition", "undeclared-remainder": "composition", "no-declaration": "allergens", "short-declaration": "allergens",
	"no-certificate": "certificate", "old-amendment": "certificate", "category-not-covered": "certificate", "criterion": "purity",
}

// notForSuppliers are findings that a supplier cannot answer, or that the papers
// asked for answer already.
var notForSuppliers = []string{"missing-document", "old-document", "evidence-missing", "document-changed", "toxicology-unmatched"}

// requestOf words a finding for the supplier who can settle it.
func requestOf(x ingredients.Finding) (Request, bool) {
	if x.Ask == "" || slices.Contains(notForSuppliers, x.Code) {
		return Request{}, false
	}
	r := Request{topic: letterTopics[x.Code]}
	switch x.Code {
	case "open-order":
		r.Want, r.Why = "the exact composition, or narrower ranges", "within the ranges we have, the order of our ingredient list is not settled ("+x.Subject+")"
	case "undeclared-remainder":
		r.Want, r.Why = "the full composition, with what makes up the rest to 100 %", "the safety report needs every substance in the product"
	case "no-declaration":
		r.Want, r.Why = "the allergen declaration against the list of Regulation (EU) 2023/1545, in % of the material", "the label names each allergen above its threshold"
	case "short-declaration":
		r.Want, r.Why = "an allergen declaration against the list of Regulation (EU) 2023/1545, in % of the material", "the one we have is against a shorter list"
	case "allergen-open":
		r.Want, r.Why = "the exact content of "+x.Subject, "within the range you declare it may be above or below what a label has to name"
	case "no-certificate":
		r.Want, r.Why = "the fragrance conformity certificate to the newest amendment, with the limit of each category", "it sets the most that each kind of product may hold"
	case "old-amendment", "category-not-covered":
		r.Want, r.Why = askedFor(x), x.Text()
	case "criterion":
		r.Want, r.Why = statementOn+criteriaText(x), "the law sets these criteria for the raw material itself"
	case "not-listed-preservative", "not-listed-colourant", "not-listed-uv-filter":
		r.Want, r.Why = "what each substance in it is there for", x.Text()
	case "cas-contradicts":
		r.Want, r.Why = "the right name and CAS number", "in our file "+x.Text()
	default:
		r.Want, r.Why = askedFor(x), x.Text()
	}
	return r, true
}

// askedFor takes what is asked for out of a fix such as "ask NAME for …".
func askedFor(x ingredients.Finding) string {
	for _, who := range []string{x.Ask, "the supplier"} {
		if want, ok := strings.CutPrefix(x.Fix, "ask "+who+" "); ok {
			return strings.TrimPrefix(want, "for ")
		}
	}
	return "your answer on " + x.Subject
}

// criteriaText lists what a criterion finding names.
func criteriaText(x ingredients.Finding) string {
	text := x.Text()
	if _, after, ok := strings.Cut(text, "states: "); ok {
		return after
	}
	if len(x.Items) > 0 {
		return strings.Join(x.Items, "; ")
	}
	return text
}

// laboratoryItems are the items of the dossier that a laboratory can supply, in
// the order of the table.
var laboratoryItems = []string{"A2c", "A3b", "A3c", "A3d", "A4c"}

// laboratoryProduct gathers the tests that a product needs.
func (f *filing) laboratoryProduct() (LaboratoryProduct, bool) {
	p := LaboratoryProduct{Name: f.p.Name, Revision: "revision " + itoa(f.p.Revision), Facts: f.laboratoryFacts()}
	for _, row := range f.law.Dossier() {
		x := f.answer(row.Key)
		if !slices.Contains(laboratoryItems, row.Key) || !x.open() || !slices.Contains(x.from, laboratoryWord) {
			continue
		}
		test := LaboratoryTest{Name: row.Title, How: row.Needs + "; shown by " + row.Proof + f.laboratoryDetail(row.Key), Why: sentenceCase(x.words)}
		if row.Key == "A4c" { // the rest of the item is for the supplier of the pack
			test = LaboratoryTest{Name: "Pack and product together", How: f.packObservation(), Why: "No report on them is on record"}
		}
		p.Tests = append(p.Tests, test)
	}
	return p, len(p.Tests) > 0
}

// laboratoryFacts are what a laboratory has to know of a product beforehand.
func (f *filing) laboratoryFacts() []string {
	v := f.a.show("")
	facts := []string{"Type of product: " + v.typeName() + ", " + v.rinseText(), "Variants: " + strings.Join(f.variantNames(), "; ")}
	if c := v.netCell(); c.Kind == CellNum {
		facts = append(facts, "Net content: "+c.String())
	}
	if pack := strings.ReplaceAll(v.packText(), "\n", "; "); pack != "" {
		facts = append(facts, "Pack as sold: "+pack)
	}
	if water, wet := f.wet(); wet {
		facts = append(facts, "Holds water: "+joinNames(water))
	} else if f.wetInUse() {
		facts = append(facts, "Holds no water; water may get in when it is used")
	} else {
		facts = append(facts, "Holds no water")
	}
	if names := f.preservatives(); len(names) > 0 {
		facts = append(facts, "Preservatives: "+joinNames(names))
	} else {
		facts = append(facts, "No listed preservative")
	}
	if f.p.Specification.PH != nil {
		facts = append(facts, "pH "+strings.ReplaceAll(f.p.Specification.PH.Text, "-", "–"))
	}
	return facts
}

func (f *filing) variantNames() []string {
	var names []string
	for _, x := range f.p.Variants {
		names = append(names, variantName(x))
	}
	return names
}

func (f *filing) preservatives() []string { return f.contradicting([]string{"@preservative"}, "") }

// packObservation is what to look at in a pack while the product is stored in
// it. Source: stability-micro.csv, row O9.
func (f *filing) packObservation() string {
	for _, s := range f.law.Stability() {
		if s.Key == "O9" {
			return "stored as sold, " + s.Condition + ": " + s.Value
		}
	}
	return "stored as sold"
}

// wholeUp prints the next whole number: a test must not end short.
func wholeUp(f float64) string { return strconv.FormatFloat(math.Ceil(f-1e-9), 'f', 0, 64) }

// laboratoryDetail adds the figures of the tables that a test has to meet.
func (f *filing) laboratoryDetail(id string) string {
	switch id {
	case "A2c":
		d := f.durabilityOf()
		if d.statedMonths == 0 {
			return ""
		}
		weeks, warm := ingredients.Frac(int64(d.statedMonths)*52, 12), f.warmStore()
		life := calc.SupportedLife([]calc.Storage{{TempC: warm, Weeks: weeks}}, f.law)
		return fmt.Sprintf("; for the %s on the label %s weeks at room temperature, or by rule of thumb %s weeks at %s °C (Q10 %s, store %s °C)",
			count(d.statedMonths, "month", "months"), wholeUp(weeks.Float()), wholeUp(weeks.Float()/life.Spans[0].Factor), warm.Exact(), life.Q10.Value, life.StoreC.Exact())
	case "A3b":
		row := "L2"
		if f.kind != nil && f.kind.MicroClass == "eye-mucous-under3" || f.p.IntendedFor == "under-3" {
			row = "L1"
		}
		for _, s := range f.law.Stability() {
			if s.Key == row {
				return "; limit " + s.Value + " " + s.Unit + " (" + s.Item + ", stability-micro.csv, row " + s.Key + ")"
			}
		}
	}
	return ""
}
