package duties

import (
	"slices"
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// LabelRule is one rule on what a label or a notification must say.
//
// Source: label-rules.csv. Rules are told in own words; Wording alone is
// printed as it stands.
type LabelRule struct {
	rows.Row               // Key is the id, such as L30 or Q02a
	Part     string        // one of the Label constants
	Markets  []rows.Market // where it holds
	Rule     string
	Test     string // how the program or a person can tell, in words
	// Wording holds fixed words, or the names a rule is about; empty: none.
	Wording []string

	Above *exact.Num  // the rule holds above this figure; nil: from 0 on
	UpTo  *exact.Num  // and up to this one, itself included; nil: without end
	Value *exact.Num  // the figure of the rule, in Unit; nil: none
	Until *exact.Date // last day, where the figure is a date
	Unit  string      // of Value; Above and UpTo are g or ml, cm² or % w/w by the part
}

// What a label rule is about.
const (
	labelPlace        = "place"             // where an item stands
	labelItemRule     = "item"              // one item of a label
	labelList         = "list"              // the ingredient list
	labelQuantity     = "quantity"          // marking of the quantity
	LabelFigureHeight = "figure-height"     // least height of its figures: mm by g or ml
	labelUnit         = "unit"              // which product types are sold by weight, which by volume
	labelShortfall    = "shortfall"         // tolerable shortfall of one pack: % or g or ml, by g or ml
	LabelLetterHeight = "letter-height"     // height of a lower-case x: mm by cm² of the largest face
	labelWarning      = "warning"           // precautions
	labelSign         = "sign"              // pictures that stand for words
	notificationRule  = "notification"      // what a notification asks for
	NotificationBand  = "notification-band" // bands of content: % w/w
)

var labelParts = []string{labelPlace, labelItemRule, labelList, labelQuantity, LabelFigureHeight, labelUnit,
	labelShortfall,
	LabelLetterHeight, labelWarning, labelSign, notificationRule, NotificationBand}

var LabelColumns = rows.Columns{Meaning: []string{"id", "part", "market", "wording", "above", "up_to",
	"value", "unit", "seen"},
	Remarks: []string{"rule", "test", "source", "note"}}

func ReadLabelRules(file string, text string) ([]*LabelRule, error) {
	return rows.ReadTable(file, text, LabelColumns, func(r *rows.Record) *LabelRule {
		l := &LabelRule{
			Row: r.Head(r.Text("id")), Part: r.Word("part", labelParts...), Markets: marketList(r,
				"market"), Rule: r.Must("rule"),
			Test: r.Text("test"), Wording: r.List("wording"), Above: r.Num("above"), UpTo: r.Num("up_to"),
			Unit: r.Text("unit"),
		}
		if l.Unit == "date" {
			day := r.Date("value")
			l.Until = &day
		} else {
			l.Value = r.Num("value")
		}
		if l.Above != nil && l.UpTo != nil && !l.Above.Less(*l.UpTo) {
			r.Fail("above %s is not below up_to %s", l.Above.Exact(), l.UpTo.Exact())
		}
		if l.Value != nil && l.Unit == "" {
			r.Fail("value %s has no unit", l.Value.Exact())
		}
		return l
	})
}

// marketList reads markets joined by plus signs.
func marketList(r *rows.Record, col string) []rows.Market {
	var out []rows.Market
	for part := range strings.SplitSeq(r.Must(col), "+") {
		m := rows.Market(part)
		if !m.Valid() || slices.Contains(out, m) {
			r.Fail("%s: %q is no market, or stands twice", col, part)
		}
		out = append(out, m)
	}
	return out
}

// In says whether the rule holds in a market.
func (l *LabelRule) In(m rows.Market) bool { return slices.Contains(l.Markets, m) }

// Holds says whether q lies between the bounds: above the lower one, not above
// the upper one.
func (l *LabelRule) Holds(q exact.Num) bool {
	return (l.Above == nil || l.Above.Less(q)) && (l.UpTo == nil || !l.UpTo.Less(q))
}
