package words

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/ingredients"
)

// Reader is whom a text is for.
type Reader int

// The readers there are.
const (
	Terminal Reader = iota // the maker, who can type a command
	Bench                  // the maker, on a page
	Assessor
)

// Said is a finding in words.
type Said struct {
	Severity ingredients.Severity `json:"severity"`
	Code     string               `json:"code"`
	Against  string               `json:"against,omitempty"` // of a stop: what it is against
	Subject  string               `json:"subject"`           // what it is about
	ID       string               `json:"subject_id,omitempty"`
	Message  string               `json:"message"` // what is wrong, without the subject
	Fix      string               `json:"fix"`     // what to do
	Why      string               `json:"why,omitempty"`
	Sum      []Summand            `json:"sum,omitempty"`
	Items    []string             `json:"items,omitempty"` // the things the message is about, where it is about several
	Ask      string               `json:"ask_whom,omitempty"`
	Who      []Asked              `json:"who,omitempty"` // who can settle it
	Variants []string             `json:"variants,omitempty"`
	Markets  []string             `json:"markets,omitempty"`
	Worst    string               `json:"figures_of,omitempty"` // the variant whose figures are shown
	Form     string               `json:"form,omitempty"`
	Values   map[string]any       `json:"values,omitempty"`
	Settle   *Settled             `json:"settle,omitempty"`

	Pos   ingredients.Pos `json:"-"`
	lists bool
}

// Asked is one who can settle a finding.
type Asked struct {
	Role ingredients.Role `json:"role"`
	Name string           `json:"name,omitempty"`
}

// Summand is one summand of a computed value.
type Summand struct {
	Text string          `json:"text"`
	Pos  ingredients.Pos `json:"-"`
}

// Settled is the line that settles a finding.
type Settled struct {
	File  string `json:"file"`
	Key   string `json:"key"`
	Value any    `json:"value,omitempty"`
}

// Say puts a finding into words for a reader.
func Say(f *ingredients.Finding, reader Reader) Said {
	s := &speaker{reader: reader, table: wordings()}
	return s.say(f)
}

// SayAll puts findings into words.
func SayAll(fs []ingredients.Finding, reader Reader) []Said {
	out := make([]Said, len(fs))
	for i := range fs {
		out[i] = Say(&fs[i], reader)
	}
	return out
}

// Term words a term of the vocabulary.
func Term(key string, values ingredients.Values, reader Reader) string {
	s := &speaker{reader: reader, table: wordings()}
	return s.value(ingredients.Value{Kind: ingredients.KindTerm, Text: key, List: values})
}

// HasTerm says whether the vocabulary has a term.
func HasTerm(key string) bool { return wordings().terms[key] != nil }

// Text returns the message with the things it is about.
func (s *Said) Text() string {
	if len(s.Items) == 0 {
		return s.Message
	}
	between := ", "
	if s.lists {
		between = "; "
	}
	return s.Message + ": " + strings.Join(s.Items, between)
}

// Line returns subject and message in one: "Phenoxyethanol: 1.2 % of …".
func (s *Said) Line() string {
	if s.Subject == "" {
		return s.Text()
	}
	return s.Subject + ": " + s.Text()
}

// ItemsHoldLists says whether an item is a list itself, so that each is better
// printed on a line of its own.
func (s *Said) ItemsHoldLists() bool { return s.lists }

// Whom names those who can settle a finding.
func Whom(who []ingredients.Party) string {
	var names []string
	for _, p := range who {
		names = append(names, partyName(p))
	}
	return Or(names)
}

func partyName(p ingredients.Party) string {
	switch {
	case p.Name != "":
		return p.Name
	case p.Role == ingredients.RoleLaboratory:
		return "a laboratory"
	case p.Role == ingredients.RoleSupplier && p.Of != "":
		return "the supplier of " + p.Of
	}
	return "the " + string(p.Role)
}

// speaker puts values into words for one reader.
type speaker struct {
	reader Reader
	table  *table
}

func (s *speaker) say(f *ingredients.Finding) Said {
	said := Said{Severity: f.Severity, Code: f.Code, Form: f.Form, Subject: f.Subject, ID: f.About.ID, Variants: f.Variants, Markets: f.Markets, Worst: f.Worst, Pos: f.Pos}
	look := s.lookOf(f)
	said.Message = s.text(f, "message", look)
	said.Why = s.text(f, "why", look)
	said.Fix = s.text(f, "fix", look)
	if f.More > 0 {
		said.Fix += "; " + s.value(ingredients.Value{Kind: ingredients.KindTerm, Text: "more-in-file", List: ingredients.With().Count("more", f.More)})
	}
	if f.Severity == ingredients.Ask {
		said.Ask = Whom(f.Who)
	}
	for _, p := range f.Who {
		said.Who = append(said.Who, Asked{p.Role, p.Name})
	}
	if f.Severity == ingredients.Stop {
		said.Against = againstWords[s.against(f)]
	}
	for _, t := range f.Sum {
		said.Sum = append(said.Sum, Summand{s.term(t), t.Pos})
	}
	for _, x := range f.Things {
		said.Items = append(said.Items, s.value(x))
		said.lists = said.lists || x.Kind == ingredients.KindTerm
	}
	said.Values = plainValues(f.Values)
	if f.Settle != nil {
		said.Settle = &Settled{File: f.Settle.File, Key: f.Settle.Key}
		if f.Settle.Value != nil {
			said.Settle.Value = plain(*f.Settle.Value)
		}
	}
	return said
}

// against is what a stop is against, by its form or else by its code.
func (s *speaker) against(f *ingredients.Finding) string {
	if f.Inner != nil && f.Inner.Severity == ingredients.Stop {
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
func (s *speaker) text(f *ingredients.Finding, key string, look func(string) (ingredients.Value, bool)) string {
	for _, name := range []string{f.Code + "/" + f.Form, f.Code} {
		r := s.table.findings[name]
		if r == nil {
			continue
		}
		if s.reader == Assessor && r.texts["assessor."+key] != nil {
			return strings.TrimSpace(r.texts["assessor."+key].print(look, s))
		}
		if p := r.texts[key]; p != nil {
			return strings.TrimSpace(p.print(look, s))
		}
	}
	return ""
}

// lookOf looks up the values of a finding, and what every finding has.
func (s *speaker) lookOf(f *ingredients.Finding) func(string) (ingredients.Value, bool) {
	words := func(text string) (ingredients.Value, bool) {
		return ingredients.Value{Kind: ingredients.KindQuote, Text: text}, text != ""
	}
	return func(name string) (ingredients.Value, bool) {
		if v, ok := f.Values.Get(name); ok {
			return v, true
		}
		switch name {
		case "subject":
			return words(f.Subject)
		case "who":
			return words(Whom(f.Who))
		case "who.supplier":
			return words(Whom(slices.DeleteFunc(slices.Clone(f.Who), func(p ingredients.Party) bool { return p.Role != ingredients.RoleSupplier })))
		case "action":
			if f.Do == nil {
				return ingredients.Value{}, false
			}
			return words(s.action(*f.Do))
		case "file", "line", "value":
			return settling(f.Settle, name)
		case "inner", "inner.why", "inner.fix":
			if f.Inner == nil {
				return ingredients.Value{}, false
			}
			in := s.say(f.Inner)
			return words(map[string]string{"inner": in.Message, "inner.why": in.Why, "inner.fix": in.Fix}[name])
		}
		return ingredients.Value{}, false
	}
}

func settling(x *ingredients.Settle, name string) (ingredients.Value, bool) {
	switch {
	case x == nil:
	case name == "file":
		return ingredients.Value{Kind: ingredients.KindName, Text: x.File}, x.File != ""
	case name == "line":
		return ingredients.Value{Kind: ingredients.KindName, Text: x.Key}, x.Key != ""
	case x.Value != nil:
		return *x.Value, true
	}
	return ingredients.Value{}, false
}

// action words what the program can do; "" where the reader cannot ask for it.
func (s *speaker) action(a ingredients.Action) string {
	r := s.table.actions[string(a.Kind)]
	if r == nil {
		return ""
	}
	key := [...]string{"terminal", "bench", "assessor"}[s.reader]
	values := ingredients.With().Name("product", a.Product).Name("batch", a.Batch).Day("day", a.Day)
	return r.texts[key].print(values.Get, s)
}

// term words one summand.
func (s *speaker) term(t ingredients.Term) string {
	return s.value(ingredients.Value{Kind: ingredients.KindTerm, Text: t.Key, List: t.Values})
}

// value words one value; a list is joined by commas and "and".
func (s *speaker) value(v ingredients.Value) string {
	switch v.Kind {
	case ingredients.KindNumber:
		return numberText(v)
	case ingredients.KindDate:
		return v.Date.String()
	case ingredients.KindPlace:
		return v.Pos.String()
	case ingredients.KindCount:
		return strconv.Itoa(v.Count)
	case ingredients.KindTerm:
		r := s.table.terms[v.Text]
		if r == nil {
			return strings.ReplaceAll(v.Text, "-", " ")
		}
		p := r.texts["text"]
		if s.reader == Assessor && r.texts["assessor.text"] != nil {
			p = r.texts["assessor.text"]
		}
		return p.print(v.List.Get, s)
	case ingredients.KindList:
		return part{}.print(v, s)
	}
	return v.Text
}

func numberText(v ingredients.Value) string {
	text := v.Text
	if text == "" {
		text = v.Round.Of(v.Low)
		if high := v.Round.Of(v.High); high != text {
			text += " to " + high
		}
	}
	if v.Unit == "" {
		return text
	}
	return text + " " + v.Unit
}

// plainValues are the values of a finding for a program that reads them.
func plainValues(values ingredients.Values) map[string]any {
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

func plain(v ingredients.Value) any {
	switch v.Kind {
	case ingredients.KindNumber:
		switch {
		case v.Text != "":
			return quantity{Printed: v.Text, Unit: v.Unit}
		case v.Low.Equal(v.High):
			return quantity{Value: v.Low.Sig(exactDigits), Unit: v.Unit}
		}
		return quantity{Min: v.Low.Sig(exactDigits), Max: v.High.Sig(exactDigits), Unit: v.Unit}
	case ingredients.KindDate:
		return v.Date.String()
	case ingredients.KindPlace:
		return v.Pos.String()
	case ingredients.KindCount:
		return v.Count
	case ingredients.KindTerm:
		if len(v.List) == 0 {
			return v.Text
		}
		return map[string]any{"term": v.Text, "values": plainValues(v.List)}
	case ingredients.KindList:
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
