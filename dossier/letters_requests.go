package dossier

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc"
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// paperRequests asks for the papers that a material lacks, that have gone
// missing, or that are old.
func (f *filing) paperRequests(s *ingredients.Sheet) []Request {
	var list []Request
	for _, w := range f.missingPapersOf(s) {
		list = append(list, Request{documentName(w.kind), words.Term(w.why, nil, words.Assessor), w.kind})
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

// requestOf words a finding for the supplier who can settle it, by the terms want-CODE
// and because-CODE; a finding without such terms is asked about in its own words.
func requestOf(x ingredients.Finding) (Request, bool) {
	if !x.IsAsked(ingredients.RoleSupplier) || slices.Contains(notForSuppliers, x.Code) {
		return Request{}, false
	}
	v := append(with().Quote("subject", x.Subject), x.Values...)
	r := Request{topic: letterTopics[x.Code]}
	if words.HasTerm("want-" + x.Code) {
		r.Want, r.Why = words.Term("want-"+x.Code, v, words.Assessor), words.Term("because-"+x.Code, v, words.Assessor)
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
func (f *filing) laboratoryProduct() (LaboratoryProduct, bool) {
	p := LaboratoryProduct{Name: f.p.Name, Revision: "revision " + itoa(f.p.Revision), Facts: f.laboratoryFacts()}
	for _, row := range f.law.Dossier() {
		x := f.answer(row.Key)
		if !slices.Contains(laboratoryItems, row.Key) || !x.open() || !asksFor(x.from, laboratoryWord) {
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
