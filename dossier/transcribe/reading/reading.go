package reading

import "slices"

// Place is where a value stands: page and line, or sheet and cell.
type Place struct {
	Page  int    `json:"page,omitempty"`
	Line  int    `json:"line,omitempty"`
	Cell  string `json:"cell,omitempty"`  // "Sheet!C4"
	Where string `json:"where,omitempty"` // "table 1 row 3", "footer"
}

// How a value was read: plainly, by rules (keys of the wordings), or not decided.
type How struct {
	Rules []string `json:"rules,omitempty"`
	Ask   string   `json:"ask,omitempty"` // why it is not decided; then it is no proposal
}

// Fact is a fact of the paper's identity.
type Fact struct {
	Printed string `json:"printed"`
	Value   string `json:"value"`
	Place
	How
}

// Document is what a paper says of itself. Dates are ISO; a month alone is
// YYYY-MM.
type Document struct {
	Kind       string   `json:"kind"`
	Kinds      []string `json:"kinds,omitempty"`
	Language   string   `json:"language,omitempty"`
	TradeName  *Fact    `json:"trade_name,omitempty"`
	Supplier   *Fact    `json:"supplier,omitempty"`
	Code       *Fact    `json:"supplier_code,omitempty"`
	Batch      *Fact    `json:"batch,omitempty"`
	Issued     *Fact    `json:"issue_date,omitempty"`
	Version    *Fact    `json:"version,omitempty"`
	Replaces   *Fact    `json:"replaces,omitempty"`
	Printed    *Fact    `json:"print_date,omitempty"`
	Made       *Fact    `json:"made,omitempty"`
	BestBefore *Fact    `json:"best_before,omitempty"`
}

// Constituent is a row of a composition; bounds in per cent of the material, as
// exact decimal numbers.
type Constituent struct {
	Name     string   `json:"name_printed"`
	INCI     string   `json:"inci,omitempty"`
	CAS      []string `json:"cas"`
	EC       []string `json:"ec"`
	Printed  string   `json:"printed,omitempty"`
	Low      *string  `json:"low_pct"`
	High     *string  `json:"high_pct"`
	LowIn    bool     `json:"low_included"`
	HighIn   bool     `json:"high_included"`
	Typical  string   `json:"typical_pct,omitempty"`
	Status   string   `json:"status,omitempty"` // qs, to-ph, trace, not-stated, ask
	Function string   `json:"function,omitempty"`
	Hidden   bool     `json:"hidden,omitempty"`
	Place
	How
}

// Allergen is a row of an allergen declaration; bounds in per cent of the material.
type Allergen struct {
	Name     string   `json:"name_printed"`
	Key      string   `json:"key,omitempty"`
	CAS      []string `json:"cas"`
	Printed  string   `json:"printed,omitempty"`
	Low      *string  `json:"low_pct"`
	High     *string  `json:"high_pct"`
	LowIn    bool     `json:"low_included"`
	HighIn   bool     `json:"high_included"`
	Status   string   `json:"status"`
	PartOf   string   `json:"part_of,omitempty"`    // counted in the row of its group
	MemberOf string   `json:"member_of,omitempty"`  // of a group without a row of its own
	Banned   bool     `json:"prohibited,omitempty"` // its presence is a breach at any content
	Place
	How

	Member string `json:"-"` // substance of its group that the name means
}

// Allergens is an allergen declaration.
type Allergens struct {
	Basis       string     `json:"basis,omitempty"`
	List        string     `json:"list,omitempty"` // 26 or 81 names, or free
	Calculated  bool       `json:"calculated,omitempty"`
	ZeroMeans   string     `json:"zero_means_below_pct,omitempty"`
	DetectLimit string     `json:"not_detected_limit_pct,omitempty"`
	Rows        []Allergen `json:"rows"`
}

// Limit is a row of a fragrance conformity certificate; in per cent of the finished
// product.
type Limit struct {
	Category string  `json:"category"`
	Printed  string  `json:"printed"`
	Status   string  `json:"status"` // limit, not-permitted, no-restriction, ask
	Max      *string `json:"max_pct"`
	Place
	How
}

// Certificate is a fragrance conformity certificate.
type Certificate struct {
	Amendment *int    `json:"amendment"`
	From      Place   `json:"amendment_place"` // of the amendment
	Rows      []Limit `json:"rows"`
}

// Property is a figure of an impurity or a physical property.
type Property struct {
	Substance string `json:"substance,omitempty"` // of an impurity
	Property  string `json:"property,omitempty"`
	Name      string `json:"name_printed"`
	CAS       string `json:"cas,omitempty"`
	Printed   string `json:"printed"`
	Op        string `json:"op,omitempty"`
	Value     string `json:"value,omitempty"`
	Low       string `json:"low,omitempty"`
	High      string `json:"high,omitempty"`
	Unit      string `json:"unit"`
	Kind      string `json:"kind"` // result, specification, typical, statement, not applicable
	Spec      string `json:"spec,omitempty"`
	Typical   string `json:"typical,omitempty"`
	Method    string `json:"method,omitempty"`
	Lot       string `json:"lot,omitempty"`
	Status    string `json:"status,omitempty"`
	Place
	How
}

// Statement is a sentence of the paper about a subject, as printed.
type Statement struct {
	Subject string `json:"subject"`
	Text    string `json:"text"`
	Place
}

// Ask is a question for a person: a code with its values, and where.
type Ask struct {
	Code   string            `json:"code"`
	Values map[string]string `json:"values,omitempty"`
	Text   string            `json:"text"`
	Place
}

// Passed is text of a table or a section that was not understood.
type Passed struct {
	Text string `json:"text"`
	Place
}

// Reading is all that was read of one paper.
type Reading struct {
	File          string        `json:"file"`
	SHA256        string        `json:"sha256"`
	Form          string        `json:"form"`
	Document      Document      `json:"document"`
	Composition   []Constituent `json:"composition"`
	Allergens     *Allergens    `json:"allergens,omitempty"`
	IFRA          *Certificate  `json:"ifra,omitempty"`
	Impurities    []Property    `json:"impurities"`
	Physical      []Property    `json:"physical"`
	Statements    []Statement   `json:"statements,omitempty"`
	Asks          []Ask         `json:"asks"`
	Warnings      []Ask         `json:"warnings"`
	NotUnderstood []Passed      `json:"not_understood"`
	More          []*Reading    `json:"more_materials,omitempty"` // of a paper that holds several
}

// ValueOf is a bound as text, empty where there is none.
func ValueOf(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

// New is a reading of which nothing is read yet.
func New(file, sha256, form string) *Reading {
	return &Reading{File: file, SHA256: sha256, Form: form, Composition: []Constituent{},
		Impurities: []Property{},
		Physical:   []Property{}, Asks: []Ask{}, Warnings: []Ask{}, NotUnderstood: []Passed{}}
}

// Rows counts what was read: rows of a composition, declaration or certificate, and
// properties.
func (r *Reading) Rows() int {
	n := len(r.Composition) + len(r.Impurities) + len(r.Physical)
	if r.Allergens != nil {
		n += len(r.Allergens.Rows)
	}
	if r.IFRA != nil {
		n += len(r.IFRA.Rows)
	}
	return n
}

// Drop takes questions of a code back that something else has answered.
func (r *Reading) Drop(code string) {
	r.Asks = slices.DeleteFunc(r.Asks, func(a Ask) bool { return a.Code == code })
}
