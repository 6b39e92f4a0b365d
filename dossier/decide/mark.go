package decide

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"

	"gallipot/ingredients/finding"
)

// Mark is a short hash of what a finding says: its code, its subject and all its values
// as they are before rounding, with what they rest on. Places in files, variants and
// markets are not in it.
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

func enter(w io.Writer, values finding.Values) {
	for _, v := range values {
		fmt.Fprintf(w, "%q %d %q %q", v.Name, v.Kind, v.ID, v.Text)
		switch v.Kind {
		case finding.KindNumber:
			fmt.Fprintf(w, " %s %s %q", v.Low.Exact(), v.High.Exact(), v.Unit)
		case finding.KindDate:
			fmt.Fprintf(w, " %s", v.Date)
		case finding.KindCount:
			fmt.Fprintf(w, " %d", v.Count)
		}
		fmt.Fprintln(w, " (")
		enter(w, v.List)
		fmt.Fprintln(w, ")")
	}
}
