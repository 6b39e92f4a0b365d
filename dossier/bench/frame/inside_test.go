package frame

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
)

func TestInside(t *testing.T) {
	w := &workshop.Workshop{Sheets: map[string]*ingredients.Sheet{"keeper-pe": {Name: "Keeper <P> & E"}},
		Products: []*workshop.Product{{Product: &formula.Product{ID: "heath-wash", Name: "Heath Wash",
			Variants: []*formula.Variant{{ID: "all-plain", Name: "Heath Wash, All Plain"}}}}}}
	for name, c := range map[string][2]string{
		"headings go down":           {`<h1 id="a">A</h1><h5>B</h5>`, `<h2 id="a">A</h2><h6>B</h6>`},
		"names in place of ids":      {`<td>keeper-pe</td>`, `<td>Keeper &lt;P&gt; &amp; E</td>`},
		"not in a tag":               {`<td id="keeper-pe">1 &lt; 2</td>`, `<td id="keeper-pe">1 &lt; 2</td>`},
		"a verb of the command line": {`<p>see gallipot check heath-wash/duo</p>`, `<p>see the open points</p>`},
		"an id behind its name": {`<td>Keeper &lt;P&gt; &amp; E (keeper-pe), 2 %</td>`,
			`<td>Keeper &lt;P&gt; &amp; E, 2 %</td>`},
		"a place in a file": {`<td>1 % × 2 % = 3 % (keeper-pe.yaml:7)</td><p class="small"><code>batches/A.yaml:3:7 · ask</code></p>`,
			`<td>1 % × 2 % = 3 %</td>`},
		"a variant":      {`<td>heath-wash/all-plain, a/b</td>`, `<td>Heath Wash, All Plain, a/b</td>`},
		"its short name": {`<td>all-plain</td>`, `<td>All Plain</td>`},
		"text alone":     {`keeper-pe`, `Keeper &lt;P&gt; &amp; E`},
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, HTML(c[1]), NamesOf(w).Inside(c[0])) })
	}
}
