package pack

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/dossier/document"
	"gallipot/dossier/parallel"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// plain is a table for the pages alone: it goes into no workbook.
func plain(t *document.Table) *document.Table {
	t.SheetName = ""
	return t
}

// only keeps the tables of a section whose ID begins with a word: the others stand on the
// pages, and from there in the workbook.
func only(s *document.Section, id string) *document.Section {
	s.Blocks = slices.DeleteFunc(s.Blocks, func(b document.Block) bool {
		t, ok := b.(*document.Table)
		return !ok || !strings.HasPrefix(t.ID, id)
	})
	return s
}

// saidOnce leaves out the other empty tables of a section where its first one says already
// that nothing is on record.
func saidOnce(s *document.Section, first, others string) *document.Section {
	empty := func(b document.Block, id string) bool {
		t, ok := b.(*document.Table)
		return ok && len(t.Rows) == 0 && strings.HasPrefix(t.ID, id)
	}
	if slices.ContainsFunc(s.Blocks, func(b document.Block) bool { return empty(b, first) }) {
		s.Blocks = slices.DeleteFunc(s.Blocks,
			func(b document.Block) bool { return empty(b, others) && !empty(b, first) })
	}
	return s
}

// exposurePages say of what in the classing of the product type is a judgement what the
// assessor has to confirm; how it was reached stands with the figures of the program.
func exposurePages(v *show.View) *document.Section {
	s := sections.ExposureSection(v)
	kind, known := law.ProductType(v.A.Options.Law, v.A.Product.Type)
	if !known || !kind.Judged {
		return s
	}
	said := document.List("How this type of product is classed is a judgement, common practice without a source, which the assessor confirms: " +
		v.RinseText() + ", used on " + strings.Replace(strings.Join(kind.Areas, ", "), "mucous",
		"mucous membranes", 1) + "; fragrance category " + words.OrWord(kind.FragranceCategory, "not known") + ".")
	for _, b := range s.Blocks {
		list, ok := b.(*document.Bullets)
		if !ok {
			continue
		}
		for i, p := range list.Items {
			if strings.HasSuffix(p.Plain(), kind.Note) {
				list.Items[i] = said.Items[0]
			}
		}
	}
	return s
}

// withoutUnfilled leaves out the columns that nobody filled and names them once.
func withoutUnfilled(t *document.Table, why string) *document.Table {
	var gone []string
	for i := len(t.Columns) - 1; i > 0; i-- {
		filled := len(t.Rows) == 0
		for _, r := range t.Rows {
			filled = filled || i < len(r.Cells) && r.Cells[i].Kind != document.CellMissing &&
				r.Cells[i].Kind != document.CellBlank
		}
		if filled {
			continue
		}
		gone = append([]string{lowered(t.Columns[i].Head)}, gone...)
		t.Columns = slices.Delete(slices.Clone(t.Columns), i, i+1)
		for j, r := range t.Rows {
			if i < len(r.Cells) {
				t.Rows[j].Cells = slices.Delete(slices.Clone(r.Cells), i, i+1)
			}
		}
	}
	if len(gone) > 0 {
		t.Note("□ " + why + " for any: " + words.JoinNames(gone) + ".")
	}
	return t
}

// without leaves out the columns with the given heads.
func without(t *document.Table, heads ...string) *document.Table {
	for i := len(t.Columns) - 1; i >= 0; i-- {
		if !slices.Contains(heads, t.Columns[i].Head) {
			continue
		}
		t.Columns = slices.Delete(slices.Clone(t.Columns), i, i+1)
		for j, r := range t.Rows {
			if len(r.Cells) > i && r.Kind != document.RowGroup {
				t.Rows[j].Cells = slices.Delete(slices.Clone(r.Cells), i, i+1)
			}
		}
	}
	return t
}

// lowered begins with a small letter, save for abbreviations and pH.
func lowered(s string) string {
	if len(s) > 1 && strings.ToUpper(s[1:2]) == s[1:2] {
		return s
	}
	return strings.ToLower(s[:min(1, len(s))]) + s[min(1, len(s)):]
}

// sections builds sections side by side and returns them in their order.
func sideBySide(build ...func() *document.Section) []*document.Section {
	out := make([]*document.Section, len(build))
	parallel.Each(len(build), func(i int) { out[i] = build[i]() })
	return out
}

// lawTo says up to which day the annexes of the product's markets are in the tables.
func lawTo(v *show.View) string {
	var parts []string
	for _, m := range v.A.Markets {
		part := string(m) + " " + v.A.Options.Law.StateOf(m).ConsolidatedTo.String()
		if !slices.Contains(parts, part) {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, ", ")
}

// whole keeps a few words on one line.
func whole(s string) string { return strings.ReplaceAll(s, " ", "\u00a0") }

// materialName is the trade name of a raw material, for a reader who knows no ids.
func materialName(v *show.View, id string) string {
	if s := v.A.Workshop.Sheets[id]; s != nil {
		return cmp.Or(s.Name, id)
	}
	return id
}

func variantOrProduct(v *show.View, name, id string) string {
	if id == "" {
		return v.A.Product.Name
	}
	return name
}

func boolRank(b bool) int {
	if b {
		return 1
	}
	return 0
}
