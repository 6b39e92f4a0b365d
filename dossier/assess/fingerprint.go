package assess

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strconv"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
)

// FiguresVersion changes whenever the same inputs would give other figures; it
// is part of every fingerprint.
const FiguresVersion = "1"

// fingerprint is a short hash over everything that the figures of a product
// depend on: its file without what is beside them (besideFigures), the sheets it
// uses, the maker's own limits, the law tables, the rules in force on the day,
// and the version of the figures. Of a table row it takes what the row means, not
// its source, its note or its place.
//
// Comments, blank lines, the order of keys and quotes do not change it.
func fingerprint(a *Assessment) string {
	h := sha256.New()
	var line []byte
	part := func(name string, data []byte) {
		sum := sha256.Sum256(data)
		line = hex.AppendEncode(append(append(line[:0], name...), ' '), sum[:])
		line = append(line, '\n')
		_, _ = h.Write(line)
	}
	fmt.Fprintf(h, "gallipot figures %s\n", FiguresVersion)
	_, _ = io.WriteString(h, a.Options.Session.meanings()) // into a hash
	part("product", a.Product.Source.Canonical(workshop.BesideFigures...))
	for _, id := range UsedSheets(a) {
		if s := a.Workshop.SheetSource(id); s != nil {
			part("sheet "+id, s.Canonical(ingredients.BesideFigures...))
		}
	}
	var rules, names []byte
	var whole *formula.Composition
	for _, r := range a.Results {
		rules = rulesInForce(rules[:0], r)
		_, _ = h.Write(rules)
		if whole != r.Whole() { // the markets of a variant have one
			whole = r.Whole()
			names = understood(names[:0], whole)
		}
		_, _ = h.Write(names)
	}
	return hex.EncodeToString(h.Sum(nil))[:12]
}

// rulesInForce enters the rows that were looked at: a rule that comes into force
// changes the fingerprint of the products it touches.
func rulesInForce(b []byte, r *calc.Result) []byte {
	b = append(append(append(b, "market "...), r.Input.Market...), '\n')
	for _, l := range r.Limits {
		b = append(append(append(b, "limit "...), l.Row.Key...), '\n')
	}
	for _, t := range r.Allergens {
		b = append(append(append(b, "allergen "...), t.Row.Key...), '\n')
	}
	return b
}

// understood enters what the printed names are understood as.
func understood(b []byte, whole *formula.Composition) []byte {
	for _, s := range whole.Substances {
		b = strconv.AppendQuote(append(b, "substance "...), s.INCI)
		b = strconv.AppendBool(append(b, ' '), s.Nano)
		b = appendQuoted(append(b, " also "...), s.Also)
		b = append(appendQuoted(append(b, " maybe "...), s.Maybe), '\n')
	}
	return b
}

func appendQuoted(b []byte, list []string) []byte {
	b = append(b, '[')
	for i, s := range list {
		if i > 0 {
			b = append(b, ' ')
		}
		b = strconv.AppendQuote(b, s)
	}
	return append(b, ']')
}

// UsedSheets lists the ids of the sheets in any variant, sorted.
func UsedSheets(a *Assessment) []string {
	var ids []string
	seen := map[string]bool{}
	for i, r := range a.Results {
		if i > 0 && r.Recipe == a.Results[i-1].Recipe {
			continue // of another market
		}
		for j := range r.Recipe.Whole.Shares {
			if id := r.Recipe.Whole.Shares[j].Ingredient; !seen[id] {
				seen[id], ids = true, append(ids, id)
			}
		}
	}
	slices.Sort(ids)
	return ids
}

// UsedSheets returns the sheets of a product's variants, sorted by id.
func (a *Assessment) UsedSheets() []*ingredients.Sheet {
	var out []*ingredients.Sheet
	for _, id := range UsedSheets(a) {
		if s := a.Workshop.Sheets[id]; s != nil {
			out = append(out, s)
		}
	}
	return out
}
