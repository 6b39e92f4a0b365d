package frame

import (
	"encoding/csv"
	"slices"
	"strings"

	"gallipot/dossier/edit"
)

// Listing is a list of a file whose entries are rows of a table: to be changed at their
// place, taken out, and added to.
type Listing struct {
	Name, Path, ID, Title, Hint, Button string
	Columns                             []inputField // of a new entry, with what was typed
	Heads                               []string     // of the columns of the rows
	Rows                                []ListRow
	HasFile                             bool   // a new entry may bring a file along
	Error, Fix                          string // why an entry was not added
}

// ListRow is an entry of a list.
type ListRow struct {
	N     int
	Path  string
	Cells []inputField
	Lists []*Listing // inside the entry
}

// Cell returns the value of the row under a key.
func (r ListRow) Cell(key string) string {
	for _, c := range r.Cells {
		if c.Key == key {
			return c.Value
		}
	}
	return ""
}

// Drop leaves out columns that drop says so of and in which nothing is entered; a new entry
// keeps them all.
func (l *Listing) Drop(drop func(key string) bool) {
	for j := len(l.Columns) - 1; j >= 0; j-- {
		if !drop(l.Columns[j].Key) || slices.ContainsFunc(l.Rows, func(r ListRow) bool {
			return r.Cells[j].Value != ""
		}) {
			continue
		}
		l.Heads = slices.Delete(l.Heads, j, j+1)
		for i := range l.Rows {
			l.Rows[i].Cells = slices.Delete(l.Rows[i].Cells, j, j+1)
		}
	}
}

// Said is the value of a field in words.
func (x inputField) Said() string {
	for _, c := range x.Choices {
		if c.Here && c.Value != "" {
			return c.Text
		}
	}
	return x.Value
}

// listRows are the rows of a table of lists: list, key, mode (set, text, long, words, figures or file), label, hint
// and choices. The row without a key holds title, hint and the words of the button.
func listRows(table, name string) (head []string, rows [][]string, err error) {
	all, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		return nil, nil, err
	}
	for _, r := range all[1:] {
		switch {
		case r[0] != name:
		case r[1] == "":
			head = r
		default:
			rows = append(rows, r)
		}
	}
	return head, rows, nil
}

// typedAt is the value at a place as it would be typed into a field of a mode.
func typedAt(f *Opened, at edit.Path, mode string) string {
	switch mode {
	case "list", "marks":
		return strings.Join(listed(f, at), "\n")
	case "words", "figures":
		return strings.Join(listed(f, at), ", ")
	}
	value, _ := f.Text(at)
	return value
}

// listed returns the entries of a list.
func listed(f *Opened, at edit.Path) (entries []string) {
	for i := range f.Len(at) {
		s, _ := f.Text(at.At(i))
		entries = append(entries, s)
	}
	return entries
}

// steps are the keys that lead to a column inside an entry.
func steps(key string) []string { return strings.Split(key, "/") }

// Listed fills a table of lists with the entries at a path; lists are those of [Fields].
//
// Errors: those of a table that cannot be read.
func Listed(f *Opened, table, name string, at edit.Path, lists map[string][]Choice) (*Listing, error) {
	head, columns, err := listRows(table, name)
	if err != nil {
		return nil, err
	}
	id := strings.ReplaceAll(strings.Trim(at.String(), "/"), "/", "-")
	l := &Listing{Name: name, Path: at.String(), ID: id, Title: head[3], Hint: head[4], Button: head[5]}
	field := func(r []string, at edit.Path, id, value string) inputField {
		x := inputField{Path: at.Then(steps(r[1])...).String(), Mode: r[2], Label: r[3], Hint: r[4], Key: r[1],
			ID: id + "-" + strings.ReplaceAll(r[1], "/", "-"), Value: value}
		if x.Mode == "long" {
			x.Mode, x.Long = "text", true
		}
		x.Choices = choicesOf(r[5], lists, value)
		return x
	}
	for i := range f.Len(at) {
		row := ListRow{N: i, Path: at.At(i).String()}
		for _, r := range columns {
			value := typedAt(f, at.At(i).Then(steps(r[1])...), r[2])
			row.Cells = append(row.Cells, field(r, at.At(i), id+"-"+itoa(i), value))
		}
		l.Rows = append(l.Rows, row)
	}
	for _, r := range columns {
		l.HasFile = l.HasFile || r[2] == "file"
		l.Columns = append(l.Columns, field(r, at.Then("-"), id+"-new", ""))
		l.Heads = append(l.Heads, r[3])
	}
	return l, nil
}

// Typed puts back what was sent for a new entry that could not be added, and why.
func (l *Listing) Typed(v *Visit, err error) {
	t := TroubleOf(err)
	l.Error, l.Fix = t.What, t.Fix
	for i, c := range l.Columns {
		way := steps(c.Key)
		why := WrongAt(err, c.Path)
		if why == "" { // a finding names the last step alone
			why = WrongAt(err, l.Path+"/-/"+way[len(way)-1])
		}
		if l.Columns[i].Wrong = why; why != "" {
			l.Error, l.Fix = "It is not added yet: see “"+c.Label+"”.", ""
		}
		l.Columns[i].Value = v.Field("new:" + c.Key)
		for j := range c.Choices {
			c.Choices[j].Here = c.Choices[j].Value == l.Columns[i].Value
		}
	}
}

// Entry is a new entry of a list as it was sent, and the value of its first column, for the
// undo list. Where it has a file, file is what it is called in the workshop.
//
// Errors: those of a table that cannot be read; a *Trouble where nothing was typed.
func (v *Visit) Entry(table, name, file string) (value edit.Value, what string, err error) {
	_, columns, err := listRows(table, name)
	if err != nil {
		return value, "", err
	}
	value = edit.Group()
	for _, r := range columns {
		typed := v.Field("new:" + r[1])
		if r[2] == "set" {
			typed = WrittenDay(typed)
		}
		if r[2] == "file" {
			typed = file
		}
		x := edit.Typed(typed)
		switch r[2] {
		case "text", "long":
			x = edit.Text(typed)
		case "words", "figures":
			x = edit.List(entries(r[2], typed)...)
		}
		if typed != "" {
			value = value.Within(steps(r[1]), x)
		}
		if what == "" && r[2] != "file" {
			what = typed
		}
	}
	if what == "" && file == "" {
		return value, "", Wrong("Nothing was typed.", "Fill in what is known; what is not is asked about.")
	}
	return value, what, nil
}
