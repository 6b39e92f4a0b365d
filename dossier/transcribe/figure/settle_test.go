package figure

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestBelowZero(t *testing.T) {
	r := reader(t, Unknown)
	pct, _ := r.UnitIn("%")
	type want struct{ low, high, open string }
	for text, w := range map[string]want{
		"<-5":         {"", "-5", "not-read"},
		"-5 %":        {"-5", "-5", "not-read"},
		"-5 - 3 ppm":  {"-5", "3", "not-read"},
		"> -5 mg/kg":  {"-5", "", "not-read"},
		"0.5 ± 0.6 %": {"-0.1", "1.1", "not-read"},
		"3 - -5 %":    {"3", "-5", "bounds-crossed"},
		"0.5 ± 0.5 %": {"0", "1", ""},
		"< -20 °C":    {"", "-20", ""},
		"-5 - 3 °C":   {"-5", "3", ""},
		"-5 ± 2 °C":   {"-7", "-3", ""},
	} {
		t.Run(text, func(t *testing.T) {
			f, ok := r.Parse(text, pct)
			require.True(t, ok, "%+v", f)
			require.Equal(t, w, want{f.Low, f.High, f.Open})
		})
	}
}
