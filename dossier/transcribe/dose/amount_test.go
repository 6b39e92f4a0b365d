package dose

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

func reader(t testing.TB, habit figure.Habit) *Reader {
	words, err := lexicon.Load()
	require.NoError(t, err)
	return &Reader{Words: words, Habit: habit}
}

// Every case is written by hand: common practice, no source.
func TestParse(t *testing.T) {
	r := reader(t, figure.Point)
	for text, want := range map[string]Amount{
		"4":                       {Value: "4"},
		"0.5 %":                   {Value: "0.5", Unit: "%"},
		"49.4 %":                  {Value: "49.4", Unit: "%"},
		"20g":                     {Value: "20", Unit: "g"},
		"20 drops":                {Value: "20", Unit: "drops"},
		"1 tsp":                   {Value: "1", Unit: "tsp"},
		"½ tsp":                   {Value: "0.5", Unit: "tsp"},
		"1½ tsp":                  {Value: "1.5", Unit: "tsp"},
		"1 1/2 oz":                {Value: "1.5", Unit: "oz"},
		"1/3 tsp":                 {Unit: "tsp", Doubt: Fraction},
		"2-3 g":                   {Low: "2", High: "3", Unit: "g", Doubt: Range},
		"2 to 3 g":                {Low: "2", High: "3", Unit: "g", Doubt: Range},
		"between 2 and 3 g":       {Low: "2", High: "3", Unit: "g", Doubt: Range},
		"entre 0.1 y 0.2 %":       {Low: "0.1", High: "0.2", Unit: "%", Doubt: Range},
		"0.3–0.5":                 {Low: "0.3", High: "0.5", Doubt: Range},
		"up to 0.5%":              {High: "0.5", Unit: "%", Doubt: Bound},
		"max. 1 %":                {High: "1", Unit: "%", Doubt: Bound},
		"<0.1":                    {High: "0.1", Doubt: Bound},
		"0.5 max":                 {High: "0.5", Doubt: Bound},
		"ca. 3 %":                 {Value: "3", Unit: "%", Doubt: About},
		"~3":                      {Value: "3", Doubt: About},
		"3?":                      {Value: "3", Doubt: Query},
		"3 (was 4)":               {Value: "3", Note: "was 4"},
		"3 -> 4 %":                {Value: "4", Unit: "%", Doubt: Changed, Note: "was 3"},
		"2 + 1 g":                 {Doubt: Composed, Note: "2 + 1 g"},
		"2 x 5 g":                 {Doubt: Composed, Note: "2 x 5 g"},
		"to 100":                  {QS: To100},
		"to 100 %":                {QS: To100},
		"q.s. to 100":             {QS: To100},
		"q.s. 100 %":              {QS: To100},
		"up to 100 %":             {QS: To100},
		"ad 100,0":                {QS: To100},
		"balance":                 {QS: To100},
		"rest":                    {QS: To100},
		"to 500 g":                {QS: To100, ToMass: "500 g"},
		"make up to 1 kg":         {QS: To100, ToMass: "1 kg"},
		"q.s.":                    {QS: Open},
		"qs (about 0.1)":          {QS: Open, Around: "0.1", Note: "about 0.1"},
		"q.s. to pH 5.5":          {QS: ToPH, Note: "q.s. to pH 5.5"},
		"to pH 5.4 (about 0.6 %)": {QS: ToPH, Around: "0.6", Note: "to pH 5.4 (about 0.6 %)"},
		"up to 0.5 % until pH 5":  {QS: ToPH, High: "0.5", Note: "up to 0.5 % until pH 5"},
		"spray as needed":         {QS: AsNeeded, Note: "spray as needed"},
		"a pinch":                 {Value: "1", Unit: "pinch"},
		"pinch":                   {Unit: "pinch", Doubt: Words},
		"-":                       {None: true},
		"":                        {None: true},
		"0":                       {Value: "0", Doubt: Zero},
		"1 250 g":                 {Value: "1250", Unit: "g"},
		"1,250 g":                 {Value: "1250", Unit: "g"},
		"6 drops, last":           {Value: "6", Unit: "drops", Note: "last"},
		"3 EL":                    {Value: "3", Unit: "tbsp"},
		"5 Tropfen":               {Value: "5", Unit: "drops"},
	} {
		t.Run(text, func(t *testing.T) {
			a, ok := r.Parse(text)
			require.True(t, ok)
			a.Printed = ""
			require.Equal(t, want, a)
		})
	}
}

func TestParseNot(t *testing.T) {
	r := reader(t, figure.Point)
	for _, text := range []string{"Glycerin 99.5", "2 L-arginine", "200x", "Heather", "5.5.2026", "£3.10", "-5",
		"melt at 75"} {
		_, ok := r.Parse(text)
		require.False(t, ok, text)
	}
}

func TestHabit(t *testing.T) {
	a, ok := reader(t, figure.Comma).Parse("62,5")
	require.True(t, ok)
	require.Equal(t, "62.5", a.Value)
	a, _ = reader(t, figure.Comma).Parse("1.250 g")
	require.Equal(t, "1250", a.Value)
	a, _ = reader(t, figure.Unknown).Parse("1,250 g")
	require.Equal(t, Decimal, a.Doubt)
	require.Empty(t, a.Value)
}
func FuzzParse(f *testing.F) {
	for _, s := range []string{"4", "2-3 g", "½ tsp", "q.s. to pH 5.5", "to 500 g", "1 250 g", "3 -> 4 %",
		"up to 0.5% until pH 5"} {
		f.Add(s)
	}
	r := reader(f, figure.Point)
	f.Fuzz(func(t *testing.T, s string) {
		a, ok := r.Parse(s)
		if !ok {
			return
		}
		for _, v := range []string{a.Value, a.Low, a.High} {
			require.True(t, v == "" || figure.IsNumber(v), "%q gives %q", s, v)
		}
		require.False(t, a.Value != "" && (a.Low != "" || a.High != ""), "%q is a number and a range", s)
	})
}
