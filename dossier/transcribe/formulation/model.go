package formulation

// Reading is what a document was read as. The keys of its JSON are part of the
// program's interface.
type Reading struct {
	File          string    `json:"file"`
	Kind          string    `json:"kind"` // spreadsheet, csv, docx-table, web, text, markdown, mail, pdf
	Language      string    `json:"language"`
	Maker         *string   `json:"maker"` // never guessed
	Products      []Product `json:"products"`
	NotProducts   []Aside   `json:"not_products,omitempty"`
	Older         []Aside   `json:"older,omitempty"`
	NotUnderstood []Place   `json:"not_understood,omitempty"`
	Warnings      []string  `json:"warnings,omitempty"`
	Asks          []string  `json:"asks,omitempty"`
	Refused       string    `json:"refused,omitempty"` // why the file cannot be read
	Fix           string    `json:"fix,omitempty"`
}

// Aside is a part of the document that is no formula in use, with its text.
type Aside struct {
	Where string   `json:"where"`
	Why   string   `json:"why"`
	Text  []string `json:"text,omitempty"`
}

// Place is a piece of text with its place.
type Place struct {
	Where string `json:"where"`
	Text  string `json:"text"`
}

// Product is one formula.
type Product struct {
	Name          string            `json:"name"`
	Version       string            `json:"version,omitempty"`
	Where         string            `json:"where,omitempty"`
	Type          string            `json:"product_type_guess,omitempty"`
	Basis         string            `json:"basis"` // percent, grams, parts, mixed
	Batch         string            `json:"batch,omitempty"`
	Ask           string            `json:"ask,omitempty"` // why the whole is open
	Phases        []Phase           `json:"phases"`
	Variants      []Variant         `json:"variants,omitempty"`
	Total         Total             `json:"total"`
	Specification map[string]string `json:"specification,omitempty"`
	Steps         []string          `json:"steps"`
	Notes         []string          `json:"notes,omitempty"`
	LeftOut       []string          `json:"left_out_columns,omitempty"`
	Warnings      []string          `json:"warnings"`
	Asks          []string          `json:"asks"`

	found     []finding
	Sentences []string `json:"-"` // texts with figures that are no lines
}

// Phase is a phase of a product. HeatC is a temperature that its head or a step
// names for it, in °C.
type Phase struct {
	ID    string  `json:"id"`
	Name  *string `json:"name"`
	HeatC string  `json:"heat_c,omitempty"`
	Note  string  `json:"note,omitempty"`
	Lines []Line  `json:"lines"`
}

// Line is one line of a formula. Amount, Low and High are decimal numbers in Unit.
type Line struct {
	Name            string            `json:"name"`
	INCI            *string           `json:"inci"`
	Amount          *string           `json:"amount"`
	Unit            *string           `json:"unit"`
	Low             *string           `json:"low,omitempty"`
	High            *string           `json:"high,omitempty"`
	QS              *string           `json:"qs"`
	ToMass          string            `json:"to_mass,omitempty"` // "500 g" of "water to 500 g"
	About           string            `json:"about,omitempty"`   // "0.6" of "to pH 5, about 0.6"
	Slot            string            `json:"slot,omitempty"`
	Variants        []string          `json:"variants,omitempty"`
	AmountByVariant map[string]string `json:"amount_by_variant,omitempty"`
	Hidden          bool              `json:"hidden,omitempty"`
	Struck          bool              `json:"struck,omitempty"`
	Old             bool              `json:"old,omitempty"`
	After100        bool              `json:"after_100,omitempty"`
	AlsoPrinted     string            `json:"also_printed,omitempty"`
	Note            string            `json:"note,omitempty"`
	Where           string            `json:"where"`
	Ask             string            `json:"ask,omitempty"`

	Printed string `json:"-"` // amount as printed
	Open    bool   `json:"-"` // q.s. without a word on what decides
}

// Counted says whether the line is part of the formula as proposed.
func (l *Line) Counted() bool { return !l.Struck && !l.Old }

// Variant is a filling of the lines that differ.
type Variant struct {
	Name   string            `json:"name"`
	Fill   map[string]string `json:"fill"`
	Total  string            `json:"total,omitempty"`   // the sum of its lines
	TotalG string            `json:"total_g,omitempty"` // the same where the lines are grams
}

// Total is what the document states and what the lines sum to.
type Total struct {
	Stated   *string `json:"stated"`
	Computed string  `json:"computed,omitempty"`
	Fixed    string  `json:"fixed_lines,omitempty"` // the lines with an amount, beside a rest
	Rest     string  `json:"rest,omitempty"`        // what is left for it
	Without  string  `json:"without,omitempty"`     // what the sum leaves out
}

// Lines gives every line of the product, in order.
func (p *Product) Lines() []*Line {
	var out []*Line
	for i := range p.Phases {
		for j := range p.Phases[i].Lines {
			out = append(out, &p.Phases[i].Lines[j])
		}
	}
	return out
}

// Value is a text that is there.
func Value(s string) *string { return &s }

// ValueOf is a text, empty where there is none.
func ValueOf(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

// Refused is the reading of a file that cannot be read: what is wrong and one
// thing to do.
func Refused(name, what, fix string) *Reading {
	return &Reading{File: name, Products: []Product{}, Refused: what, Fix: fix,
		Asks: []string{what + ": " + fix}}
}
