package labelling

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// LabelWords is a text with the place it was typed; the zero value is not stated.
type LabelWords struct {
	Text string
	Pos  exact.Pos
}

// LabelFacts is what a label says beside what figures decide.
type LabelFacts struct {
	Name       LabelWords // as it stands on the label
	Function   LabelWords
	Directions LabelWords
	Storage    LabelWords
	Warnings   []LabelWords
	MadeIn     LabelWords // two-letter code of the country
	Persons    map[rows.Market]LabelPerson

	SoldAs           LabelSale
	EMark            bool // the maker keeps the average rules and wants the sign
	PAOMonths        int  // months after opening; 0: not stated
	BestBeforeMonths int  // months from making; 0: not stated
	NoPAO            LabelWords
	DurabilityPos    exact.Pos

	Batch string     // "": left open, to be stamped
	Made  exact.Date // day of making; zero: the date is left open
	Pos   exact.Pos  // the product, for what is not stated
}

// LabelPerson is a responsible person.
type LabelPerson struct {
	Name    string
	Address []string
	Country string // two-letter code; "" when not stated
	// HoldsFile says that the product file is held at this address.
	HoldsFile bool
	Pos       exact.Pos
}

// LabelSale says how a pack is given away, where that decides what the label
// needs.
type LabelSale string

// The ways a pack is given away.
const (
	soldInPacks       LabelSale = ""
	FreeSample        LabelSale = "free-sample"
	SingleApplication LabelSale = "single-application"
)

// LabelItemKind says what an item of a label is.
type LabelItemKind string

// The items of a label.
const (
	ItemName        LabelItemKind = "name"
	ItemFunction    LabelItemKind = "function"
	ItemQuantity    LabelItemKind = "quantity"
	ItemPAO         LabelItemKind = "period after opening"
	ItemDate        LabelItemKind = "durability date"
	ItemPrecaution  LabelItemKind = "precaution"
	ItemDirections  LabelItemKind = "directions"
	ItemStorage     LabelItemKind = "storage"
	ItemIngredients LabelItemKind = "ingredients"
	ItemPerson      LabelItemKind = "responsible person"
	ItemOrigin      LabelItemKind = "origin"
	ItemBatch       LabelItemKind = "batch"
)

// labelState says how an item stands.
type labelState string

// The states of an item. An item that is left open is stamped when the pack is
// filled; one that is missing stands in square brackets, so that nobody prints
// the label by mistake.
const (
	LabelGiven     labelState = "given"
	LabelOpen      labelState = "left open"
	LabelMissing   labelState = "missing"
	labelNotNeeded labelState = "not needed"
	labelByChoice  labelState = "by choice" // not asked for by law
)

// LabelItem is one thing a label says, with the rules behind it.
type LabelItem struct {
	Kind   LabelItemKind
	Lead   string // the word before it, such as Ingredients; "" for none
	Text   string // as printed; "" when not needed
	State  labelState
	Rules  []*duties.LabelRule
	Row    *annex.Limit // where wording of the limit tables is printed
	Remark string       // what a reader should know
	// Underlined marks the one of several addresses where the file is held.
	Underlined bool
}

// Line returns the item as one line of text.
func (i *LabelItem) Line() string {
	if i.Lead == "" || i.Text == "" {
		return i.Text
	}
	return i.Lead + ": " + i.Text
}

// Label is what one label has to say, in the order of print.
type Label struct {
	Markets    []rows.Market
	Items      []LabelItem
	FigureMM   *exact.Num // mm, least height of the figures of the quantity; nil: no quantity
	EMarkMM    *exact.Num // mm, least height of the estimated sign; nil: no sign
	PAOMonths  int        // of the open-jar sign; 0: none
	BestBefore string     // MM/YYYY beside the hourglass; "" where no date is due
	Findings   []finding.Finding
}

// All returns the items of a kind.
func (l *Label) All(kind LabelItemKind) []LabelItem {
	var out []LabelItem
	for _, i := range l.Items {
		if i.Kind == kind {
			out = append(out, i)
		}
	}
	return out
}

// labelling is a label being made.
type labelling struct {
	*Label
	facts   *LabelFacts
	in      *formula.Input // of the first market; product and tables are the same in all
	results []*calc.Result // a market each
	law     *table.Tables
}

// MakeLabel says what the label of one variant must say in one market, or in
// several at once where results of several are given.
//
// The ingredient list and the wording of the limit tables come from the
// results, everything else from the facts. Nothing is judged safe by it.
//
// Findings: codes that start with label-; ask where something is missing, stop
// where what is stated cannot stand on a label.
// Source: label-rules.csv, a rule for each item; Regulation (EC) 1223/2009
// Article 19.
func MakeLabel(facts *LabelFacts, results ...*calc.Result) *Label {
	const mostItems = 14
	b := &labelling{Label: &Label{Items: make([]LabelItem, 0, mostItems)}, facts: facts, results: results,
		in:  results[0].Input,
		law: results[0].Input.Law}
	for _, r := range results {
		b.Markets = append(b.Markets, r.Input.Market)
	}
	b.name()
	b.function()
	b.quantity()
	b.durability()
	b.precautions()
	b.ingredients()
	b.useFindings()
	b.persons()
	b.origin()
	b.batch()
	b.Findings = calc.Unique(b.Findings)
	return b.Label
}

// add appends an item with its rules.
func (b *labelling) add(i LabelItem, rules ...string) {
	i.Rules = b.rules(rules)
	b.Items = append(b.Items, i)
}

// mostRules is how many rules of one item are looked up once.
const mostRules = 8

// ruleMemory keeps the rules of items by their keys.
type ruleMemory struct {
	formula.Memo[[mostRules]string, []*duties.LabelRule]
}

// rules are the rules of some keys.
func (b *labelling) rules(keys []string) []*duties.LabelRule {
	find := func() (list []*duties.LabelRule) {
		for _, id := range keys {
			list = append(list, law.LabelRule(b.law, id))
		}
		return list
	}
	if len(keys) > mostRules {
		return find()
	}
	var key [mostRules]string
	copy(key[:], keys)
	return slices.Clip(formula.MemoryOf[ruleMemory](b.in.Session).Of(key, find))
}

// sourceMemory keeps what a finding rests on by the rules it names.
type sourceMemory struct {
	formula.Memo[*duties.LabelRule, finding.Values]
}

// say adds a finding whose reason is the first of the rules.
func (b *labelling) say(f finding.Finding, rules ...string) {
	var why finding.Values
	known := formula.MemoryOf[sourceMemory](b.in.Session)
	for _, r := range b.rules(rules) {
		source := known.Of(r, func() finding.Values { return LabelRuleSource(r) })
		if why == nil {
			why = slices.Clip(source)
		} else {
			why = append(why, source...)
		}
	}
	if f.Subject == "" {
		f = b.in.OnProduct(f)
	}
	b.Findings = append(b.Findings, f.By(finding.TheMaker).And(formula.With().Source("law", why)))
}

// LabelRuleSource is a rule for labels as what a finding rests on.
func LabelRuleSource(r *duties.LabelRule) finding.Values {
	v := formula.With().Quote("rule", formula.LowerFirst(r.Rule)).Quote("source", r.Source).Name("row", r.Key).
		Flag(r.FromMemory(), "unverified")
	return finding.Values{{Kind: finding.KindTerm, Text: "label-rule", List: v}}
}

// marketNames joins the markets of the label.
func (b *labelling) marketNames() string {
	var names []string
	for _, m := range b.Markets {
		names = append(names, string(m))
	}
	return formula.JoinAnd(names)
}

func (b *labelling) name() {
	b.add(LabelItem{Kind: ItemName, Text: b.facts.Name.Text, State: labelByChoice,
		Remark: "the law asks for what tells one product from another, see the batch"})
}

// function is needed unless the presentation makes it clear, which a person has
// to judge where the file names none.
func (b *labelling) function() {
	if text := b.facts.Function.Text; text != "" {
		b.add(LabelItem{Kind: ItemFunction, Text: text, State: LabelGiven}, "L07", "L60")
		return
	}
	if word := b.wordOfType(); word != "" {
		b.add(LabelItem{Kind: ItemFunction, State: labelNotNeeded, Remark: `the name holds the word "` + word +
			`": a person judges whether that makes it clear`}, "L07", "L60")
		return
	}
	b.add(LabelItem{Kind: ItemFunction, Text: "[function]", State: LabelMissing}, "L07", "L60")
	b.say(finding.NewFinding(finding.Ask, "label-no-function", b.facts.Pos, formula.With().
		Quote("name", b.facts.Name.Text)).
		At(b.facts.Pos.File, "function", formula.With().Name("function", strings.ToLower(b.in.Type.Name))), "L60")
}

// leastWord is how long a word of the product type must be to tell a function.
const leastWord = 4

// wordOfType returns a word of the product type that the name holds.
func (b *labelling) wordOfType() string {
	have := strings.FieldsFunc(strings.ToLower(b.facts.Name.Text), notLetter)
	for _, word := range strings.FieldsFunc(strings.ToLower(b.in.Type.Name), notLetter) {
		if len(word) >= leastWord && slices.Contains(have, word) {
			return word
		}
	}
	return ""
}

func notLetter(r rune) bool { return !(r >= 'a' && r <= 'z' || r > 127) }

func (b *labelling) batch() {
	i := LabelItem{Kind: ItemBatch, Lead: law.LabelRule(b.law, "L06").Wording[0], Text: b.facts.Batch,
		State: LabelGiven}
	if i.Text == "" {
		i.Text, i.State, i.Remark = "[code]", LabelOpen, "stamped when the pack is filled; give --batch to print it"
	}
	b.add(i, "L06", "L50")
}
