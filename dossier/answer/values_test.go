package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPod(t *testing.T) {
	cases := []struct{ text, want string }{
		{"50", "50  "}, {"50 mg/kg bw/d", "50  "}, {"NOAEL 50 oral", "50 NOAEL oral"},
		{"0.5 (BMDL10; dermal)", "0.5 BMDL10 dermal"},
		{"0,5", ""}, {"50 60", ""}, {"-5", ""}, {"0", ""}, {"about fifty", ""}, {"50 inhaled", ""}, {"", ""},
	}
	for _, c := range cases {
		t.Run(c.text, func(t *testing.T) {
			r := &Reading{}
			n, kind, route := r.pod("S01", c.text)
			got := ""
			if n != nil {
				got = n.Exact() + " " + kind + " " + route
			}
			assert.Equal(t, c.want, got)
			assert.Equal(t, c.want == "", len(r.Notes) > 0, "what is not taken is said")
		})
	}
}

func TestDateOf(t *testing.T) {
	for text, want := range map[string]string{
		"2027-11-29": "2027-11-29", "29 November 2027": "2027-11-29", "29 Nov 2027.": "2027-11-29",
		"November 29, 2027":              "2027-11-29",
		"signed, 2027-11-29, M. Fenwick": "2027-11-29", "29/11/27": "", "03.04.2027": "", "soon": "", "2027-02-30": "",
	} {
		t.Run(text, func(t *testing.T) {
			d, ok := dateOf(text)
			assert.Equal(t, want != "", ok)
			assert.Equal(t, want, map[bool]string{true: d.String()}[ok])
		})
	}
}
