package filing

import (
	"strings"

	"gallipot/dossier/edit"
	"gallipot/dossier/transcribe/reading"
)

// noted writes behind each value that was taken where it stands in the paper. before is the
// sheet without them; a remark of the maker's stays as it is.
func (f *Filing) noted(sheet *edit.File, taken []Value, before *edit.File) *edit.File {
	added := map[string]int{}
	for _, v := range taken {
		if v.removes || len(v.edits) != 1 {
			continue
		}
		path := v.edits[0].Path()
		if last := len(path) - 1; path[last] == "-" { // entries are added in their order
			list := path[:last]
			path = list.At(before.Len(list) + added[list.String()])
			added[list.String()]++
		}
		switch path.String() {
		case "/allergens":
			for i, a := range f.allergenRows() {
				sheet = f.note(sheet, path.Then("declared").At(i), a.Place, a.Printed)
			}
		case "/fragrance_limits":
			for _, l := range f.Reading.IFRA.Rows {
				sheet = f.note(sheet, path.Then("max_pct", l.Category), l.Place, l.Printed)
			}
		default:
			sheet = f.note(sheet, path, v.Place, v.Printed)
		}
	}
	return sheet
}

// note writes the place of a value behind it, or behind the figure of an entry of several
// lines.
func (f *Filing) note(sheet *edit.File, path edit.Path, at reading.Place, printed string) *edit.File {
	from := f.from(at, printed)
	if from == "" {
		return sheet
	}
	paper := f.Target
	if f.Filed != "" {
		paper = f.Filed
	}
	remark := strings.TrimPrefix(paper, "evidence/") + " " + from
	for _, p := range []edit.Path{path, path.Then("pct"), path.Then("amount")} {
		if next := sheet.Noted(p, remark); next != sheet {
			return next
		}
	}
	return sheet
}
