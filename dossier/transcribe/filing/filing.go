package filing

import (
	"cmp"
	"path"
	"slices"
	"strings"

	"gallipot/dossier/edit"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/reading"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// State says how a value of a paper stands to the sheet.
type State string

// The states of a value.
const (
	Fills   State = "fills"   // the sheet has nothing there
	Same    State = "same"    // the sheet says the same
	Differs State = "differs" // the sheet says something else
	Open    State = "open"    // the sheet has nothing there, and what the paper means is asked
)

// Value is one value that a paper has for a sheet.
type Value struct {
	Field   string // the name to take it by: "physical.flash_c", "allergens.linalool"
	Paper   string // as the sheet would have it
	Sheet   string // as the sheet has it; "" where it has nothing
	State   State
	Printed string
	Place   reading.Place

	edits   []edit.Edit
	removes bool // taken over, the sheet's row goes
}

// Filing is a paper beside the workshop.
type Filing struct {
	Reading *reading.Reading
	Sheet   string // id of the sheet; of the new one where New
	New     bool
	By      string   // code, name, given, new
	Several []string // sheets that it may belong to, where that is open
	Filed   string   // the file under which it is already in the workshop; "" where it is new
	Kind    string   // kind of document that a sheet knows
	Target  string   // where the paper goes, below the workshop
	Values  []Value

	file string // of the sheet, below the workshop
	data []byte
}

// documentKinds turns the kind of a paper into that of a sheet's documents.
var documentKinds = map[string]string{
	"sds": "sds", "composition": "composition", "allergen-declaration": "allergens",
	"ifra-certificate":        "certificate",
	"certificate-of-analysis": "coa", "technical-data-sheet": "specification", "statement": "purity",
}

// Of compares a reading with the workshop. name and data are the paper's file;
// sheet names the sheet where the maker does.
//
// Errors: none; what is open stands in the filing.
func Of(w *workshop.Workshop, r *reading.Reading, name string, data []byte, sheet string) *Filing {
	f := &Filing{Reading: r, data: data, Kind: cmp.Or(documentKinds[r.Document.Kind], "other")}
	f.belongs(w, sheet)
	f.Filed = filedAs(w, r.SHA256)
	if rows := f.declaredRows(); len(rows) > 0 && f.listOpen() {
		r.Asks = append(r.Asks, reading.NewAsk("list-open", rows[0].Place, nil))
	}
	if f.Sheet == "" {
		return f
	}
	f.Target = "evidence/" + f.Sheet + "-" + f.Kind + strings.ToLower(path.Ext(name))
	if have, there := w.EvidenceHash(f.Target); there && have != r.SHA256 { // no paper takes the place of another
		f.Target = strings.TrimSuffix(f.Target, ext(f.Target)) + "-" + r.SHA256[:8] + ext(f.Target)
	}
	if f.Filed != "" { // of several materials in one paper each names the same file
		f.Target = f.Filed
	}
	f.file = cmp.Or(w.SheetFile[f.Sheet], "ingredients/"+f.Sheet+".yaml")
	if f.New {
		return f
	}
	f.compare(w, w.Sheets[f.Sheet])
	return f
}

// plainKey is a code or name without case and signs.
func plainKey(s string) string { return strings.ReplaceAll(lexicon.Fold(s), " ", "") }

// belongs finds the sheet that a paper belongs to.
func (f *Filing) belongs(w *workshop.Workshop, given string) {
	if given != "" {
		f.Sheet, f.By, f.New = given, "given", w.Sheets[given] == nil
		return
	}
	d := f.Reading.Document
	for _, by := range []struct {
		how  string
		fact *reading.Fact
		of   func(s *ingredients.Sheet) string
	}{
		{"code", d.Code, func(s *ingredients.Sheet) string { return s.Supplier.Code }},
		{"name", d.TradeName, func(s *ingredients.Sheet) string { return s.Name }},
	} {
		if by.fact == nil || by.fact.Value == "" || plainKey(by.fact.Value) == "" {
			continue
		}
		var hits []string
		for id, s := range w.Sheets {
			if plainKey(by.of(s)) == plainKey(by.fact.Value) {
				hits = append(hits, id)
			}
		}
		slices.Sort(hits)
		if len(hits) == 1 {
			f.Sheet, f.By = hits[0], by.how
			return
		}
		if len(hits) > 1 {
			f.Several = hits
			return
		}
	}
	if d.TradeName != nil && idOf(d.TradeName.Value) != "" {
		f.Sheet, f.By, f.New = idOf(d.TradeName.Value), "new", true
		if w.Sheets[f.Sheet] != nil { // another material of that name
			f.Sheet, f.New, f.Several = "", false, []string{idOf(d.TradeName.Value)}
		}
	}
}

// idOf makes the id of a sheet from a trade name.
func idOf(name string) string { return strings.ReplaceAll(lexicon.Fold(name), " ", "-") }

// filedAs finds the paper among those of the workshop by its hash.
func filedAs(w *workshop.Workshop, sum string) string {
	for _, id := range slices.Sorted(keys(w.Sheets)) {
		for _, d := range w.Sheets[id].Documents {
			if d.SHA256 != "" && strings.HasPrefix(sum, d.SHA256) {
				return d.File
			}
		}
	}
	return ""
}

func keys(m map[string]*ingredients.Sheet) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// add puts a value into the list.
func (f *Filing) add(field, have, want string, same bool, printed string, at reading.Place,
	edits ...edit.Edit) {
	v := Value{Field: field, Paper: want, Sheet: have, Printed: printed, Place: at, edits: edits}
	switch {
	case have == "":
		v.State = Fills
	case same:
		v.State = Same
	default:
		v.State = Differs
	}
	f.Values = append(f.Values, v)
}

// isScent says whether the bands of a safety data sheet say nothing of what the
// sheet lists.
func isScent(s *ingredients.Sheet) bool { return s.IsScent() }

// amountText writes bounds in per cent as a sheet has them; "" where nothing may be
// written.
func amountText(low, high *string, lowIn, highIn bool) string {
	switch {
	case low == nil && high == nil:
		return ""
	case high == nil:
		return sign(lowIn, ">=", ">") + *low
	case low == nil || isZero(*low):
		return sign(highIn, "<=", "<") + *high
	case *low == *high:
		return *low
	}
	return sign(lowIn, "", ">") + *low + "-" + sign(highIn, "", "<") + *high
}

func sign(in bool, with, without string) string {
	if in {
		return with
	}
	return without
}

func isZero(s string) bool { return strings.Trim(s, "0.") == "" }

// sameAmount says whether an amount of a sheet and one of a paper are the same
// bounds.
func sameAmount(have exact.Amount, want string) bool {
	w, err := exact.ParseAmount(want)
	return err == nil && have.Min.Equal(w.Min) && have.Max.Equal(w.Max)
}
