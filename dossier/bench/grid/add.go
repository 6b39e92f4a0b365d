package grid

import (
	"net/http"
	"strconv"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/ingredients/pattern"
)

// add writes a new line, phase, slot, variant, filling or addition.
func add(v *frame.Visit) error {
	q, err := asked(v)
	if err != nil {
		return err
	}
	f, err := v.Base(q.form)
	if err != nil {
		return err
	}
	q.form.Label = func(edit.Path) string { return "Its figure" }
	e, what, err := q.added(f)
	if err == nil {
		err = v.SaveEdits(q.form, f, what, e, nil)
	}
	if err != nil && !v.Scripted() && frame.TroubleOf(err).Status == http.StatusUnprocessableEntity {
		return showWith(v, typedAdd{v, err}, nil)
	}
	return err
}

// typedAdd is a form below the grid that could not be taken, with what was typed.
type typedAdd struct {
	v   *frame.Visit
	err error
}

// Is says whether it is the form for a kind of addition.
func (a typedAdd) Is(what string) bool { return a.err != nil && a.v.Field("what") == what }

// Value is what was typed into a field of the form for a kind of addition.
func (a typedAdd) Value(what, key string) string {
	if !a.Is(what) {
		return ""
	}
	return a.v.Field(key)
}

// Trouble is why the form could not be taken.
func (a typedAdd) Trouble() *frame.Trouble { return frame.TroubleOf(a.err) }

func (q *ask) added(f *frame.Opened) ([]edit.Edit, history.Label, error) {
	v := q.v
	name, amount := v.Field("name"), v.Field("amount")
	switch v.Field("what") {
	case "line":
		id, err := materialID(v.Workshop(), name)
		if err != nil {
			return nil, history.Label{}, err
		}
		at, err := q.phase(f)
		if err != nil {
			return nil, history.Label{}, err
		}
		line := edit.Group().With("ingredient", edit.Typed(id)).With("amount", edit.Typed(or(amount, "0")))
		return []edit.Edit{edit.Insert(at.Then("lines", "-"), line)}, history.Label{Thing: "new line",
			New: q.names.Name(id)}, nil
	case "slot":
		at, err := q.phase(f)
		if err != nil {
			return nil, history.Label{}, err
		}
		slot := word(name)
		if slot == "" {
			return nil, history.Label{}, frame.Wrong("A slot needs a name.",
				"Write one word, such as scent or colour.")
		}
		line := edit.Group().With("slot", edit.Typed(slot)).With("amount", edit.Typed(or(amount, "0")))
		return []edit.Edit{edit.Insert(at.Then("lines", "-"), line)}, history.Label{Thing: "new slot",
			New: slot}, nil
	case "phase":
		id, err := materialID(v.Workshop(), v.Field("first"))
		if err != nil {
			return nil, history.Label{}, err
		}
		n := f.Len(edit.Path{"formula", "phases"})
		phase := edit.Group().With("id", edit.Text(freeLetter(f, n)))
		if name != "" {
			phase = phase.With("name", edit.Text(name))
		}
		phase = phase.With("lines", edit.List(edit.Group().With("ingredient", edit.Typed(id)).
			With("amount", edit.Typed(or(amount, "0")))))
		return []edit.Edit{edit.Insert(edit.Path{"formula", "phases", "-"},
			phase)}, history.Label{Thing: "new phase", New: name}, nil
	case "variant":
		id := word(name)
		if id == "" {
			return nil, history.Label{}, frame.Wrong("A variant needs a name.",
				"Write what tells it apart, such as the scent.")
		}
		if f.Has(edit.Path{"variants", "id=" + id}) {
			return nil, history.Label{}, frame.Wrong("There is a variant of that name.", "Give this one another name.")
		}
		full := q.p.Name + ", " + name
		return []edit.Edit{edit.Insert(edit.Path{"variants", "-"}, edit.Group().With("id", edit.Text(id)).
				With("name", edit.Text(full)))},
			history.Label{Thing: "new variant", New: name}, nil
	case "part": // one more material in a slot of a variant, with its share
		return q.addedPart(f, name, amount)
	case "addition":
		id, err := materialID(v.Workshop(), name)
		if err != nil {
			return nil, history.Label{}, err
		}
		at, err := edit.ParsePath(v.Field("at"))
		if err != nil || len(at) != 2 || at[0] != "variants" {
			return nil, history.Label{}, frame.Wrong("The formula has no variants yet.",
				"Add a variant first: additions belong to one.")
		}
		value := edit.Group().With("ingredient", edit.Typed(id)).With("parts_per_100", edit.Typed(or(amount, "1")))
		return []edit.Edit{edit.Insert(at.Then("then_add", "-"), value)}, history.Label{Thing: "addition",
			New: q.names.Name(id)}, nil
	}
	return nil, history.Label{}, frame.Wrong("That button is not known.", "Load the page anew.")
}

// addedPart turns a filling of one material into a list of shares and adds one.
func (q *ask) addedPart(f *frame.Opened, name, share string) ([]edit.Edit, history.Label, error) {
	id, err := materialID(q.v.Workshop(), name)
	if err != nil {
		return nil, history.Label{}, err
	}
	at, err := edit.ParsePath(q.v.Field("at"))
	if err != nil || len(at) < 4 || at[0] != "variants" {
		return nil, history.Label{}, frame.Wrong("That slot is not known.", "Load the page anew.")
	}
	part := func(id, share string) edit.Value {
		return edit.Group().With("ingredient", edit.Typed(id)).With("share", edit.Typed(share))
	}
	what := history.Label{Thing: "filling", New: q.names.Name(id)}
	if old, ok := f.Text(at); ok && old != "" {
		n, err := strconv.ParseFloat(share, 64)
		if err != nil || n <= 0 || n >= 100 {
			return nil, what, frame.Wrong("The share of the new material is needed.",
				"Write a figure between 0 and 100; the first keeps the rest.")
		}
		rest := strconv.FormatFloat(100-n, 'f', -1, 64)
		return []edit.Edit{edit.Set(at, edit.List(part(old, rest), part(id, share)))}, what, nil
	}
	if f.Len(at) > 0 {
		return []edit.Edit{edit.Insert(at.Then("-"), part(id, or(share, "0")))}, what, nil
	}
	return []edit.Edit{edit.Set(at, edit.Typed(id))}, what, nil
}

// phase returns the place of the phase that a new line is for.
func (q *ask) phase(f *frame.Opened) (edit.Path, error) {
	i, err := strconv.Atoi(q.v.Field("phase"))
	at := edit.Path{"formula", "phases"}.At(i)
	if err != nil || !f.Has(at) {
		return nil, frame.Wrong("That phase is not there.", "Load the page anew.")
	}
	return at, nil
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

var noWord = pattern.New(`[^a-z0-9]+`)

// word makes an id of a name.
func word(name string) string {
	return strings.Trim(noWord.ReplaceAllString(strings.ToLower(name), "-"), "-")
}

// freeLetter returns the id of a new phase: the next letter that none has.
func freeLetter(f *frame.Opened, n int) string {
	for i := n; i < 26; i++ {
		if id := string(rune('A' + i)); !f.Has(edit.Path{"formula", "phases", "id=" + id}) {
			return id
		}
	}
	return "P" + strconv.Itoa(n+1)
}
