package answer

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"strings"

	"gallipot/dossier/document/word"
	"gallipot/dossier/transcribe/paper"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// Sheet is an answer as read: its rows by their codes, before anything is judged.
type Sheet struct {
	Name   string
	SHA256 string
	Form   paper.Form
	// Product, Fingerprint and Day are what the document says it is for; "" and 0 where it
	// does not.
	Product     string
	Fingerprint string
	Day         exact.Date
	Markets     []string

	mark     string // of what it was issued with
	property string // fingerprint inside the file; "" where there is none
	rows     map[string][][]string
	text     []string // paragraphs outside the rows
	tracked  bool
}

var (
	codeRE = pattern.New(`^(B[1-4][a-z]?|[VMOQS][0-9]{2,3})$`)
	dayRE  = pattern.New(`\b\d{4}-\d{2}-\d{2}\b`)
	// figuresRE is how fingerprint and mark are stated.
	figuresRE = pattern.New(`^\s*([0-9a-f]{12}), form ([0-9a-f]{12})\s*$`)
	idRE      = pattern.New(`^[a-z0-9][a-z0-9_-]*`)
)

// The rows that say what the document is for.
const (
	rowProduct     = "B1b"
	rowFingerprint = "B1c"
	rowDay         = "B1d"
)

// Property is the name of the fingerprint inside the file.
const Property = "Figures"

// Read reads an answer.
//
// Errors: a *paper.Trouble where the file cannot be read, a [Fault] where it is no answer.
func Read(r *paper.Reader, name string, data []byte) (*Sheet, error) {
	file, err := r.Read(name, data)
	if err != nil {
		return nil, err
	}
	s := &Sheet{Name: name, SHA256: file.SHA256, Form: file.Form, rows: map[string][][]string{},
		property: property(data)}
	for _, p := range file.Pages {
		if file.Form == paper.Workbook && p.Name != sheetName {
			continue
		}
		for _, l := range p.Lines {
			s.line(l, p.Name == "body")
		}
	}
	for _, c := range file.Cautions {
		s.tracked = s.tracked || c.Code == "tracked"
	}
	if len(s.rows) == 0 {
		return nil, Fault{Code: "not-a-form"}
	}
	s.Product = idRE.FindString(s.first(rowProduct, 1))
	if m := figuresRE.FindStringSubmatch(s.first(rowFingerprint, 1)); m != nil {
		s.Fingerprint, s.mark = m[1], m[2]
	}
	if d, err := exact.ParseDate(dayRE.FindString(s.first(rowDay, 1))); err == nil {
		s.Day = d
	}
	markets, _, _ := strings.Cut(s.first(rowDay, 1), ";")
	for m := range strings.SplitSeq(markets, ",") {
		if m = strings.TrimSpace(m); m != "" {
			s.Markets = append(s.Markets, m)
		}
	}
	return s, nil
}

// mostCells is how many cells of a row are looked at.
const mostCells = 12

// line takes a row of a table by its code, or a paragraph of the body.
func (s *Sheet) line(l paper.Line, isBody bool) {
	if len(l.Cells) == 0 {
		return
	}
	code := strings.TrimSpace(l.Cells[0].Text)
	switch {
	case l.Grid == 0 && isBody:
		s.text = append(s.text, squeezed(l.Text(" ")))
	case l.Grid == 0 || l.Cells[0].Col != 0:
	case codeRE.MatchString(code):
		cells := make([]string, 0, mostCells)
		for _, c := range l.Cells[1:] {
			if c.Col < 1 || c.Col > mostCells {
				continue
			}
			for len(cells) < c.Col {
				cells = append(cells, "")
			}
			cells[c.Col-1] = strings.TrimSpace(plainHyphens(c.Text))
		}
		s.rows[code] = append(s.rows[code], cells)
	}
}

// first returns a cell of the first row with a code, counted from 0 behind the code.
func (s *Sheet) first(code string, i int) string {
	for _, cells := range s.rows[code] {
		if i < len(cells) {
			return cells[i]
		}
	}
	return ""
}

// squeezed is a text with single spaces, as it is compared: programs change the kinds of
// space and break lines as they like.
func squeezed(s string) string { return strings.Join(strings.Fields(plainHyphens(s)), " ") }

// plainHyphens undoes the hyphens that keep a date on one line.
func plainHyphens(s string) string { return strings.ReplaceAll(s, word.UnbrokenHyphen, "-") }

// written is what stands in a place to write; "" for what was issued there.
func written(s string, c Column) string {
	s = strings.TrimSpace(s)
	if s == prompt(c) || s == word.WriteIn {
		return ""
	}
	return s
}

// mostProperties bounds the part of a file that holds its properties.
const mostProperties = 1 << 20

// property reads the fingerprint inside the file.
func property(data []byte) string {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return ""
	}
	f, err := z.Open("docProps/custom.xml")
	if err != nil {
		return ""
	}
	defer func() { _ = f.Close() }()
	var list struct {
		Property []struct {
			Name string `xml:"name,attr"`
			Text string `xml:"lpwstr"`
		} `xml:"property"`
	}
	if err := xml.NewDecoder(io.LimitReader(f, mostProperties)).Decode(&list); err != nil {
		return ""
	}
	for _, p := range list.Property {
		if p.Name == Property {
			return strings.TrimSpace(p.Text)
		}
	}
	return ""
}
