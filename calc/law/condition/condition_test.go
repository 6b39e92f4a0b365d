package condition

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "the condition is empty: write all"},
		{"rinsed-off", `unknown condition "rinsed-off": did you mean rinse-off?`},
		{"rinse-off & ", `unknown condition ""`},
		{"area=foot", `unknown condition "area=foot"`},
		{"area=", `unknown condition "area="`},
		{"areas=face", `unknown condition "areas": did you mean area?`},
		{"product=shampo", `unknown condition "product=shampo": did you mean shampoo?`},
		{"population=under-4", "unknown condition \"population=under-4\": did you mean under-3?"},
		{"function=preservatives", "did you mean preservative?"},
		{"claim=sun", `unknown condition "claim=sun"`},
		{"except=area=face", `unknown condition "area=face"`},
		{"except=body", `unknown condition "body"`},
		{"except=areas:face", `unknown condition "areas"`},
		{"area:face", `unknown condition "area:face"`},
		{"released-formaldehyde>", "has no figure in % behind released-formaldehyde>"},
		{"released-formaldehyde>-1", "has no figure in %"},
		{"released-formaldehyde>=0.1", "has no figure in %"},
		{"butadiene>0.1", `unknown condition "butadiene>0.1"`},
		{"ALL", `unknown condition "ALL": did you mean all?`},
	} {
		_, err := Parse(c.text)
		require.ErrorContains(t, err, c.want, "%q", c.text)
	}
}
