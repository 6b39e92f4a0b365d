package filing

import (
	"strings"

	"gallipot/dossier/edit"
	"gallipot/dossier/transcribe/phrases"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
)

// noted writes behind each value that was taken where it stands in the paper. before is the
// sheet without them; a remark of the maker's stays as it is, the place of a value that was
// replaced goes.
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
			for i, a := range f.declaredRows() {
				sheet = f.note(sheet, path.Then("declared").At(i), f.rowRemark(a), false)
			}
		case "/fragrance_limits":
			for _, l := range f.Reading.IFRA.Rows {
				sheet = f.note(sheet, path.Then("max_pct", l.Category), f.from(l.Place, l.Printed), false)
			}
		default:
			remark := f.from(v.Place, v.Printed)
			if v.State == Open && remark != "" && strings.HasPrefix(v.Field, "allergens.") {
				remark = phrases.Told().Say("sheet-open", "from", remark)
			}
			sheet = f.note(sheet, path, remark, v.State == Differs)
		}
	}
	return sheet
}

// rowRemark is where a row of a declaration stands, and that it is open where it is.
func (f *Filing) rowRemark(a reading.Allergen) string {
	from := f.from(a.Place, a.Printed)
	if undecided(a) {
		return phrases.Told().Say("sheet-open", "from", from)
	}
	return from
}

// note writes the place of a value behind it, or behind the figure of an entry of several
// lines. instead says that it takes the place of a value whose own place is remarked there.
func (f *Filing) note(sheet *edit.File, path edit.Path, from string, instead bool) *edit.File {
	if from == "" {
		return sheet
	}
	paper := f.Target
	if f.Filed != "" {
		paper = f.Filed
	}
	remark := strings.TrimPrefix(paper, "evidence/") + " " + from
	for _, p := range []edit.Path{path, path.Then("pct"), path.Then("amount")} {
		next := sheet
		if instead {
			next = sheet.Renoted(p, remark, withoutPlace)
		} else {
			next = sheet.Noted(p, remark)
		}
		if next != sheet {
			return next
		}
	}
	return sheet
}

// paperPlace is the place in a paper as it is remarked behind a value: "sheet-coa.pdf p. 1
// line 3: 4.2", "Sheet!C4: 4.2", "table 1 row 3". It stands at the end of a remark.
var paperPlace = pattern.New(`(?:^|; )(?:[^\s;:]+\.[a-z0-9]{2,5} )?` +
	`(?:p\. \d+ line \d+|p\. \d+|table \d+ row \d+|paragraph \d+|header|footer|[^;:!]{1,40}![A-Z]{1,3}\d+)(?:: .*)?$`)

// withoutPlace is what stays of a remark behind a value that was replaced: all but the
// place of the old value.
func withoutPlace(remark string) string {
	return strings.TrimSpace(strings.TrimRight(paperPlace.ReplaceAllString(remark, ""), "; "))
}
