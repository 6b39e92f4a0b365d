package frame

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/ingredients/finding"
)

// Form is a file that a form of a page changes.
type Form struct {
	// File is relative to the workshop; the page knows it, the browser never names it.
	File string
	// Order is the preferred order of keys; see edit.File.
	Order func(edit.Path) []string
	// Thing names the place of a path in words of the page, for the undo list.
	Thing func(edit.Path) string
	// Pick turns what was chosen by its name into what stands in the file, for fields named
	// pick:/…; the text is what the file then holds.
	Pick func(path edit.Path, typed string) (value edit.Value, text string, err error)
	// Chosen is what the page calls what such a field then holds, for the undo list; nil: the text.
	Chosen func(text string) string
	// New returns the value of an entry that a button adds to the list at a path.
	New func(list edit.Path, kind string) (edit.Value, bool)
	// Trial says that a trial copy is changed, and not the file itself.
	Trial bool
	// Back is the page to show after saving.
	Back string
	// Label is what the page calls the field of a path; "" or nil: the file's own word.
	Label func(edit.Path) string
	// Check refuses what may be read and is still not to be written before it is asked.
	Check func(*edit.File) error
	// Again shows the page with what was typed and why it was not written; see [Visit.Typed].
	Again func(error) error
}

// Opened is the file of a form as the page was made from it.
type Opened struct {
	*edit.File
	Hash string
}

// Changed makes edits in the file. A group that loses its last key goes with it: a group
// without keys says nothing, and most may not be empty.
//
// Errors: a *edit.Refusal.
func (f *Opened) Changed(edits []edit.Edit) (*edit.File, error) {
	g, err := f.Apply(edits...)
	if err != nil {
		return nil, err
	}
	for _, e := range edits {
		for p := e.Path(); e.Removes() && len(p) > 1; p = p[:len(p)-1] {
			group := p[:len(p)-1]
			if !g.IsGroup(group) || g.Len(group) > 0 || !g.IsGroup(group[:len(group)-1]) {
				break
			}
			if g, err = g.Apply(edit.Remove(group)); err != nil {
				return nil, err
			}
		}
	}
	return g, nil
}

// OpenFile reads and parses a file of the workshop for a page.
//
// Errors: those of reading; an *edit.Refusal where it cannot be edited.
func (v *Visit) OpenFile(form Form) (*Opened, error) {
	data, hash, err := v.Store.Read(form.File)
	if err != nil {
		return nil, err
	}
	if form.Trial {
		d, ok, err := v.Store.Draft(form.File)
		if err != nil {
			return nil, err
		}
		if ok {
			data, hash = d.Data, history.Hash(d.Data)
		}
	}
	return v.opened(form, data, hash)
}

func (v *Visit) opened(form Form, data []byte, hash string) (*Opened, error) {
	f, err := edit.Parse(form.File, data)
	if err != nil {
		return nil, err
	}
	f.Order = form.Order
	return &Opened{f, hash}, nil
}

// Base returns the file as it stood when the page was made; the field base names it.
func (v *Visit) Base(form Form) (*Opened, error) {
	hash := v.Field("base")
	data := v.Store.Version(hash)
	if data == nil {
		now, _, err := v.Store.Read(form.File)
		if err != nil {
			return nil, err
		}
		if history.Hash(now) != hash {
			return nil, &Trouble{http.StatusConflict, "The file has changed since this page was opened.",
				"Load the page anew and make the change again."}
		}
		data = now
	}
	return v.opened(form, data, hash)
}

// Edits returns what a form changes in a file: fields that differ from it, then what the
// button pressed does. what names the first of them for the undo list.
func (v *Visit) Edits(form Form, f *Opened) (edits []edit.Edit, what history.Label, err error) {
	add := func(e edit.Edit, label history.Label) {
		if len(edits) == 0 { // what it is called may be looked up in the file
			label.Thing = form.thing(e.Path())
			what = label
		}
		edits = append(edits, e)
	}
	for _, name := range fieldNames(v.R.PostForm) {
		mode, at, _ := strings.Cut(name, ":")
		place, err := edit.ParsePath(at)
		if err != nil {
			return nil, what, err
		}
		typed := strings.ReplaceAll(v.R.PostForm.Get(name), "\r\n", "\n")
		if mode == "marks" { // a box each, and an empty one beside them that is always sent
			typed = strings.Join(v.R.PostForm[name], "\n")
		}
		if mode != "lines" {
			typed = strings.TrimSpace(typed)
		}
		old, there := f.Text(place)
		if mode == "set" {
			typed = WrittenDay(typed)
		}
		label := history.Label{Old: answered(old), New: answered(typed)}
		value := edit.Typed(typed)
		switch {
		case mode == "text" || mode == "lines":
			value = edit.Text(typed)
		case mode == "pick" && typed != "" && form.Pick != nil:
			if value, typed, err = form.Pick(place, typed); err != nil {
				t := TroubleOf(err)
				return nil, what, RefusedAt(at, t.What, t.Fix)
			}
			label.Old, label.New = "", form.chosen(typed)
		}
		switch {
		case mode == "list" || mode == "words" || mode == "figures" || mode == "marks":
			if e, ok := listEdit(f, place, mode, typed); ok {
				label.Old = ""
				if mode == "marks" {
					label.New = strings.Join(strings.Fields(typed), ", ")
				}
				add(e, label)
			}
		case typed == old && (there || typed == ""):
		case typed == "":
			add(edit.Remove(place), label)
		default:
			add(edit.Set(place, value), label)
		}
	}
	if do := v.R.PostForm.Get("do"); do != "" {
		e, err := form.button(f, do)
		if err != nil {
			return nil, what, err
		}
		add(e, history.Label{New: strings.SplitN(do, ":", 2)[0]})
	}
	return edits, what, nil
}

// entries are the values of a list as they were typed: texts, one a line; or on one line, words
// with commas between them, or figures with commas or blanks.
func entries(mode, typed string) (list []edit.Value) {
	between, value := "\n", edit.Text
	switch mode {
	case "words":
		between = ",;"
	case "figures":
		between, value = ",; ", edit.Typed
	case "marks":
		value = edit.Typed
	}
	for _, s := range strings.FieldsFunc(typed, func(r rune) bool { return strings.ContainsRune(between, r) }) {
		if s = strings.TrimSpace(s); s != "" {
			list = append(list, value(s))
		}
	}
	return list
}

// listEdit makes a list of the file what was typed; false where it is so already. A list on one
// line that is emptied goes: nothing typed says nothing.
func listEdit(f *Opened, place edit.Path, mode, typed string) (edit.Edit, bool) {
	if mode == "marks" {
		typed = inOrder(listed(f, place), strings.Fields(typed))
	}
	want := entries(mode, typed)
	same := f.Len(place) == len(want)
	if len(want) == 0 && mode != "list" {
		return edit.Remove(place), !same
	}
	for i, v := range want {
		old, _ := f.Text(place.At(i))
		same = same && v.Is(old)
	}
	return edit.Set(place, edit.List(want...)), !same
}

func (form Form) chosen(text string) string {
	if form.Chosen == nil {
		return text
	}
	return form.Chosen(text)
}

// inOrder are the words ticked, one a line: those that the file has already in its order, then
// the others.
func inOrder(old, ticked []string) string {
	var list []string
	for _, w := range old {
		if slices.Contains(ticked, w) {
			list = append(list, w)
		}
	}
	for _, w := range ticked {
		if !slices.Contains(list, w) {
			list = append(list, w)
		}
	}
	return strings.Join(list, "\n")
}

// fieldNames returns the names of the fields that belong to places in the file, in the
// order of the file as far as their paths say it.
func fieldNames(form map[string][]string) []string {
	var names []string
	for name := range form {
		for _, mode := range []string{"set:/", "text:/", "lines:/", "list:/", "words:/", "figures:/",
			"marks:/", "pick:/"} {
			if strings.HasPrefix(name, mode) {
				names = append(names, name)
			}
		}
	}
	sortPaths(names)
	return names
}

// button reads what a button does: remove, up, down, to-3, add-KIND, null, with a path.
func (form Form) button(f *Opened, do string) (edit.Edit, error) {
	verb, at, _ := strings.Cut(do, ":")
	place, err := edit.ParsePath(at)
	if err != nil || len(place) == 0 {
		return edit.Edit{}, Wrong("That button is not known.", "Load the page anew.")
	}
	index, _ := strconv.Atoi(place[len(place)-1])
	switch {
	case verb == "remove":
		return edit.Remove(place), nil
	case verb == "up" && index > 0:
		return edit.Move(place, index-1), nil
	case verb == "down":
		return edit.Move(place, min(index+1, f.Len(place[:len(place)-1])-1)), nil
	case strings.HasPrefix(verb, "to-"):
		to, err := strconv.Atoi(verb[3:])
		if err == nil {
			return edit.Move(place, to), nil
		}
	case strings.HasPrefix(verb, "add-") && form.New != nil:
		list := place
		if _, err := strconv.Atoi(place[len(place)-1]); err == nil || place[len(place)-1] == "-" {
			list = place[:len(place)-1]
		} else {
			place = place.Then("-")
		}
		if value, ok := form.New(list, verb[4:]); ok {
			return edit.Insert(place, value), nil
		}
	}
	return edit.Edit{}, Wrong("That button is not known.", "Load the page anew.")
}

// SaveForm writes what a form changes and answers: to the script the new hash, the foot and
// out, else the page to go back to. out is called after saving.
func (v *Visit) SaveForm(form Form, out func(*Opened) (Answer, error)) error {
	f, err := v.Base(form)
	if err != nil {
		return err
	}
	edits, what, err := v.Edits(form, f)
	if err == nil {
		err = v.SaveEdits(form, f, what, edits, out)
	}
	if err != nil && form.Again != nil && !v.Scripted() && TroubleOf(err).Status == http.StatusUnprocessableEntity {
		return form.Again(err)
	}
	return err
}

// SaveEdits makes edits in a file and answers as [Visit.SaveForm] does.
func (v *Visit) SaveEdits(form Form, f *Opened, what history.Label, edits []edit.Edit,
	out func(*Opened) (Answer, error)) error {
	g, err := v.changed(form, f, edits)
	if err != nil {
		return err
	}
	what.Place = form.Back
	change := history.Change{Name: form.File, Base: f.Hash, Data: g.Bytes()}
	if form.Trial {
		if err := v.saveTrial(form, f, g.Bytes()); err != nil {
			return err
		}
	} else if saved, err := v.save(what, form.Back, change); !saved || err != nil {
		return err
	}
	if !v.Scripted() || picks(v.R.PostForm) {
		return v.Go(form.Back)
	}
	now := &Opened{g, history.Hash(g.Bytes())}
	var a Answer
	if out != nil {
		if a, err = out(now); err != nil {
			return err
		}
	}
	return v.Saved(a, now.Hash)
}

// changed is a file with edits made in it, which can still be read.
func (v *Visit) changed(form Form, f *Opened, edits []edit.Edit) (*edit.File, error) {
	g, err := f.Changed(edits)
	if err != nil {
		return nil, err
	}
	if err := v.readable(form, f, g, edits); err != nil || form.Check == nil {
		return g, err
	}
	return g, form.Check(g)
}

// SaveWith makes edits in a file and writes it with further files as one step, then goes back.
func (v *Visit) SaveWith(form Form, f *Opened, what history.Label, edits []edit.Edit,
	more ...history.Change) error {
	g, err := v.changed(form, f, edits)
	if err != nil {
		return err
	}
	what.Place = form.Back
	return v.SaveFiles(what, form.Back, append(more, history.Change{Name: form.File, Base: f.Hash,
		Data: g.Bytes()})...)
}

// saveTrial keeps a trial copy; the first change makes it.
func (v *Visit) saveTrial(form Form, f *Opened, data []byte) error {
	d, ok, err := v.Store.Draft(form.File)
	if err != nil {
		return err
	}
	if !ok {
		d.Base = f.Hash
	} else if history.Hash(d.Data) != f.Hash {
		return &Trouble{http.StatusConflict, "The trial was changed in another window.",
			"Load the page anew and make the change again."}
	}
	d.Data = data
	return v.Store.SetDraft(form.File, d)
}

// readable refuses a change after which the program could not read a file that it can read
// now: what is no value is not written, and neither is what was sent along with it. A field is
// wrong that by itself leads to what is wrong with the whole.
func (v *Visit) readable(form Form, f *Opened, g *edit.File, edits []edit.Edit) error {
	read := func(data []byte) []finding.Finding {
		return unread(form.File, data, v.Workshop(), v.Shot.Options.Law)
	}
	fs := read(g.Bytes())
	if len(fs) == 0 || len(read(f.Bytes())) > 0 {
		return nil
	}
	names := v.Names()
	whole := map[string]bool{}
	for _, x := range fs {
		whole[names.Tell(x).Message] = true
	}
	r := &Refused{At: map[string]string{}}
	for _, e := range edits {
		alone, err := f.Changed([]edit.Edit{e})
		if err != nil {
			continue // it stands on another of the edits
		}
		for _, x := range read(alone.Bytes()) {
			t := names.Tell(x)
			if !whole[t.Message] {
				continue
			}
			at := e.Path()
			if form.Label != nil && len(at) > 0 {
				beside, anew := at[:len(at)-1].Then(x.Subject), at[len(at)-1] == "-"
				if anew {
					beside = at.Then(x.Subject)
				}
				if x.Code == "missing-key" && form.Label(beside) != "" {
					at, t.Fix = beside, "Fill it in, or leave out what is typed beside it."
				}
				label := form.Label(at)
				if inside := at.Then(x.Subject); label == "" && form.Label(inside) != "" { // of a new entry
					at, label = inside, form.Label(inside)
				}
				t.Message = labelled(t.Message, x.Subject, label)
			}
			if r.What == "" {
				r.Trouble = *Wrong(t.Message, t.Fix).(*Trouble)
			}
			if r.At[at.String()] == "" {
				r.At[at.String()] = t.Message + " " + t.Fix
			}
		}
	}
	if r.What == "" { // only together
		t := names.Tell(fs[0])
		return Wrong(t.Message, t.Fix)
	}
	if len(edits) > 1 {
		r.Fix += " Nothing else of this form is written before that: what was typed stays in its fields."
	}
	return r
}

// picks says that a name was chosen: names stand in many places, so the page is loaded anew.
func picks(form map[string][]string) bool {
	for name := range form {
		if strings.HasPrefix(name, "pick:/") {
			return true
		}
	}
	return false
}

// Saved answers the script after a save: the foot and the new hash beside what is given.
func (v *Visit) Saved(a Answer, hash string) error {
	foot, err := v.Foot()
	if err != nil {
		return err
	}
	a.Base, a.Number = hash, v.Shot.Number
	if a.Out == nil {
		a.Out = map[string]HTML{}
	}
	a.Out["steps"] = foot
	if a.Say == "" {
		a.Say = "Saved " + v.Site.Now().Format("15:04")
	}
	return v.JSON(a)
}
