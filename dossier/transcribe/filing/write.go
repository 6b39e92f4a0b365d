package filing

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/edit"
	"gallipot/dossier/transcribe/phrases"
	"gallipot/dossier/transcribe/reading"
)

// File is a file of the workshop with its new content.
type File struct {
	Name string // below the workshop
	Data []byte
}

// Taken are the values that are written: what fills, and what differs where it is
// named, or is open.
func (f *Filing) Taken(take []string) []Value {
	var out []Value
	for _, v := range f.Values {
		if v.State == Fills || v.State != Same && named(v.Field, take) {
			out = append(out, v)
		}
	}
	return out
}

// Left are the names of the values that differ from those of the sheet and are not taken.
func (f *Filing) Left(take []string) []string {
	var out []string
	for _, v := range f.Values {
		if v.State == Differs && !named(v.Field, take) {
			out = append(out, v.Field)
		}
	}
	return out
}

func named(field string, take []string) bool {
	return slices.ContainsFunc(take, func(t string) bool {
		return t == field ||
			strings.HasPrefix(field, t+".")
	})
}

// Unknown are the names that no value of the paper bears.
func (f *Filing) Unknown(take []string) []string {
	var out []string
	for _, t := range take {
		if !slices.ContainsFunc(f.Values, func(v Value) bool { return named(v.Field, []string{t}) }) {
			out = append(out, t)
		}
	}
	return out
}

// Changes gives the files that change when the paper is taken over: its sheet and
// the paper itself. sheet is the sheet's content as it stands, nil for a new one.
//
// Errors: an *edit.Refusal where the sheet cannot be changed at a place.
func (f *Filing) Changes(sheet []byte, take []string) ([]File, error) {
	var out []File
	if f.New {
		out = append(out, File{f.file, f.newSheet()})
	} else {
		parsed, err := edit.Parse(f.file, sheet)
		if err != nil {
			return nil, err
		}
		before, taken := parsed, f.Taken(take)
		var edits, gone []edit.Edit
		for _, v := range taken {
			if !v.removes {
				edits = append(edits, v.edits...)
			}
		}
		for _, v := range slices.Backward(taken) { // from the end, so that no place moves
			if v.removes {
				gone = append(gone, v.edits...)
			}
		}
		if len(edits)+len(gone) == 0 {
			return nil, nil
		}
		if parsed, err = parsed.Apply(edits...); err != nil {
			return nil, err
		}
		if parsed, err = f.noted(parsed, taken, before).Apply(gone...); err != nil {
			return nil, err
		}
		out = append(out, File{f.file, parsed.Bytes()})
	}
	if f.Filed == "" {
		out = append(out, File{f.Target, f.data})
	}
	return out, nil
}

// SheetFile is the file of the sheet, below the workshop.
func (f *Filing) SheetFile() string { return f.file }

// sheetText writes a new sheet line by line.
type sheetText struct{ strings.Builder }

func (t *sheetText) line(indent int, text, comment string) {
	t.WriteString(strings.Repeat(" ", indent) + text)
	if comment != "" {
		t.WriteString(" # " + strings.ReplaceAll(comment, "\n", " "))
	}
	t.WriteByte('\n')
}

// quoted writes a text as YAML.
func quoted(s string) string {
	if plain(s) {
		return s
	}
	return strconv.Quote(s)
}

// plain says whether a text needs no quotes in YAML.
func plain(s string) bool {
	if s == "" || strings.ContainsAny(s, ":#{}[],&*!|>'\"%@`\n\\<=?") || strings.HasPrefix(s, "-") ||
		strings.TrimSpace(s) != s {
		return false
	}
	switch strings.ToLower(s) {
	case "yes", "no", "true", "false", "null", "on", "off", "~", "y", "n":
		return false
	}
	_, err := strconv.ParseFloat(s, 64)
	return err != nil
}

// amount writes an amount: a number as it is, anything else in quotes.
func amount(s string) string {
	if _, err := strconv.ParseFloat(s, 64); err == nil {
		return s
	}
	return strconv.Quote(s)
}

// from says where a value stands.
func (f *Filing) from(at reading.Place, printed string) string {
	out := ""
	switch {
	case at.Cell != "":
		out = at.Cell
	case at.Page > 0:
		out = fmt.Sprintf("p. %d line %d", at.Page, at.Line)
	default:
		out = at.Where
	}
	if printed != "" {
		out += ": " + printed
	}
	return strings.TrimSpace(out)
}

// newSheet writes the sheet of a material that the workshop does not have.
func (f *Filing) newSheet() []byte {
	r, t := f.Reading, &sheetText{}
	d := r.Document
	t.line(0, "# "+phrases.Told().Say("sheet-from", "file", f.Target), "")
	if len(r.Asks) > 0 {
		t.line(0, "# "+phrases.Told().Say("sheet-decide"), "")
	}
	for _, a := range r.Asks {
		t.line(0, "#   "+strings.Join(strings.Fields(a.Text), " "), "")
	}
	t.line(0, "id: "+f.Sheet, "")
	if d.TradeName != nil {
		t.line(0, "name: "+quoted(d.TradeName.Value), f.from(d.TradeName.Place, ""))
	} else {
		t.line(0, "name: "+quoted(f.Sheet), phrases.Told().Say("sheet-unnamed"))
	}
	switch {
	case d.Supplier != nil && d.Supplier.Ask == "":
		text := "supplier: {name: " + quoted(d.Supplier.Value)
		if d.Code != nil {
			text += ", code: " + strconv.Quote(d.Code.Value)
		}
		t.line(0, text+"}", f.from(d.Supplier.Place, ""))
	case d.Code != nil:
		t.line(0, "# "+phrases.Told().Say("sheet-supplier", "code", d.Code.Value), f.from(d.Code.Place, ""))
	}
	f.newComposition(t)
	if rows := f.declaredRows(); len(rows) > 0 {
		t.line(0, "allergens:", "")
		if f.listOpen() {
			t.line(2, "list:", "open: "+phrases.Questions().Say("list-open"))
		} else {
			t.line(2, "list: "+f.listKey(), "")
		}
		if day := f.day(); day != "" {
			t.line(2, "dated: "+day, "")
		}
		t.line(2, "declared:", "")
		for _, a := range rows {
			text := "- {name: " + quoted(rowName(a))
			if len(a.CAS) > 0 {
				text += ", cas: " + a.CAS[0]
			}
			if undecided(a) {
				t.line(4, text+", pct: }", phrases.Told().Say("sheet-open", "from", f.from(a.Place, a.Printed)))
				continue
			}
			t.line(4, text+", pct: "+amount(contentText(a))+"}", f.from(a.Place, a.Printed))
		}
	}
	f.newLimits(t)
	f.newImpurities(t)
	f.newPhysical(t)
	t.line(0, "documents:", "")
	for _, kind := range f.kinds() {
		text := "- {kind: " + kind + ", file: " + quoted(f.Target)
		if day := f.day(); day != "" {
			text += ", dated: " + day
		}
		t.line(2, text+", sha256: "+strconv.Quote(r.SHA256)+"}", "")
	}
	return []byte(t.String())
}

// newComposition writes the constituents. Without any the material is listed as a
// fragrance, which the maker has to confirm.
func (f *Filing) newComposition(t *sheetText) {
	r := f.Reading
	var rows []reading.Constituent
	rest, open := 0, false
	for _, c := range r.Composition {
		switch {
		case labelName(c) == "":
			open = true
		case c.Ask == "" && c.Status == "qs":
			rest++
			rows = append(rows, c)
		case c.Ask == "" && amountText(c.Low, c.High, c.LowIn, c.HighIn) != "":
			rows = append(rows, c)
		default:
			open = true
		}
	}
	if len(rows) == 0 || r.Document.Kind == "sds" && r.Allergens != nil {
		t.line(0, "label_as: parfum", phrases.Told().Say("sheet-fragrance"))
		return
	}
	complete := rest == 1 && !open && r.Document.Kind != "sds"
	t.line(0, "composition:", "")
	remark := phrases.Told().Say("sheet-complete")
	if complete {
		remark = ""
	}
	t.line(2, fmt.Sprintf("complete: %v", complete), remark)
	t.line(2, "constituents:", "")
	for _, c := range rows {
		pct := amountText(c.Low, c.High, c.LowIn, c.HighIn)
		if c.Status == "qs" {
			if !complete {
				continue
			}
			pct = "q.s."
		}
		text := "- {inci: " + quoted(labelName(c))
		if len(c.CAS) > 0 {
			text += ", cas: " + c.CAS[0]
		}
		if len(c.EC) > 0 {
			text += ", ec: " + c.EC[0]
		}
		t.line(4, text+", pct: "+amount(pct)+"}", f.from(c.Place, c.Printed))
	}
}

func (f *Filing) newLimits(t *sheetText) {
	cert := f.Reading.IFRA
	if cert == nil || cert.Amendment == nil || f.Reading.Document.Kind == "mail" {
		return
	}
	t.line(0, "fragrance_limits:", "")
	t.line(2, "amendment: "+itoa(*cert.Amendment), "")
	if day := f.day(); day != "" {
		t.line(2, "dated: "+day, "")
	}
	t.line(2, "max_pct:", "")
	for _, l := range cert.Rows {
		if text := limitText(l); l.Ask == "" && text != "" {
			t.line(4, strconv.Quote(l.Category)+": "+text, f.from(l.Place, l.Printed))
		}
	}
}

func (f *Filing) newImpurities(t *sheetText) {
	first := true
	for _, p := range f.Reading.Impurities {
		text := impurityAmount(p)
		if text == "" {
			continue
		}
		if first {
			t.line(0, "impurities:", "")
			first = false
		}
		line := "- {name: " + quoted(p.Substance)
		if p.CAS != "" {
			line += ", cas: " + p.CAS
		}
		t.line(2, line+", amount: "+strconv.Quote(text)+"}", f.from(p.Place, p.Printed))
	}
}

func (f *Filing) newPhysical(t *sheetText) {
	seen := map[string]bool{}
	for _, p := range f.Reading.Physical {
		key, want := physicalKey(p)
		if key == "" || want == "" || seen[key] {
			continue
		}
		if len(seen) == 0 {
			t.line(0, "physical:", "")
		}
		seen[key] = true
		t.line(2, key+": "+amount(want), f.from(p.Place, p.Printed))
	}
}

func itoa(n int) string { return strconv.Itoa(n) }

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return itoa(n) + " " + what + "s"
}
