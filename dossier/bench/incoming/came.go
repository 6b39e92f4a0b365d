package incoming

import (
	"cmp"
	"encoding/json"
	"errors"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/transcribe/filing"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients"
	"gallipot/ingredients/pattern"
)

// kinds of file that are read, by the end of their names.
var kinds = []string{".pdf", ".xlsx", ".docx", ".csv", ".tsv", ".txt", ".eml", ".htm", ".html"}

// noted is what was said about one material of a paper that waits.
type noted struct {
	// Sheet is the id of the sheet that the maker chose; empty: as the paper says.
	Sheet   string                   `json:"sheet,omitempty"`
	Answers map[string]filing.Answer `json:"answers,omitempty"`
}

// notes are what was said about a paper: about its first material, and the others by number.
type notes struct {
	noted
	Others map[int]*noted `json:"others,omitempty"`
}

// of returns the notes of the nth material, counted from 1.
func (x *notes) of(n int) *noted {
	if n == 1 {
		return &x.noted
	}
	if x.Others == nil {
		x.Others = map[int]*noted{}
	}
	if x.Others[n] == nil {
		x.Others[n] = &noted{}
	}
	return x.Others[n]
}

// waiting is a paper that waits, as read and beside its sheet: of a paper with several
// materials, one of them.
type waiting struct {
	history.Paper
	file   *paper.File
	n      int              // which material, counted from 1
	one    *reading.Reading // of that material; may not be changed
	all    []*reading.Reading
	notes  notes
	said   *noted         // of notes
	asked  *filing.Filing // as read
	items  []filing.Item
	filing *filing.Filing // as answered
	done   bool           // filed, for this material
	wrong  *mistake       // what was typed last and could not be taken; nil: nothing
}

// mistake is a value that could not be taken, shown at its field with what was typed.
type mistake struct {
	n           int
	typed, text string
}

// page is the address of the nth material of a paper, behind /incoming/.
func page(key string, n int) string {
	if n == 1 {
		return key
	}
	return key + "-" + strconv.Itoa(n)
}

// page is the address of the paper, or of its material.
func (w *waiting) page() string { return page(w.Key, w.n) }

// keyOf reads an address back: the key of the paper, and which of its materials.
func keyOf(v *frame.Visit) (key string, n int) {
	key, number, _ := strings.Cut(v.R.PathValue("key"), "-")
	if n, err := strconv.Atoi(number); err == nil && n > 1 {
		return key, n
	}
	return key, 1
}

// of returns the paper that a request is about.
func (d *desk) of(v *frame.Visit) (*waiting, error) {
	key, n := keyOf(v)
	p, ok, err := v.Store.Paper(key)
	if err != nil {
		return nil, err
	}
	if !ok {
		return nil, frame.NoPage("paper")
	}
	data, err := v.Store.PaperData(p.Key)
	if err != nil {
		return nil, err
	}
	return d.beside(v, p, data, n)
}

// beside puts the nth material of a paper beside the sheet that it belongs to, with the
// answers given.
func (d *desk) beside(v *frame.Visit, p history.Paper, data []byte, n int) (*waiting, error) {
	w := &waiting{Paper: p, n: n}
	if len(p.Notes) > 0 && json.Unmarshal(p.Notes, &w.notes) != nil {
		w.notes = notes{} // damaged: asked anew
	}
	s, err := d.read(p.Name, p.Key, data)
	if err != nil {
		return nil, unread(err)
	}
	w.file, w.all = s.file, append([]*reading.Reading{s.reading}, s.reading.More...)
	if n > len(w.all) {
		return nil, frame.NoPage("paper")
	}
	w.one, w.said = w.all[n-1], w.notes.of(n)
	shop := v.Workshop()
	w.asked = filing.Of(shop, w.one.Clone(), p.Name, data, w.said.Sheet)
	w.items = w.asked.Items(shop)
	settled, err := filing.Settled(w.one, w.items, w.said.Answers)
	if err != nil {
		return nil, err
	}
	w.filing = filing.Of(shop, settled, p.Name, data, w.said.Sheet)
	w.done = w.filing.Filed != ""
	if s := shop.Sheets[w.filing.Sheet]; len(w.all) > 1 && w.done { // the paper of another of them is there
		w.done = s != nil && slices.ContainsFunc(s.Documents, func(doc ingredients.Document) bool {
			return doc.File == w.filing.Filed
		})
	}
	return w, nil
}

// others are the materials of the same paper, in its order; none where it has one.
func (d *desk) others(v *frame.Visit, w *waiting) (list []*waiting, err error) {
	if len(w.all) < 2 {
		return nil, nil
	}
	data, err := v.Store.PaperData(w.Key)
	if err != nil {
		return nil, err
	}
	for n := range w.all {
		one, err := d.beside(v, w.Paper, data, n+1)
		if err != nil {
			return nil, err
		}
		list = append(list, one)
	}
	return list, nil
}

// material is what the paper calls the material.
func (w *waiting) material() string {
	if t := w.one.Document.TradeName; t != nil && t.Value != "" {
		return t.Value
	}
	return "material " + strconv.Itoa(w.n)
}

// unread says why a paper cannot be read.
func unread(err error) error {
	var t *paper.Trouble
	if !errors.As(err, &t) {
		return err
	}
	return &frame.Trouble{Status: http.StatusUnprocessableEntity, What: "The paper cannot be read: " +
		t.Error() + ".",
		Fix: frame.Sentence(cmp.Or(t.Fix(), "type its values by hand")) +
			" It can be filed unread on the page of its material."}
}

// left are the items that nobody has answered.
func (w *waiting) left() int {
	n := 0
	for _, x := range w.items {
		if _, ok := w.said.Answers[x.Key]; !ok {
			n++
		}
	}
	return n
}

func (w *waiting) keep(v *frame.Visit) error {
	data, err := json.Marshal(w.notes)
	if err != nil {
		return err
	}
	w.Notes = data
	return v.Store.NotePaper(w.Paper)
}

// row is a paper in a list.
type row struct {
	Href, Name, Kind, Sheet, Day string
	Left                         int
	Why                          string
}

// list shows the papers that wait, and those on file.
func (d *desk) list(v *frame.Visit) error {
	all, err := v.Store.Papers()
	if err != nil {
		return err
	}
	var rows []row
	for _, p := range slices.Backward(all) {
		if p.For != "" {
			continue
		}
		data, err := v.Store.PaperData(p.Key)
		if err != nil {
			return err
		}
		for n, all := 1, 1; n <= all; n++ {
			r := row{Href: "/incoming/" + page(p.Key, n), Name: p.Name, Day: p.Came.Format("2 Jan 2006, 15:04")}
			w, err := d.beside(v, p, data, n)
			if err != nil {
				r.Why = err.Error()
				rows = append(rows, r)
				break
			}
			if all = len(w.all); all > 1 {
				r.Name += ": " + w.material()
			}
			if !w.done {
				r.Kind, r.Sheet, r.Left = w.kindText(), w.sheetText(v), w.left()
				rows = append(rows, r)
			}
		}
	}
	return v.Show(frame.Page{Title: "Papers", Place: "papers", Facts: frame.Escape(strconv.Itoa(len(rows)) +
		" waiting to be filed"),
		Template: "papers", Data: map[string]any{"Rows": rows, "Filed": filed(v),
			"Accept": strings.Join(kinds, ","), "ReadOnly": v.Site.ReadOnly}})
}

func (w *waiting) kindText() string {
	if text := ingredients.DocumentKinds[w.asked.Kind]; text != "" {
		return text
	}
	return "paper"
}

func (w *waiting) sheetText(v *frame.Visit) string {
	switch {
	case w.filing.Sheet == "":
		return "not known yet"
	case w.filing.New:
		return "a new material"
	}
	return v.Workshop().Sheets[w.filing.Sheet].Name
}

type filedRow struct{ Href, Paper, Kind, Material, Dated string }

// filed lists the papers of all sheets.
func filed(v *frame.Visit) []filedRow {
	var rows []filedRow
	for _, id := range v.Workshop().SheetIDs() {
		s := v.Workshop().Sheets[id]
		for _, doc := range s.Documents {
			r := filedRow{Href: "/material/" + id, Kind: cmp.Or(ingredients.DocumentKinds[string(doc.Kind)],
				string(doc.Kind)), Material: s.Name}
			if doc.Dated != 0 {
				r.Dated = frame.ShortDay(doc.Dated)
			}
			if strings.HasPrefix(doc.File, "evidence/") {
				if data, _, err := v.Store.Read(doc.File); err == nil && data != nil {
					r.Paper = "/paper/" + doc.File
				}
			}
			rows = append(rows, r)
		}
	}
	return rows
}

var badName = pattern.New(`[^\p{L}\p{N}._ -]+`)

// Keep puts a paper among what waits, unread.
//
// Errors: a *frame.Trouble where that kind of file is not read.
func Keep(store *history.Store, sent string, data []byte) (key string, err error) {
	name, err := paperName(sent)
	if err != nil {
		return "", err
	}
	p, err := store.AddPaper(name, data)
	return p.Key, err
}

// paperName is the name of a file that was sent, without folders and signs.
func paperName(sent string) (string, error) {
	name := strings.TrimSpace(badName.ReplaceAllString(path.Base(strings.ReplaceAll(sent, `\`, "/")), "-"))
	if !slices.Contains(kinds, strings.ToLower(path.Ext(name))) {
		return "", &frame.Trouble{Status: http.StatusUnsupportedMediaType, What: "That kind of file is not read.",
			Fix: "Take a PDF, a spreadsheet, a text, a page saved from the web or a saved mail. A picture is filed on the page of its material."}
	}
	return name, nil
}

// upload takes papers in, reads them and shows the first.
func (d *desk) upload(v *frame.Visit) error {
	if v.R.MultipartForm == nil || len(v.R.MultipartForm.File["paper"]) == 0 {
		return frame.Wrong("No paper was chosen.", "Choose a file, or drop it on the field.")
	}
	sheet := v.Field("sheet")
	if sheet != "" && v.Workshop().Sheets[sheet] == nil {
		return frame.NoPage("material " + sheet)
	}
	var first *waiting
	for _, head := range v.R.MultipartForm.File["paper"] {
		name, err := paperName(head.Filename)
		if err != nil {
			return err
		}
		data, err := frame.Sent(head)
		if err != nil {
			return err
		}
		if _, err := d.read(name, history.Hash(data)[:32], data); err != nil {
			return unread(err)
		}
		p, err := v.Store.AddPaper(name, data)
		if err != nil {
			return err
		}
		w, err := d.beside(v, p, data, 1)
		if err != nil {
			return err
		}
		if sheet != "" && len(w.all) == 1 {
			w.said.Sheet = sheet
			if err := w.keep(v); err != nil {
				return err
			}
		}
		if first == nil {
			first = w
		}
	}
	if len(v.R.MultipartForm.File["paper"]) > 1 {
		return v.Go("/papers")
	}
	return v.Go("/incoming/" + first.Key)
}

// drop puts a paper aside for good: nothing of it was written.
func (d *desk) drop(v *frame.Visit) error {
	key, _ := keyOf(v)
	if err := v.Store.DropPaper(key); err != nil {
		return err
	}
	return v.Go("/papers")
}

// picture sends a page of a PDF as it is printed.
func (d *desk) picture(v *frame.Visit) error {
	n, err := strconv.Atoi(v.R.PathValue("n"))
	if err != nil {
		return frame.NoPage("page")
	}
	data, err := v.Store.PaperData(v.R.PathValue("key"))
	if err != nil {
		return err
	}
	if data == nil {
		return frame.NoPage("paper")
	}
	png, err := d.files.Picture(data, n, 110)
	if err != nil {
		return unread(err)
	}
	return v.File("page.png", "image/png", png)
}

// original sends the paper itself, to be saved.
func (d *desk) original(v *frame.Visit) error {
	p, ok, err := v.Store.Paper(v.R.PathValue("key"))
	if err != nil {
		return err
	}
	data, err := v.Store.PaperData(p.Key)
	if err != nil {
		return err
	}
	if !ok || data == nil {
		return frame.NoPage("paper")
	}
	mime := "application/octet-stream"
	if strings.EqualFold(path.Ext(p.Name), ".pdf") {
		mime = "application/pdf"
	}
	return v.File(p.Name, mime, data)
}
