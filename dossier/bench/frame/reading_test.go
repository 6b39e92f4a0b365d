package frame

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestForReading(t *testing.T) {
	for name, c := range map[string][2]string{
		"a form that asks stays": {`<form method="get"><input name="q"><button>Find</button></form>`,
			`<form method="get"><input name="q"><button>Find</button></form>`},
		"a form that is sent": {`<form method="post" action="/x" data-keep class="stack" id="g"><input type="hidden" name="base" value="1"><input name="a" value="2" required><button class="go">Save</button></form>`,
			`<div class="stack" id="g"><input name="a" value="2" readonly></div>`},
		"choices": {`<form method="post"><select name="a"><option>1</option></select><input type="radio" name="b"><textarea name="c">x</textarea></form>`, `<div><select name="a" disabled><option>1</option></select><input type="radio" name="b" disabled><textarea name="c" readonly>x</textarea></div>`},
		"a menu":  {`<form method="post"><details class="menu"><summary>…</summary><button>Up</button></details>x</form>`, `<div>x</div>`},
		"after a form": {`<form method="post"></form><form action="/find"><button>Find</button></form>`,
			`<div></div><form action="/find"><button>Find</button></form>`},
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, c[1], forReading(c[0])) })
	}
}
