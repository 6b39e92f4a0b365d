package filing

import (
	"fmt"

	"gallipot/dossier/transcribe"
	"gallipot/ingredients/exact"
)

// bounded is a content of a substance as one paper gives it.
type bounded struct {
	name, printed string
	low, high     exact.Num
	place         transcribe.Place
}

// Contradictions words what two papers of one material say differently of one
// substance: bounds that do not meet.
func Contradictions(a, b *transcribe.Reading) []string {
	var out []string
	other := contents(b)
	for key, x := range contents(a) {
		y, ok := other[key]
		if ok && (x.high.Less(y.low) || y.high.Less(x.low)) {
			out = append(out, fmt.Sprintf("%s is %s in one and %s in the other", x.name, x.printed, y.printed))
		}
	}
	if ca, cb := code(a), code(b); ca != "" && cb != "" && plainKey(ca) != plainKey(cb) {
		out = append(out, fmt.Sprintf("the code is %s in one and %s in the other", ca, cb))
	}
	return out
}

func code(r *transcribe.Reading) string {
	if r.Document.Code == nil {
		return ""
	}
	return r.Document.Code.Value
}

// contents are the contents of a paper by substance, by CAS number where it gives
// one.
func contents(r *transcribe.Reading) map[string]bounded {
	out := map[string]bounded{}
	put := func(name string, cas []string, printed string, low, high *string, at transcribe.Place) {
		if low == nil || high == nil {
			return
		}
		l, err1 := exact.ParseNum(*low)
		h, err2 := exact.ParseNum(*high)
		if err1 != nil || err2 != nil {
			return
		}
		key := plainKey(name)
		if len(cas) > 0 {
			key = cas[0]
		}
		out[key] = bounded{name, printed, l, h, at}
	}
	for _, c := range r.Composition {
		if c.Ask == "" {
			put(c.Name, c.CAS, c.Printed, c.Low, c.High, c.Place)
		}
	}
	if r.Allergens != nil {
		for _, a := range r.Allergens.Rows {
			if a.Ask == "" && a.Status != "trace" {
				put(a.Name, a.CAS, a.Printed, a.Low, a.High, a.Place)
			}
		}
	}
	return out
}
