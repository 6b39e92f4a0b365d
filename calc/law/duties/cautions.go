package duties

import (
	"fmt"
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// Caution is one thing to be said to whoever makes the product. The safety data
// sheet of the lot in hand always wins over it.
//
// Source: cautions.csv.
type Caution struct {
	rows.Row        // Key is the id, such as H04
	Where    string // making, workplace, batch-sheet, stability, microbiology or effects
	Trigger  []AllOf
	Hazard   string // a few words
	Text     string // what to do
}

// AllOf is a list of conditions that all have to hold; a caution is shown when
// any of its clauses does.
type AllOf []Trigger

// Trigger is one condition on a raw material in its phase.
type Trigger struct {
	Kind  string     // one of the Trigger constants
	Value string     // word, or INCI name
	Bound *exact.Num // %, °C; nil where the condition has none
}

// What a trigger looks at.
const (
	TriggerForm     = "form"     // form of the sheet
	TriggerFunction = "function" // a word in its functions
	TriggerName     = "name"     // a word in its trade name
	TriggerINCI     = "inci"     // a constituent, from Bound % on where given
	TriggerLabel    = "label"    // how it enters the ingredient list
	TriggerFlash    = "flash"    // flash point up to Bound °C
	TriggerHeat     = "heat"     // heated to Bound °C or more
	TriggerWith     = "with"     // another material of the phase holds the constituent
	TriggerFat      = "fat"      // an oil, butter or wax
	TriggerWater    = "water"    // mostly water
	TriggerNano     = "nano"     // holds a nano material
	TriggerSoap     = "soap"     // the formula has a reaction with lye
)

var triggerForm = pattern.New(`^([a-z]+)(?:(=|<=|>=)(.+))?$`)

var CautionColumns = rows.Columns{Meaning: []string{"id", "where", "trigger", "seen"},
	Remarks: []string{"hazard", "caution", "source", "note"}}

func ReadCautions(file string, text string) ([]*Caution, error) {
	return rows.ReadTable(file, text, CautionColumns, func(r *rows.Record) *Caution {
		c := &Caution{
			Row: r.Head(r.Text("id")), Where: r.Word("where", "making", "workplace", "batch-sheet", "stability",
				"microbiology", "effects"),
			Hazard: r.Must("hazard"), Text: r.Must("caution"),
		}
		for _, text := range r.List("trigger") {
			var clause AllOf
			for part := range strings.SplitSeq(text, " & ") {
				t, err := parseTrigger(strings.TrimSpace(part))
				if err != nil {
					r.Fail("trigger: %v", err)
				}
				clause = append(clause, t)
			}
			c.Trigger = append(c.Trigger, clause)
		}
		return c
	})
}

func parseTrigger(text string) (Trigger, error) {
	m := triggerForm.FindStringSubmatch(text)
	if m == nil {
		return Trigger{}, fmt.Errorf("%q is no condition", text)
	}
	t := Trigger{Kind: m[1], Value: m[3]}
	bad := fmt.Errorf("%q is no condition", text)
	switch t.Kind {
	case TriggerForm, TriggerFunction, TriggerName, TriggerLabel, TriggerWith:
		if m[2] != "=" {
			return t, bad
		}
	case TriggerINCI:
		name, bound, bounded := strings.Cut(t.Value, ">=")
		if m[2] != "=" {
			return t, bad
		}
		if t.Value = name; bounded {
			n, err := exact.ParseNum(bound)
			t.Bound = &n
			return t, err
		}
	case TriggerFlash, TriggerHeat:
		if m[2] != map[string]string{TriggerFlash: "<=", TriggerHeat: ">="}[t.Kind] {
			return t, bad
		}
		n, err := exact.ParseNum(t.Value)
		t.Value, t.Bound = "", &n
		return t, err
	case TriggerFat, TriggerWater, TriggerNano, TriggerSoap:
		if m[2] != "" {
			return t, bad
		}
	default:
		return t, bad
	}
	return t, nil
}
