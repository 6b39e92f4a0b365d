package law

import (
	"fmt"
	"regexp"
	"strings"

	"gallipot/ingredients"
)

// Caution is one thing to be said to whoever makes the product. The safety data
// sheet of the lot in hand always wins over it.
//
// Source: cautions.csv.
type Caution struct {
	Row            // Key is the id, such as H04
	Where   string // making, workplace, batch-sheet, stability, microbiology or effects
	Trigger []AllOf
	Hazard  string // a few words
	Text    string // what to do
}

// AllOf is a list of conditions that all have to hold; a caution is shown when
// any of its clauses does.
type AllOf []Trigger

// Trigger is one condition on a raw material in its phase.
type Trigger struct {
	Kind  string           // one of the Trigger constants
	Value string           // word, or INCI name
	Bound *ingredients.Num // %, °C; nil where the condition has none
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

var triggerForm = regexp.MustCompile(`^([a-z]+)(?:(=|<=|>=)(.+))?$`)

var cautionColumns = columns{meaning: []string{"id", "where", "trigger", "seen"},
	remarks: []string{"hazard", "caution", "source", "note"}}

func readCautions(file string, data []byte) ([]*Caution, error) {
	return readTable(file, data, cautionColumns, func(r *record) *Caution {
		c := &Caution{
			Row: r.head(r.text("id")), Where: r.word("where", "making", "workplace", "batch-sheet", "stability", "microbiology", "effects"),
			Hazard: r.must("hazard"), Text: r.must("caution"),
		}
		for _, text := range r.list("trigger") {
			var clause AllOf
			for part := range strings.SplitSeq(text, " & ") {
				t, err := parseTrigger(strings.TrimSpace(part))
				if err != nil {
					r.fail("trigger: %v", err)
					continue
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
			n, err := ingredients.ParseNum(bound)
			t.Bound = &n
			return t, err
		}
	case TriggerFlash, TriggerHeat:
		if m[2] != map[string]string{TriggerFlash: "<=", TriggerHeat: ">="}[t.Kind] {
			return t, bad
		}
		n, err := ingredients.ParseNum(t.Value)
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

// Cautions returns the cautions of one place, in the order of the table.
func (t *Tables) Cautions(where string) []*Caution {
	var out []*Caution
	for _, c := range t.cautions {
		if c.Where == where {
			out = append(out, c)
		}
	}
	return out
}

// Caution returns one caution. It panics on an unknown key, as Fact does.
func (t *Tables) Caution(key string) *Caution {
	for _, c := range t.cautions {
		if c.Key == key {
			return c
		}
	}
	panic("law: no caution " + key)
}
