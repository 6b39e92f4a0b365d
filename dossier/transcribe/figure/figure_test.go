package figure

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/lexicon"
)

func reader(t *testing.T, h Habit) Reader {
	l, err := lexicon.Load()
	require.NoError(t, err)
	return Reader{Words: l, Habit: h}
}

func TestFigures(t *testing.T) {
	r := reader(t, Unknown)
	pct, _ := r.UnitIn("%")
	type want struct {
		status        Status
		low, high     string
		lowIn, highIn bool
		unit          string
	}
	for text, w := range map[string]want{
		"0.312%":                        {Value, "0.312", "0.312", true, true, "%"},
		"0,312 %":                       {Value, "0.312", "0.312", true, true, "%"},
		"6200 ppm":                      {Value, "6200", "6200", true, true, "ppm"},
		"1-5 %":                         {Range, "1", "5", true, true, "%"},
		"1 - <5":                        {Range, "1", "5", true, false, "%"},
		"25.0 – 50.0%":                  {Range, "25.0", "50.0", true, true, "%"},
		"≥ 2.5 - < 5":                   {Range, "2.5", "5", true, false, "%"},
		">= 2,5 < 10":                   {Range, "2.5", "10", true, false, "%"},
		"> 1 - <= 5":                    {Range, "1", "5", false, true, "%"},
		"5 ≤ x < 9":                     {Range, "5", "9", true, false, "%"},
		"1 < C <= 5":                    {Range, "1", "5", false, true, "%"},
		"ca. −18 °C":                    {Value, "-18", "-18", true, true, "°C"},
		"min. -5 °C":                    {Above, "-5", "", true, true, "°C"},
		"-5 bis -2 °C":                  {Range, "-5", "-2", true, true, "°C"},
		"max-5":                         {Below, "0", "5", true, true, "%"},
		"< LOQb":                        {NotDetected, "", "", false, false, ""},
		"< BG (BG = 0,01 mg/kg)":        {NotDetected, "0", "0.01", true, true, "mg/kg"},
		"<LOQ (0.02 mg/kg)":             {NotDetected, "0", "0.02", true, true, "mg/kg"},
		"Traces ¹":                      {Trace, "", "", false, false, ""},
		"NDa":                           {NotDetected, "", "", false, false, ""},
		"1,472 0 à 1,478 0":             {Range, "1.4720", "1.4780", true, true, "%"},
		"maks. 3,0":                     {Below, "0", "3.0", true, true, "%"},
		"< 0,001":                       {Below, "0", "0.001", true, false, "%"},
		"<=2":                           {Below, "0", "2", true, true, "%"},
		"max. 0.5":                      {Below, "0", "0.5", true, true, "%"},
		"0.5 max.":                      {Below, "0", "0.5", true, true, "%"},
		"max. 2 mg KOH/g":               {Below, "0", "2", true, true, "mg KOH/g"},
		"bis zu 3 %":                    {Below, "0", "3", true, true, "%"},
		"weniger als 1 %":               {Below, "0", "1", true, false, "%"},
		"inférieur à 0,1 %":             {Below, "0", "0.1", true, false, "%"},
		"> 99":                          {Above, "99", "", false, true, "%"},
		"min. 98.0 %":                   {Above, "98.0", "", true, true, "%"},
		"mind. 60":                      {Above, "60", "", true, true, "%"},
		"from 5 to 10":                  {Range, "5", "10", true, true, "%"},
		"30 +/- 1":                      {Range, "29", "31", true, true, "%"},
		"1.5 bis 3":                     {Range, "1.5", "3", true, true, "%"},
		"de 5 à 10 %":                   {Range, "5", "10", true, true, "%"},
		"n.d.":                          {NotDetected, "", "", false, false, ""},
		"n.n.":                          {NotDetected, "", "", false, false, ""},
		"not detected (< 0.01 %)":       {NotDetected, "0", "0.01", true, false, "%"},
		"not detectable (limit 10 ppm)": {NotDetected, "0", "10", true, true, "ppm"},
		"traces":                        {Trace, "", "", false, false, ""},
		"tr.":                           {Trace, "", "", false, false, ""},
		"+":                             {Trace, "", "", false, false, ""},
		"-":                             {NotStated, "", "", false, false, ""},
		"—":                             {NotStated, "", "", false, false, ""},
		"0":                             {Zero, "0", "0", true, true, "%"},
		"0.0%":                          {Zero, "0.0", "0.0", true, true, "%"},
		"q.s.":                          {Rest, "", "", false, false, ""},
		"ad 100":                        {Rest, "", "", false, false, ""},
		"Not Permitted":                 {NotPermitted, "", "", false, false, ""},
		"keine Beschränkung":            {NoRestriction, "", "", false, false, ""},
		"N/A":                           {Ask, "", "", false, false, ""},
		"2.15 (***)":                    {Value, "2.15", "2.15", true, true, "%"},
		"1 250 ppm":                     {Value, "1250", "1250", true, true, "ppm"},
		"1'250.5 mg/kg":                 {Value, "1250.5", "1250.5", true, true, "mg/kg"},
		"1.250,5 ppm":                   {Value, "1250.5", "1250.5", true, true, "ppm"},
		"71 °C (closed cup)":            {Value, "71", "71", true, true, "°C"},
		"about 9.5":                     {Value, "9.5", "9.5", true, true, "%"},
		"-5 °C":                         {Value, "-5", "-5", true, true, "°C"},
		"0,888 – 0,898 g/cm³":           {Range, "0.888", "0.898", true, true, "g/cm3"},
		"1,250 %":                       {Value, "1.250", "1.250", true, true, "%"},
		"0.250 ppm":                     {Value, "0.250", "0.250", true, true, "ppm"},
		"-5 - -2 °C":                    {Range, "-5", "-2", true, true, "°C"},
		"< 10":                          {Below, "0", "10", true, false, "%"},
	} {
		t.Run(text, func(t *testing.T) {
			f, ok := r.Parse(text, pct)
			require.True(t, ok, "%+v", f)
			require.Equal(t, w, want{f.Status, f.Low, f.High, f.LowIn, f.HighIn, f.Unit.Name})
			require.Empty(t, f.Open)
		})
	}
	for _, text := range []string{"1,8-Cineol", "C16:0", "GC-MS", "Ph. Eur. 2.5.5", "64-17-5", "2-one",
		"clear, pale yellow", "4.2 clear", "3 parts", "1.2.3"} {
		t.Run("no figure: "+text, func(t *testing.T) {
			f, ok := r.Parse(text, pct)
			require.False(t, ok, "%+v", f)
		})
	}
}

func TestDecimalSignThatCannotBeDecided(t *testing.T) {
	for name, c := range map[string]struct {
		habit Habit
		text  string
		want  string // empty: open
	}{
		"nothing tells":           {Unknown, "1,250 ppm", ""},
		"both signs in the paper": {Mixed, "1.250 ppm", ""},
		"comma paper, comma":      {Comma, "1,250 ppm", "1.250"},
		"comma paper, point":      {Comma, "1.250 ppm", "1250"},
		"point paper, comma":      {Point, "1,250 ppm", "1250"},
		"a percentage":            {Unknown, "1,250 %", "1.250"},
		"a nought before it":      {Unknown, "0,250 ppm", "0.250"},
		"two groups":              {Unknown, "1,250,000 ppm", "1250000"},
	} {
		t.Run(name, func(t *testing.T) {
			f, ok := reader(t, c.habit).Parse(c.text, lexicon.Unit{})
			require.True(t, ok)
			if c.want == "" {
				require.Equal(t, "decimal-sign", f.Open)
				return
			}
			require.Empty(t, f.Open)
			require.Equal(t, c.want, f.Low)
		})
	}
}

func TestHabit(t *testing.T) {
	require.Equal(t, Comma, LearnHabit([]string{"0,5 %", "34,7"}))
	require.Equal(t, Point, LearnHabit([]string{"0.5 %", "18.06.2024", "64-17-5"}))
	require.Equal(t, Mixed, LearnHabit([]string{"0.5 %", "0,34 %"}))
	require.Equal(t, Unknown, LearnHabit([]string{"1,250", "C 1,2,3-x"}))
}

func FuzzParse(f *testing.F) {
	l, err := lexicon.Load()
	if err != nil {
		f.Fatal(err)
	}
	for _, s := range []string{"≥ 2.5 - < 5", "n.d. (< 1)", "30 +/- 1", "1,2,3", "~", "<", "5 ≤ x <"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, ok := Reader{Words: l}.Parse(s, lexicon.Unit{})
		if ok && got.Low != "" && !IsNumber(got.Low) {
			t.Fatalf("%q: low %q is no number", s, got.Low)
		}
	})
}
