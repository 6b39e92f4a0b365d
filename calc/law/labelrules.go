package law

import (
	"slices"
	"strings"

	"gallipot/ingredients"
)

// LabelRule is one rule on what a label or a notification must say.
//
// Source: label-rules.csv. Rules are told in own words; Wording alone is
// printed as it stands.
type LabelRule struct {
	Row              // Key is the id, such as L30 or Q02a
	Part    string   // one of the Label constants
	Markets []Market // where it holds
	Rule    string
	Test    string // how the program or a person can tell, in words
	// Wording holds fixed words, or the names a rule is about; empty: none.
	Wording []string

	Above *ingredients.Num  // the rule holds above this figure; nil: from 0 on
	UpTo  *ingredients.Num  // and up to this one, itself included; nil: without end
	Value *ingredients.Num  // the figure of the rule, in Unit; nil: none
	Until *ingredients.Date // last day, where the figure is a date
	Unit  string            // of Value; Above and UpTo are g or ml, cm² or % w/w by the part
}

// What a label rule is about.
const (
	LabelPlace        = "place"             // where an item stands
	LabelItemRule     = "item"              // one item of a label
	LabelList         = "list"              // the ingredient list
	LabelQuantity     = "quantity"          // marking of the quantity
	LabelFigureHeight = "figure-height"     // least height of its figures: mm by g or ml
	LabelUnit         = "unit"              // which product types are sold by weight, which by volume
	LabelShortfall    = "shortfall"         // tolerable shortfall of one pack: % or g or ml, by g or ml
	LabelLetterHeight = "letter-height"     // height of a lower-case x: mm by cm² of the largest face
	LabelWarning      = "warning"           // precautions
	LabelSign         = "sign"              // pictures that stand for words
	NotificationRule  = "notification"      // what a notification asks for
	NotificationBand  = "notification-band" // bands of content: % w/w
)

var labelParts = []string{LabelPlace, LabelItemRule, LabelList, LabelQuantity, LabelFigureHeight, LabelUnit, LabelShortfall,
	LabelLetterHeight, LabelWarning, LabelSign, NotificationRule, NotificationBand}

var labelColumns = columns{meaning: []string{"id", "part", "market", "wording", "above", "up_to", "value", "unit", "seen"},
	remarks: []string{"rule", "test", "source", "note"}}

func readLabelRules(file string, data []byte) ([]*LabelRule, error) {
	return readTable(file, data, labelColumns, func(r *record) *LabelRule {
		l := &LabelRule{
			Row: r.head(r.text("id")), Part: r.word("part", labelParts...), Markets: r.marketList("market"), Rule: r.must("rule"),
			Test: r.text("test"), Wording: r.list("wording"), Above: r.num("above"), UpTo: r.num("up_to"), Unit: r.text("unit"),
		}
		if l.Unit == "date" {
			day := r.date("value")
			l.Until = &day
		} else {
			l.Value = r.num("value")
		}
		if l.Above != nil && l.UpTo != nil && !l.Above.Less(*l.UpTo) {
			r.fail("above %s is not below up_to %s", l.Above.Exact(), l.UpTo.Exact())
		}
		if l.Value != nil && l.Unit == "" {
			r.fail("value %s has no unit", l.Value.Exact())
		}
		return l
	})
}

// marketList reads markets joined by plus signs.
func (r *record) marketList(col string) []Market {
	var out []Market
	for part := range strings.SplitSeq(r.must(col), "+") {
		m := Market(part)
		if !m.Valid() || slices.Contains(out, m) {
			r.fail("%s: %q is no market, or stands twice", col, part)
			continue
		}
		out = append(out, m)
	}
	return out
}

// In says whether the rule holds in a market.
func (l *LabelRule) In(m Market) bool { return slices.Contains(l.Markets, m) }

// holds says whether q lies between the bounds: above the lower one, not above
// the upper one.
func (l *LabelRule) holds(q ingredients.Num) bool {
	return (l.Above == nil || l.Above.Less(q)) && (l.UpTo == nil || !l.UpTo.Less(q))
}

// LabelRules returns the rules of one part, in the order of the table.
func (t *Tables) LabelRules(part string) []*LabelRule {
	var out []*LabelRule
	for _, l := range t.labelRules {
		if l.Part == part {
			out = append(out, l)
		}
	}
	return out
}

// LabelRule returns one rule. It panics on an unknown id, as [Tables.Fact] does.
func (t *Tables) LabelRule(id string) *LabelRule {
	for _, l := range t.labelRules {
		if l.Key == id {
			return l
		}
	}
	panic("law: no label rule " + id)
}

// LabelBand returns the rule of a part whose bounds hold the figure q, or nil
// where none does.
//
// Units: q is in g or ml for quantities, in % w/w for bands of content, in cm²
// for faces. A figure that equals an upper bound belongs to that band.
func (t *Tables) LabelBand(part string, q ingredients.Num) *LabelRule {
	for _, l := range t.labelRules {
		if l.Part == part && l.holds(q) {
			return l
		}
	}
	return nil
}
