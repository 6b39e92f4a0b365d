package label

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/labelling"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/dossier/assess"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// LabelOptions say what a label is made for.
type LabelOptions struct {
	Batch    string     // code to print; "" leaves room for it
	Made     exact.Date // day of making, for the durability date; zero leaves room for it
	Together bool       // one label for all markets in place of one for each
	Leaflet  bool       // what does not fit may go onto a leaflet, as label: {leaflet: true} says
}

// LabelProof is said wherever a label is shown, outside the label itself.
//
// Source: caution T11 of the tables; Regulation (EC) 1223/2009 Article 19.
const LabelProof = "Proof, not a finished label: a person must check size, language, market, address and wording before anything is printed."

// ProductLabel is the label of one variant.
type ProductLabel struct {
	*labelling.Label
	Variant *formula.Variant
	Results []*calc.Result
	A       *assess.Assessment

	known *known // what it shares with other labels of the product; nil: nothing
}

// known is what the labels of a product have in common while one after the other is looked
// at: most of their paragraphs are the same.
type known struct {
	texts    map[string]string // as cleaned for the fonts
	measured map[writtenKey]*written
}

func newKnown() *known { return &known{map[string]string{}, map[writtenKey]*written{}} }

func (k *known) written(key writtenKey) *written {
	w := k.measured[key]
	if w == nil {
		w = new(written)
		w.sizes = w.room[:0]
		k.measured[key] = w
	}
	return w
}

// Labels makes the labels of a product, or of one of its variants: one for each
// market, or one for all of them together.
func Labels(a *assess.Assessment, variant string, opt LabelOptions) []*ProductLabel {
	variants := show.Show(a, variant).Variants
	out := make([]*ProductLabel, 0, len(variants)*len(a.Markets))
	for _, x := range variants {
		results := a.ByVariant(x.ID)
		if len(results) == 0 {
			continue
		}
		facts := labelFacts(a, x, opt)
		if opt.Together {
			out = append(out, &ProductLabel{labelling.MakeLabel(facts, results...), x, results, a, nil})
			continue
		}
		for _, r := range results {
			out = append(out, &ProductLabel{labelling.MakeLabel(facts, r), x, []*calc.Result{r}, a, nil})
		}
	}
	return out
}

// labelFacts gathers what product and workshop say for a label.
func labelFacts(a *assess.Assessment, x *formula.Variant, opt LabelOptions) *labelling.LabelFacts {
	p := a.Product
	f := &labelling.LabelFacts{
		Name:     labelling.LabelWords{Text: p.Name, Pos: p.Pos},
		Function: wordSet(p.Function), Directions: wordSet(p.Directions), Storage: wordSet(p.Storage),
		MadeIn: labelling.LabelWords{Text: p.Origin(a.Workshop)}, Persons: map[rows.Market]labelling.LabelPerson{},
		PAOMonths: p.Durability.PAOMonths, BestBeforeMonths: p.Durability.BestBeforeMonths,
		DurabilityPos: p.Durability.Pos,
		Batch:         opt.Batch, Made: opt.Made, Pos: p.Pos,
	}
	if x.Name != "" {
		f.Name = labelling.LabelWords{Text: x.Name, Pos: x.Pos}
	}
	for _, w := range p.Warnings {
		f.Warnings = append(f.Warnings, wordSet(w))
	}
	for m, person := range a.Workshop.ResponsiblePersons {
		f.Persons[m] = labelling.LabelPerson{Name: person.Name, Address: person.Address, Country: person.Country,
			HoldsFile: person.HoldsFile, Pos: person.Pos}
	}
	if l := p.Label; l != nil {
		f.SoldAs, f.EMark, f.NoPAO = l.SoldAs, l.EMark, wordSet(l.NoPAO)
	}
	return f
}

func wordSet(s source.Sentence) labelling.LabelWords {
	return labelling.LabelWords{Text: s.Text, Pos: s.Pos}
}

// MarketWords lists the markets of the label.
func (l *ProductLabel) MarketWords() []string {
	var names []string
	for _, m := range l.Markets {
		names = append(names, string(m))
	}
	return names
}

// marketNames joins the markets of a label.
func (l *ProductLabel) marketNames() string { return words.JoinNames(l.MarketWords()) }

// Name is what the label is called: product/variant.
func (l *ProductLabel) Name() string { return words.Joined("/", l.A.Product.ID, l.Variant.ID) }

// Findings is what there is to say about the labels of a product. An
// ingredient list that cannot be printed is said by the list itself.
func Findings(a *assess.Assessment) []finding.Finding {
	var all []finding.Finding
	type place struct{ variants, markets []string }
	var places []*place // of each of all
	where := map[string]*place{}
	var key []byte
	variants := map[string]bool{}
	for _, r := range a.Results {
		variants[r.Input.Variant.ID] = true
	}
	shared := newKnown()
	for _, l := range Labels(a, "", LabelOptions{}) {
		l.known = shared
		for _, f := range append(slices.Clone(l.Findings), l.FitFindings(false)...) {
			if f.Code == "label-list-incomplete" {
				continue
			}
			key = f.AppendKey(key[:0])
			w := where[string(key)]
			if w == nil {
				w = &place{}
				where[string(key)] = w
				all, places = append(all, f), append(places, w)
			}
			w.variants = words.AddOnce(w.variants, a.Product.ID+"/"+l.Variant.ID)
			w.markets = words.AddOnce(w.markets, string(l.Markets[0]))
		}
	}
	for i, w := range places {
		if len(w.variants) < len(variants) {
			all[i].Variants = w.variants
		}
		if len(w.markets) < len(a.Markets) {
			all[i].Markets = w.markets
		}
	}
	return all
}

// labelLines is the label as text, an item a line, in the order of print.
func (l *ProductLabel) labelLines() []string {
	var lines []string
	for _, i := range l.Items {
		if i.Text != "" {
			lines = append(lines, i.Line())
		}
	}
	return lines
}

// ruleNames lists the ids of an item's rules, and of the row that gave its
// wording.
func ruleNames(i labelling.LabelItem) string {
	var names []string
	for _, r := range i.Rules {
		names = append(names, r.Key)
	}
	if i.Row != nil {
		names = append(names, "annex "+i.Row.Annex+"/"+i.Row.Entry)
	}
	return strings.Join(names, ", ")
}

// ruleSources lists where an item's rules come from in the markets of the label, each
// once.
func ruleSources(i labelling.LabelItem, markets []rows.Market) string {
	var sources []string
	if i.Row != nil {
		sources = i.Row.SourcesIn(markets)
	}
	for _, r := range i.Rules {
		sources = words.AddOnce(sources, r.Source)
	}
	return strings.Join(sources, "; ")
}

// fromMemory says whether an item rests on a rule nobody has read in its source.
func fromMemory(i labelling.LabelItem) bool {
	return i.Row != nil && i.Row.FromMemory() ||
		slices.ContainsFunc(i.Rules, func(r *duties.LabelRule) bool { return r.FromMemory() })
}
