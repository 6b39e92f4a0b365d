package recipe

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
)

// reading is a document without a file, for the parts that need only words.
func reading(t testing.TB) *doc {
	w := words(t)
	return &doc{words: w, out: &Reading{}, dose: &dose.Reader{Words: w, Habit: figure.Point}, stored: &dose.Reader{Words: w, Habit: figure.Point}}
}

// Heads as makers write them: common practice, no source.
func TestHeadOf(t *testing.T) {
	d := reading(t)
	for head, want := range map[string]column{
		"Phase":             {role: isPhase},
		"Raw material":      {role: isName},
		"Zutat":             {role: isName},
		"INCI name":         {role: isINCI},
		"%":                 {role: isAmount, unit: "%"},
		"% w/w":             {role: isAmount, unit: "%"},
		"% of oils":         {role: isAmount, unit: "%", share: true},
		"% of phase":        {role: isAmount, unit: "%", share: true},
		"g":                 {role: isAmount, unit: "g"},
		"Weight (g)":        {role: isAmount, unit: "g"},
		"Menge in %":        {role: isAmount, unit: "%"},
		"250":               {role: isAmount, batch: "250"},
		"for 800 g":         {role: isAmount, unit: "g", batch: "800 g"},
		"drops per 30 ml":   {role: isAmount, unit: "drops", batch: "30 ml"},
		"parts":             {role: isAmount, unit: "parts"},
		"How much":          {role: isAmount},
		"v3 %":              {role: isAmount, unit: "%", version: "3"},
		"old %":             {role: isAmount, unit: "%", version: "old"},
		"£/kg":              {role: isOther},
		"cost in 1 kg":      {role: isOther},
		"Max %":             {role: isOther},
		"Recommended use %": {role: isOther},
		"Active matter %":   {role: isOther},
		"Supplier":          {role: isOther},
		"Notes":             {role: isNote},
		"Unit":              {role: isUnit},
		"Heather":           {},
	} {
		t.Run(head, func(t *testing.T) {
			want.head = head
			require.Equal(t, want, d.headOf(head))
		})
	}
}
