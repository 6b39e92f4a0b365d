package assess

import (
	"slices"
	"strings"

	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// PaperGroup are the materials that one supplier has to send papers for.
type PaperGroup struct {
	First *ingredients.Sheet
	Items []string // material: its papers
	sum   []finding.Term
}

// TheSupplier stands for one whose name is in no sheet.
const TheSupplier = "the supplier"

// Because adds a reason once.
func (g *PaperGroup) Because(text string) {
	if !slices.ContainsFunc(g.sum, func(t finding.Term) bool { return t.Text == text }) {
		g.sum = append(g.sum, finding.Term{Text: text})
	}
}

func (g *PaperGroup) Finding(whom string) finding.Finding {
	of, fix := whom, "ask "+whom+" for them (gallipot letters writes it down), put the files into evidence/ and enter them under documents"
	switch whom {
	case words.Maker:
		of, fix = "your own materials", "write them, put the files into evidence/ and enter them under documents"
	case TheSupplier:
		of, fix = "materials without a supplier's name", "enter the supplier in each sheet, ask for them, put the files into evidence/ and enter them under documents"
	}
	x := finding.Findingf(finding.Ask, "missing-document", g.First.Pos, "papers of %s are not in the workshop", of).
		On(ItemSubjects(g.Items)).AskOf(whom).WithFix("%s", fix)
	x.Items, x.Sum = g.Items, g.sum
	return x
}

// ItemSubjects are the materials that items are about, the first few by name.
func ItemSubjects(items []string) string {
	var ids []string
	for _, item := range items {
		id, _, _ := strings.Cut(item, ": ")
		ids = append(ids, id)
	}
	if n := len(ids); n > MostMaterials {
		ids = append(ids[:MostMaterials:MostMaterials], "and "+words.Itoa(n-MostMaterials)+" more")
	}
	return strings.Join(ids, ", ")
}

// BySupplier are the findings that stand for all materials of a supplier: those
// of several products become one.
var BySupplier = []string{"missing-document", "supplier-not-entered"}

// joinMaterials joins what two products say about the materials of a supplier.
func joinMaterials(x, y finding.Finding) finding.Finding {
	papers := map[string][]string{}
	for _, item := range slices.Concat(x.Items, y.Items) {
		id, names, _ := strings.Cut(item, ": ")
		papers[id] = append(papers[id], "")
		for name := range strings.SplitSeq(names, ", ") {
			papers[id] = words.AddOnce(papers[id], name)
		}
	}
	x.Items = nil
	for id, names := range papers {
		names = slices.DeleteFunc(names, func(n string) bool { return n == "" })
		x.Items = append(x.Items, words.Joined(": ", id, strings.Join(names, ", ")))
	}
	slices.Sort(x.Items)
	g := PaperGroup{sum: slices.Clone(x.Sum)}
	for _, t := range y.Sum {
		g.Because(t.Text)
	}
	if y.Pos.Before(x.Pos) {
		x.Pos = y.Pos
	}
	x.Sum = g.sum
	return x.On(ItemSubjects(x.Items))
}
