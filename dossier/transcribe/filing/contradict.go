package filing

import (
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/exact"
)

// bounded is a content of a substance as one paper gives it.
type bounded struct {
	name, printed string
	low, high     exact.Num
	place         reading.Place
}

// Contradictions asks about what two papers of one material say differently: bounds of
// one substance that do not meet, and two codes. They are put in the order of the
// first paper.
func Contradictions(a, b *reading.Reading) []reading.Ask {
	var out []reading.Ask
	ask := func(code string, at reading.Place, name, one, other string) {
		out = append(out, reading.NewAsk(code, at, map[string]string{
			"name": name, "one": one, "file": a.File, "other": other, "paper": b.File}))
	}
	others, _ := contents(b)
	all, order := contents(a)
	for _, key := range order {
		x := all[key]
		y, ok := others[key]
		if ok && (x.high.Less(y.low) || y.high.Less(x.low)) {
			ask("two-contents", x.place, x.name, x.printed, y.printed)
		}
	}
	if ca, cb := code(a), code(b); ca != "" && cb != "" && plainKey(ca) != plainKey(cb) {
		ask("two-codes", a.Document.Code.Place, "", ca, cb)
	}
	return out
}

func code(r *reading.Reading) string {
	if r.Document.Code == nil {
		return ""
	}
	return r.Document.Code.Value
}

// contents are the contents of a paper by substance, by CAS number where it gives
// one, and the substances in the order of the paper.
func contents(r *reading.Reading) (out map[string]bounded, order []string) {
	out = map[string]bounded{}
	put := func(name string, cas []string, printed string, low, high *string, at reading.Place) {
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
		if _, ok := out[key]; !ok {
			order = append(order, key)
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
	return out, order
}
