package frame

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"net/url"
	"runtime/debug"
	"slices"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/bench/gate"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/watched"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Visit is one request, with the workshop as it stands.
type Visit struct {
	Site  *Site
	W     http.ResponseWriter
	R     *http.Request
	Live  *watched.Workshop
	Store *history.Store
	// Shot is the workshop at the moment of the request; nil before one is open.
	Shot *watched.Shot

	files *filed // of its workshop; nil: not gathered yet
	names *Namer // likewise
}

// Workshop returns the workshop as read.
func (v *Visit) Workshop() *workshop.Workshop { return v.Shot.Workshop }

// Open returns what is open about a product, with its batches: the same points everywhere.
func (v *Visit) Open(a *assess.Assessment) []finding.Finding {
	return append(slices.Clone(a.Findings), batch.BatchFindings(v.Workshop(), []*assess.Assessment{a})...)
}

// Trouble is an error for the reader of a page: what is wrong and one thing to do.
type Trouble struct {
	Status    int
	What, Fix string
}

func (t *Trouble) Error() string { return t.What + "; " + t.Fix }

// NoPage says that there is nothing under a name.
func NoPage(name string) error {
	return &Trouble{http.StatusNotFound, "There is no " + name + " here.", "Begin at Today or at the lists."}
}

// Wrong says that what was sent cannot be used.
func Wrong(what, fix string) error { return &Trouble{http.StatusUnprocessableEntity, what, fix} }

// serve wraps a page: it opens the visit, and makes a page of every error.
func (s *Site) serve(route Route) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		v := &Visit{Site: s, W: w, R: r}
		defer func() {
			if p := recover(); p != nil {
				if s.Log != nil {
					fmt.Fprintf(s.Log, "%v\n%s", p, debug.Stack())
				}
				v.fail(fmt.Errorf("the program made a mistake: %v", p))
			}
		}()
		v.Live, v.Store = s.Workshop()
		if err := v.begin(route); err != nil {
			v.fail(err)
		}
	}
}

func (v *Visit) begin(route Route) error {
	if asked, err := url.QueryUnescape(v.R.URL.RawQuery); err == nil {
		if asked = v.R.URL.Path + asked; words.Shown(asked) != asked {
			return Wrong("The address holds a character that cannot be seen.", "Type it anew without it.")
		}
	}
	switch {
	case v.R.Method == http.MethodPost && v.Site.ReadOnly:
		return &Trouble{http.StatusForbidden, "These pages are for reading.",
			"Start the workbench without --read-only to change something."}
	case v.Live == nil && v.Shared():
		return Wrong("No workshop is open yet.", "Open it on the computer of the workbench.")
	case v.Live == nil && !route.Early:
		return v.Go("/")
	case v.Live != nil && route.Early:
		return NoPage(v.R.URL.Path)
	case v.Live != nil:
		v.Shot = v.Live.Now()
		if v.Shot.Workshop == nil && !route.Torn {
			return v.Go("/torn")
		}
	}
	if v.R.Method == http.MethodPost {
		if err := v.parse(); err != nil {
			return err
		}
	}
	return route.Do(v)
}

// parse reads a form, of either encoding, within the limit that the gate has set.
func (v *Visit) parse() error {
	var err error
	if strings.HasPrefix(v.R.Header.Get("Content-Type"), "multipart/form-data") {
		err = v.R.ParseMultipartForm(4 << 20)
	} else {
		err = v.R.ParseForm()
	}
	var tooLarge *http.MaxBytesError
	switch {
	case errors.As(err, &tooLarge):
		return &Trouble{http.StatusRequestEntityTooLarge, "That is more than can be sent at once.",
			"Send fewer or smaller files."}
	case err != nil:
		return Wrong("What was sent cannot be read.", "Load the page anew and try again.")
	}
	return nil
}

// Refused is a form of which nothing is written, with what is wrong at each of its fields.
type Refused struct {
	Trouble
	At map[string]string // by the path of the field
}

// Unwrap gives the trouble alone.
func (r *Refused) Unwrap() error { return &r.Trouble }

// RefusedAt refuses a form for one of its fields.
func RefusedAt(path, what, fix string) error {
	return &Refused{*Wrong(what, fix).(*Trouble), map[string]string{path: what + " " + fix}}
}

// WrongAt is what an error says of the field at a path; "" where it is about others.
func WrongAt(err error, path string) string {
	var r *Refused
	if errors.As(err, &r) {
		return r.At[path]
	}
	return ""
}

// wrongFields is what an error says of the fields that were sent, by their names.
func (v *Visit) wrongFields(err error) map[string]string {
	wrong := map[string]string{}
	for name := range v.R.PostForm {
		_, at, _ := strings.Cut(name, ":")
		if why := WrongAt(err, at); why != "" {
			wrong[name] = words.Shown(why)
		}
	}
	return wrong
}

// inputField returns what a form or an address holds under a name, without spaces around it.
func (v *Visit) Field(name string) string { return strings.TrimSpace(v.R.FormValue(name)) }

// Scripted says that our own script asks, and wants no page but values.
func (v *Visit) Scripted() bool { return v.R.Header.Get("Accept") == "application/json" }

// Turn waits until no other question asked while typing is being computed. ok is false where
// the browser has meanwhile taken its question back: then there is nothing to answer.
func (v *Visit) Turn() (done func(), ok bool) {
	gone := v.R.Context().Done()
	select {
	case v.Site.turn <- struct{}{}:
	case <-gone:
		return nil, false
	}
	select {
	case <-gone:
		<-v.Site.turn
		return nil, false
	default:
		return func() { <-v.Site.turn }, true
	}
}

// Go sends the browser to another page of the program.
func (v *Visit) Go(path string) error {
	if v.Scripted() {
		return v.JSON(Answer{Go: path})
	}
	http.Redirect(v.W, v.R, path, http.StatusSeeOther)
	return nil
}

// Answer is what the script gets: texts for output cells, by their id.
type Answer struct {
	Seq   string          `json:"seq,omitempty"` // the number of the question
	Out   map[string]HTML `json:"out,omitempty"`
	Base  string          `json:"base,omitempty"` // the hash of the file after a save
	Go    string          `json:"go,omitempty"`   // another page to open
	Error string          `json:"error,omitempty"`
	Fix   string          `json:"fix,omitempty"`
	Field string          `json:"field,omitempty"` // the field at which the error stands
	// Wrong is what is wrong at each field, by its name.
	Wrong map[string]string `json:"wrong,omitempty"`
	Say   string            `json:"say,omitempty"` // for the status line
	// Number is that of the workshop after a save; see watched.Shot.
	Number int `json:"number,omitempty"`
}

const jsonType = "application/json; charset=utf-8"

// JSON answers the script.
func (v *Visit) JSON(a Answer) error {
	a.Seq = v.R.FormValue("seq")
	v.W.Header().Set("Content-Type", jsonType)
	enc := json.NewEncoder(v.W)
	return enc.Encode(a)
}

// JSONOf answers the script, or passes the error on.
func (v *Visit) JSONOf(a Answer, err error) error {
	if err != nil {
		return err
	}
	return v.JSON(a)
}

// File sends a file to be saved or, where it is a PDF or picture, shown.
func (v *Visit) File(name, mime string, data []byte) error {
	gate.FileHeaders(v.W.Header(), name, mime)
	_, err := v.W.Write(data)
	return err
}

// Part returns a template filled in, for an output cell.
func (v *Visit) Part(name string, data any) (template.HTML, error) {
	var b bytes.Buffer
	err := v.Site.pages.ExecuteTemplate(&b, name, data)
	return template.HTML(b.String()), err // made and escaped by the template
}

// fail shows an error as a page or, to the script, as values.
func (v *Visit) fail(err error) {
	t := *TroubleOf(err)
	t.What, t.Fix = words.Shown(t.What), words.Shown(t.Fix)
	if v.Scripted() {
		v.W.Header().Set("Content-Type", jsonType)
		v.W.WriteHeader(t.Status)
		// a browser that went away needs no answer
		_ = v.JSON(Answer{Error: t.What, Fix: t.Fix, Wrong: v.wrongFields(err)})
		return
	}
	if err := v.show(t.Status, Page{Title: "This cannot be done", Template: "trouble", Data: t}); err != nil {
		http.Error(v.W, t.What, t.Status)
	}
}

// Refusal is a page's answer to who is not let in; the gate calls it.
func Refusal(w http.ResponseWriter, r *http.Request, status int, why string) {
	http.Error(w, refusalWords[why], status)
}

var refusalWords = map[string]string{
	"host":    "This address is not that of the workbench.",
	"origin":  "This was sent by another page, not by the workbench.",
	"token":   "This browser is not the one the workbench was opened in. Start gallipot once more: it opens the page that is let in.",
	"size":    "That is more than can be sent at once.",
	"method":  "That cannot be done with a page of the workbench.",
	"code":    "Type the code first: it stands on the screen of the workbench, with the address.",
	"place":   "Only batches are open to this device. Everything else is on the computer of the workbench.",
	"reading": "These pages are for reading. Start the workbench without --read-only to change something.",
}

// TroubleOf makes of an error what a page says of it.
func TroubleOf(err error) *Trouble {
	var t *Trouble
	var r *edit.Refusal
	var value *exact.ValueError
	switch {
	case errors.As(err, &t):
		return t
	case errors.As(err, &r):
		return &Trouble{http.StatusUnprocessableEntity, sentence(fieldsNamed(r.Message())),
			sentence(fieldsNamed(r.Fix()))}
	case errors.As(err, &value):
		return &Trouble{http.StatusUnprocessableEntity, sentence(fieldsNamed(value.What)),
			sentence(fieldsNamed(value.Fix))}
	case errors.Is(err, fs.ErrPermission):
		return &Trouble{http.StatusForbidden, "The file may not be written.",
			"Take the write protection off it, or give yourself the right to it."}
	case errors.Is(err, fs.ErrInvalid),
		strings.Contains(err.Error(), "path escapes from parent"): // the library has no value for it
		return &Trouble{http.StatusBadRequest, "That is no place inside the workshop.",
			"Go back and choose it from a list."}
	}
	return &Trouble{http.StatusInternalServerError, sentence(err.Error()),
		"Try again; if it comes back, look whether the folder can still be reached."}
}

// Names returns the namer of the workshop that is visited, made once for a visit.
func (v *Visit) Names() Namer {
	if v.names == nil || v.names.of != v.Workshop() {
		n := NamesOf(v.Workshop())
		v.names = &n
	}
	return *v.names
}
