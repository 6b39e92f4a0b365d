package columns

import (
	"testing"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/terms"

	"github.com/stretchr/testify/require"
)

// Heads as makers write them: common practice, no source.
func TestHeadOf(t *testing.T) {
	words, err := lexicon.Load()
	require.NoError(t, err)
	d := &Finder{terms.New(words, []string{"0.5"})}
	for head, want := range map[string]Column{
		"Phase":             {Role: IsPhase},
		"Raw material":      {Role: IsName},
		"Zutat":             {Role: IsName},
		"INCI name":         {Role: IsINCI},
		"%":                 {Role: IsAmount, Unit: "%"},
		"% w/w":             {Role: IsAmount, Unit: "%"},
		"% of oils":         {Role: IsAmount, Unit: "%", Share: true},
		"% of phase":        {Role: IsAmount, Unit: "%", Share: true},
		"g":                 {Role: IsAmount, Unit: "g"},
		"Weight (g)":        {Role: IsAmount, Unit: "g"},
		"Menge in %":        {Role: IsAmount, Unit: "%"},
		"% in phase":        {Role: IsAmount, Unit: "%", Share: true},
		"24.11.25":          {}, // a date is the size of no batch
		"1.250":             {Role: IsAmount, Batch: "1.250"},
		"250":               {Role: IsAmount, Batch: "250"},
		"for 800 g":         {Role: IsAmount, Unit: "g", Batch: "800 g"},
		"drops per 30 ml":   {Role: IsAmount, Unit: "drops", Batch: "30 ml"},
		"parts":             {Role: IsAmount, Unit: "parts"},
		"How much":          {Role: IsAmount},
		"v3 %":              {Role: IsAmount, Unit: "%", Version: "3"},
		"old %":             {Role: IsAmount, Unit: "%", Version: "old"},
		"£/kg":              {Role: IsOther},
		"cost in 1 kg":      {Role: IsOther},
		"Max %":             {Role: IsOther},
		"Recommended use %": {Role: IsOther},
		"Active matter %":   {Role: IsOther},
		"Supplier":          {Role: IsOther},
		"Notes":             {Role: IsNote},
		"Unit":              {Role: IsUnit},
		"Heather":           {},
	} {
		t.Run(head, func(t *testing.T) {
			want.Head = head
			require.Equal(t, want, d.HeadOf(head))
		})
	}
}
