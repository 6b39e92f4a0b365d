package answer

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
)

// StopCell stands in the place of an answer where nothing can be accepted.
const StopCell = "stop: cannot be accepted"

// Which cells of a row are issued and which are written in is settled by its code, so that
// a document can be held against itself: what it was issued with does not change when the
// maker files a paper in the meantime.

// kindOf says what a row is by its code.
func kindOf(code string) Kind {
	return map[byte]Kind{'B': Items, 'V': Variants, 'M': Markets, 'O': Points, 'Q': Questions,
		'S': Values}[code[0]]
}

// statedItems are the places of Part B that the file fills in.
var statedItems = []string{rowProduct, rowFingerprint, rowDay}

// issuedOf returns the cells of a row that were issued.
func issuedOf(code string, cells []string) (list []string) {
	n := 1
	switch k := kindOf(code); {
	case k == Points && len(cells) > 2 && squeezed(cells[2]) == StopCell:
		n = 4
	case k == Points || k == Questions || k == Values:
		n = 2
	case slices.Contains(statedItems, code):
		n = 2
	}
	for i := range n {
		text := ""
		if i < len(cells) {
			text = squeezed(cells[i])
		}
		list = append(list, text)
	}
	return list
}

// mark is a short hash over the issued cells of all rows but the one that states it.
func mark(rows map[string][]string) string {
	codes := make([]string, 0, len(rows))
	for code := range rows {
		codes = append(codes, code)
	}
	slices.Sort(codes)
	h := sha256.New()
	for _, code := range codes {
		if code != rowFingerprint {
			fmt.Fprintf(h, "%s\x00%s\n", code, strings.Join(issuedOf(code, rows[code]), "\x00"))
		}
	}
	return hex.EncodeToString(h.Sum(nil))[:12]
}

// Seal states fingerprint and mark of a form in their row. It is called once, when the
// form is whole.
func (f *Form) Seal() {
	rows := map[string][]string{}
	f.each(func(_ *Group, r *Row) { rows[r.Code] = r.Issued })
	f.each(func(_ *Group, r *Row) {
		if r.Code == rowFingerprint {
			r.Issued[1] = f.Fingerprint + ", form " + mark(rows)
		}
	})
}

func (f *Form) each(do func(*Group, *Row)) {
	for i := range f.Parts {
		for j := range f.Parts[i].Groups {
			g := &f.Parts[i].Groups[j]
			for k := range g.Rows {
				do(g, &g.Rows[k])
			}
		}
	}
}

// group returns the table with rows of a kind; for Part B the one that has the code.
func (f *Form) group(code string) (found *Group) {
	f.each(func(g *Group, r *Row) {
		if g.Kind == kindOf(code) && (g.Kind != Items || r.Code == code) {
			found = g
		}
	})
	return found
}

// row finds the row of today's form that says what a row of the document was issued with;
// nil where there is none any more.
func (f *Form) row(code string, cells []string) (found *Row) {
	issued := issuedOf(code, cells)
	f.each(func(g *Group, r *Row) {
		if found == nil && g.Kind == kindOf(code) && slices.Equal(issuedOf(r.Code, r.Issued), issued) &&
			(g.Kind != Items || r.Code == code) {
			found = r
		}
	})
	return found
}
