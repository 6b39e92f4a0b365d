package words

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Reader is whom a text is for.
type Reader int

// The readers there are.
const (
	Terminal Reader = iota // the maker, who can type a command
	Bench                  // the maker, at the forms of a page
	Files                  // the maker, who has the files before him, shown on a page or beside a paper
	Assessor
)

// own begins the keys of texts that are worded for one reader alone.
func (r Reader) own() string {
	switch r {
	case Bench:
		return "bench."
	case Assessor:
		return "assessor."
	}
	return ""
}

// Said is a finding in words.
type Said struct {
	Severity finding.Severity `json:"severity"`
	Code     string           `json:"code"`
	Against  string           `json:"against,omitempty"` // of a stop: what it is against
	Subject  string           `json:"subject"`           // what it is about
	ID       string           `json:"subject_id,omitempty"`
	Message  string           `json:"message"` // what is wrong, without the subject
	Fix      string           `json:"fix"`     // what to do
	Why      string           `json:"why,omitempty"`
	Sum      []summand        `json:"sum,omitempty"`
	Items    []string         `json:"items,omitempty"` // the things the message is about, where it is about several
	Ask      string           `json:"ask_whom,omitempty"`
	Who      []asked          `json:"who,omitempty"` // who can settle it
	Variants []string         `json:"variants,omitempty"`
	Markets  []string         `json:"markets,omitempty"`
	Worst    string           `json:"figures_of,omitempty"` // the variant whose figures are shown
	Form     string           `json:"form,omitempty"`
	Values   map[string]any   `json:"values,omitempty"`
	Settle   *settled         `json:"settle,omitempty"`
	Decided  *decided         `json:"decided,omitempty"` // of an ask that is settled in writing

	Pos   exact.Pos `json:"-"`
	lists bool
}

// asked is one who can settle a finding.
type asked struct {
	Role finding.Role `json:"role"`
	Name string       `json:"name,omitempty"`
}

// summand is one summand of a computed value.
type summand struct {
	Text string    `json:"text"`
	Pos  exact.Pos `json:"-"`
}

// settled is the line that settles a finding.
type settled struct {
	File  string `json:"file"`
	Key   string `json:"key"`
	Value any    `json:"value,omitempty"`
}

// decided is what was decided about an ask.
type decided struct {
	Decision string     `json:"decision"`
	By       string     `json:"by"`
	Date     exact.Date `json:"date"`
	Until    exact.Date `json:"until,omitzero"`
}

// Say puts a finding into words for a reader.
func Say(f *finding.Finding, reader Reader) Said {
	s := &speaker{reader: reader, table: wordings()}
	return s.say(f)
}

// SayAll puts findings into words.
func SayAll(fs []finding.Finding, reader Reader) []Said {
	out := make([]Said, len(fs))
	for i := range fs {
		out[i] = Say(&fs[i], reader)
	}
	return out
}

// Term words a term of the vocabulary.
func Term(key string, values finding.Values, reader Reader) string {
	s := &speaker{reader: reader, table: wordings()}
	return s.value(finding.Value{Kind: finding.KindTerm, Text: key, List: values})
}

// HasTerm says whether the vocabulary has a term.
func HasTerm(key string) bool { return wordings().terms[key] != nil }

// Text returns the message with the things it is about, unless these are its subject.
func (s *Said) Text() string { return s.with(s.Items) }

// Under returns the things it is about, to stand under its subject: one that begins with the
// subject does not say it again.
func (s *Said) Under() []string {
	if len(s.Items) == 1 && s.Subject != "" {
		return []string{strings.TrimPrefix(s.Items[0], s.Subject+": ")}
	}
	return s.Items
}

func (s *Said) with(items []string) string {
	between := ", "
	if s.lists {
		between = "; "
	}
	things := strings.Join(items, between)
	if things == "" || things == s.Subject {
		return s.Message
	}
	return s.Message + ": " + things
}

// Line returns subject and message in one: "Phenoxyethanol: 1.2 % of …".
func (s *Said) Line() string {
	if s.Subject == "" {
		return s.Text()
	}
	return s.Subject + ": " + s.with(s.Under())
}

// FixHead heads the fix: it is what to do or, of what is settled, what was decided.
func (s *Said) FixHead() string {
	if s.Decided != nil {
		return "decided"
	}
	return "fix"
}

// ItemsHoldLists says whether an item is a list itself, so that each is better
// printed on a line of its own.
func (s *Said) ItemsHoldLists() bool { return s.lists }

// Whom names those who can settle a finding.
func Whom(who []finding.Party) string {
	var names []string
	for _, p := range who {
		names = append(names, partyName(p))
	}
	return or(names)
}

func partyName(p finding.Party) string {
	switch {
	case p.Name != "":
		return p.Name
	case p.Role == finding.RoleLaboratory:
		return "a laboratory"
	case p.Role == finding.RoleSupplier && p.Of != "":
		return "the supplier of " + p.Of
	}
	return "the " + string(p.Role)
}

// speaker puts values into words for one reader.
type speaker struct {
	reader Reader
	table  *table
	short  bool // in the words for one line of a page
}

func (s *speaker) say(f *finding.Finding) Said {
	said := Said{Severity: f.Severity, Code: f.Code, Form: f.Form, Subject: f.Subject, ID: f.About.ID,
		Variants: f.Variants, Markets: f.Markets, Worst: f.Worst, Pos: f.Pos}
	look := s.lookOf(f)
	said.Message = s.text(f, "message", look)
	said.Why = s.text(f, "why", look)
	said.Fix = s.text(f, "fix", look)
	if f.More > 0 {
		said.Fix += "; " + s.value(finding.Value{Kind: finding.KindTerm, Text: "more-in-file", List: finding.With().
			Count("more", int(f.More))})
	}
	if d := f.Decided; d != nil {
		said.Decided = &decided{d.Text, d.By, d.Date, d.Until}
		said.Fix = s.value(finding.Value{Kind: finding.KindTerm, Text: "settled-by",
			List: finding.With().Quote("decision", d.Text).Quote("by", d.By).Day("date", d.Date).
				Day("until", d.Until)})
	}
	if f.Severity == finding.Ask {
		said.Ask = Whom(f.Who)
	}
	for _, p := range f.Who {
		said.Who = append(said.Who, asked{p.Role, p.Name})
	}
	if f.Severity == finding.Stop {
		said.Against = againstWords[s.against(f)]
	}
	for _, t := range f.Sum {
		said.Sum = append(said.Sum, summand{s.term(t), t.Pos})
	}
	for _, x := range f.Things {
		said.Items = append(said.Items, s.value(x))
		said.lists = said.lists || x.Kind == finding.KindTerm
	}
	said.Values = plainValues(f.Values)
	if f.Settle != nil {
		said.Settle = &settled{File: f.Settle.File, Key: f.Settle.Key}
		if f.Settle.Value != nil {
			said.Settle.Value = plain(*f.Settle.Value)
		}
	}
	return said
}

// against is what a stop is against, by its form or else by its code.
func (s *speaker) against(f *finding.Finding) string {
	if f.Inner != nil && f.Inner.Severity == finding.Stop {
		return s.against(f.Inner)
	}
	for _, name := range []string{f.Code + "/" + f.Form, f.Code} {
		if r := s.table.findings[name]; r != nil && r.against != "" {
			return r.against
		}
	}
	return ""
}

// text is one of the texts of a finding; a form without one has that of its code.
func (s *speaker) text(f *finding.Finding, key string, look func(string) (finding.Value, bool)) string {
	for _, name := range []string{f.Code + "/" + f.Form, f.Code} {
		r := s.table.findings[name]
		if r == nil {
			continue
		}
		if p := s.of(r, key); p != nil {
			return strings.TrimSpace(p.print(look, s))
		}
	}
	return ""
}

// of is a text of a record as it is worded for the reader, or else for all.
func (s *speaker) of(r *record, key string) pattern {
	if own := s.reader.own(); own != "" {
		if p := r.text(own + key); p != nil {
			return p
		}
	}
	return r.text(key)
}

// lookOf looks up the values of a finding, and what every finding has.
func (s *speaker) lookOf(f *finding.Finding) func(string) (finding.Value, bool) {
	words := func(text string) (finding.Value, bool) {
		return finding.Value{Kind: finding.KindQuote, Text: text}, text != ""
	}
	return func(name string) (finding.Value, bool) {
		if v, ok := f.Values.Get(name); ok {
			return v, true
		}
		switch name {
		case "subject":
			return words(f.Subject)
		case "who":
			return words(Whom(f.Who))
		case "who.supplier":
			return words(Whom(slices.DeleteFunc(slices.Clone(f.Who),
				func(p finding.Party) bool { return p.Role != finding.RoleSupplier })))
		case "action":
			if f.Do == nil {
				return finding.Value{}, false
			}
			return words(s.action(*f.Do))
		case "file", "line", "value":
			return settling(f.Settle, name)
		case "inner", "inner.why", "inner.fix":
			if f.Inner == nil {
				return finding.Value{}, false
			}
			in := s.say(f.Inner)
			return words(map[string]string{"inner": in.Message, "inner.why": in.Why, "inner.fix": in.Fix}[name])
		}
		return finding.Value{}, false
	}
}

func settling(x *finding.Settle, name string) (finding.Value, bool) {
	switch {
	case x == nil:
	case name == "file":
		return finding.Value{Kind: finding.KindName, Text: x.File}, x.File != ""
	case name == "line":
		return finding.Value{Kind: finding.KindName, Text: x.Key}, x.Key != ""
	case x.Value != nil:
		return *x.Value, true
	}
	return finding.Value{}, false
}

// action words what the program can do; "" where the reader cannot ask for it.
func (s *speaker) action(a finding.Action) string {
	r := s.table.actions[string(a.Kind)]
	if r == nil {
		return ""
	}
	key := [...]string{"terminal", "bench", "bench", "assessor"}[s.reader]
	values := finding.With().Name("product", a.Product).Name("batch", a.Batch).Day("day", a.Day)
	return r.text(key).print(values.Get, s)
}

// term words one summand.
func (s *speaker) term(t finding.Term) string {
	return s.value(finding.Value{Kind: finding.KindTerm, Text: t.Key, List: t.Values})
}

// value words one value; a list is joined by commas and "and".
func (s *speaker) value(v finding.Value) string {
	switch v.Kind {
	case finding.KindNumber:
		return numberText(v, s.reader)
	case finding.KindDate:
		return v.Date().String()
	case finding.KindPlace:
		return v.Pos().String()
	case finding.KindCount:
		return strconv.Itoa(v.Count())
	case finding.KindTerm:
		r := s.table.term(v.Text)
		if r == nil {
			return strings.ReplaceAll(v.Text, "-", " ")
		}
		p := s.of(r, "text")
		if s.short && r.text("short") != nil {
			p = r.text("short")
		}
		return p.print(v.List.Get, s)
	case finding.KindList:
		return part{}.print(v, s)
	}
	return v.Text
}

func numberText(v finding.Value, reader Reader) string {
	text := v.Text
	if text == "" {
		of := v.Round.Of
		if reader == Assessor && v.Unit == "%" && v.Round == finding.FourDigits {
			of = contentText
		}
		text = of(v.Low)
		if high := of(v.High()); high != text {
			text += " to " + high
		}
	}
	if v.Unit == "" {
		return text
	}
	return text + " " + v.Unit
}

// contentText prints a content as the tables of a pack do, so that an assessor meets one
// thing in the same digits: exact up to four decimals, else four digits.
func contentText(n exact.Num) string {
	if s := n.Exact(); !strings.Contains(s, "/") {
		if _, decimals, _ := strings.Cut(s, "."); len(decimals) <= 4 {
			return s
		}
	}
	return finding.FourDigits.Of(n)
}

// plainValues are the values of a finding for a program that reads them.
func plainValues(values finding.Values) map[string]any {
	if len(values) == 0 {
		return nil
	}
	out := map[string]any{}
	for _, v := range values {
		out[v.Name] = plain(v)
	}
	return out
}

// quantity is a number as a program reads it.
type quantity struct {
	Value   string `json:"value,omitempty"`
	Min     string `json:"min,omitempty"`
	Max     string `json:"max,omitempty"`
	Unit    string `json:"unit,omitempty"`
	Printed string `json:"printed,omitempty"`
}

func plain(v finding.Value) any {
	switch v.Kind {
	case finding.KindNumber:
		switch {
		case v.Text != "":
			return quantity{Printed: v.Text, Unit: v.Unit}
		case v.Low.Equal(v.High()):
			return quantity{Value: v.Low.Sig(exactDigits), Unit: v.Unit}
		}
		return quantity{Min: v.Low.Sig(exactDigits), Max: v.High().Sig(exactDigits), Unit: v.Unit}
	case finding.KindDate:
		return v.Date().String()
	case finding.KindPlace:
		return v.Pos().String()
	case finding.KindCount:
		return v.Count()
	case finding.KindTerm:
		if len(v.List) == 0 {
			return v.Text
		}
		return map[string]any{"term": v.Text, "values": plainValues(v.List)}
	case finding.KindList:
		list := make([]any, len(v.List))
		for i, e := range v.List {
			list[i] = plain(e)
		}
		return list
	}
	if v.ID != "" {
		return map[string]any{"name": v.Text, "id": v.ID}
	}
	return v.Text
}

// exactDigits is how many digits of a number a program gets: more than any figure
// of ours is known to.
const exactDigits = 15
