package decide

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strings"

	"gallipot/ingredients/finding"
)

// Mark is a short hash of what a finding says: its code, its subject and all its values
// as they are before rounding, with the rows they rest on. Places in files, variants and
// markets are not in it, nor how a row's source is cited: a row that holds in two markets
// is one row, and a mended citation makes no decision old.
func Mark(f *finding.Finding) string {
	h := sha256.New()
	enterFinding(h, f)
	return "v" + hex.EncodeToString(h.Sum(nil))[:10]
}

func enterFinding(w io.Writer, f *finding.Finding) {
	fmt.Fprintf(w, "%q %q %q %q\n", f.Code, f.Form, f.About.ID, f.Subject)
	enter(w, f.Values)
	for _, t := range f.Sum {
		fmt.Fprintf(w, "sum %q\n", t.Key)
		enter(w, t.Values)
	}
	fmt.Fprintln(w, "things")
	enter(w, f.Things)
	if f.Inner != nil {
		fmt.Fprintln(w, "about")
		enterFinding(w, f.Inner)
	}
}

// cited are the terms for what a finding rests on, with how it is cited and for where.
var cited = map[string]bool{"law-row": true, "law-annex": true, "table-row": true}

// bare are values of which each row is there once, without its citation and its market.
func bare(values finding.Values) finding.Values {
	var out finding.Values
	var rows []string
	for _, v := range values {
		if v.Kind == finding.KindTerm && cited[v.Text] {
			v.List = slices.DeleteFunc(slices.Clone(v.List), func(x finding.Value) bool {
				return x.Name == "source" || x.Name == "market"
			})
			var row strings.Builder
			enterOne(&row, &v)
			if slices.Contains(rows, row.String()) {
				continue
			}
			rows = append(rows, row.String())
		}
		out = append(out, v)
	}
	return out
}

func enter(w io.Writer, values finding.Values) {
	for _, v := range bare(values) {
		enterOne(w, &v)
	}
}

func enterOne(w io.Writer, v *finding.Value) {
	fmt.Fprintf(w, "%q %d %q %q", v.Name, v.Kind, v.ID, v.Text)
	switch v.Kind {
	case finding.KindNumber:
		fmt.Fprintf(w, " %s %s %q", v.Low.Exact(), v.High().Exact(), v.Unit)
	case finding.KindDate:
		fmt.Fprintf(w, " %s", v.Date())
	case finding.KindCount:
		fmt.Fprintf(w, " %d", v.Count())
	}
	fmt.Fprintln(w, " (")
	enter(w, v.List)
	fmt.Fprintln(w, ")")
}
