package incoming

import (
	"net/http"
	"os"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/transcribe/filing"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// answer takes what was said to a value, or to all that can be confirmed together.
func (d *desk) answer(v *frame.Visit) error {
	w, err := d.of(v)
	if err != nil {
		return err
	}
	if w.said.Answers == nil {
		w.said.Answers = map[string]filing.Answer{}
	}
	next := 0
	switch {
	case v.R.PostForm.Has("together") && v.Field("together") == "": // Enter, where no script says what it means
		return v.Go("/incoming/" + w.page())
	case v.Field("together") != "":
		if w.together(v, d.contradictions(v, w)); w.wrong != nil {
			if err := w.keep(v); err != nil {
				return err
			}
			return d.page(v, w)
		}
	case v.Field("refuse") != "":
		next, err = w.say(v.Field("refuse"),
			func(filing.Item, string) filing.Answer { return filing.Answer{Refused: true} }, v)
	case v.Field("again") != "":
		i, bad := strconv.Atoi(v.Field("again"))
		if bad != nil || i < 0 || i >= len(w.items) {
			return unknown()
		}
		delete(w.said.Answers, w.items[i].Key)
		next = i
	default:
		next, err = w.say(v.Field("confirm"), func(x filing.Item, typed string) filing.Answer {
			if x.Part == filing.OfSheet {
				typed = x.Value
			}
			return filing.Answer{Value: typed}
		}, v)
	}
	if err == nil {
		if _, err = filing.Settled(w.one, w.items, w.said.Answers); err != nil && v.Field("confirm") != "" {
			delete(w.said.Answers, w.items[next].Key)
		}
	}
	if n, bad := strconv.Atoi(v.Field("confirm")); err != nil && bad == nil && n >= 0 && n < len(w.items) {
		t := frame.TroubleOf(err) // said at the field, with what was typed
		w.wrong = &mistake{n, v.Field("v" + strconv.Itoa(n)), t.What + " " + t.Fix}
		return d.page(v, w)
	}
	if err != nil {
		return err
	}
	if err := w.keep(v); err != nil {
		return err
	}
	return v.Go("/incoming/" + w.page() + w.focus(next))
}

// together confirms all that was read plainly and contradicts nothing. What was typed in
// place of a printed value is a correction; one that cannot be taken is said at its field.
func (w *waiting) together(v *frame.Visit, against []contradiction) {
	parts, _ := w.parts(against)
	for _, p := range parts {
		for _, r := range p.Rows {
			field := "v" + strconv.Itoa(r.N)
			typed := frame.WrittenDay(strings.TrimSpace(v.Field(field)))
			corrected := v.R.PostForm.Has(field) && typed != strings.TrimSpace(r.Text)
			switch {
			case r.State != "left" || r.Alone && !corrected || corrected && typed == "":
				continue
			case !corrected:
				w.said.Answers[r.Key] = filing.Answer{Value: r.Value}
				continue
			}
			w.said.Answers[r.Key] = filing.Answer{Value: typed}
			if _, err := filing.Settled(w.one, w.items, w.said.Answers); err != nil {
				delete(w.said.Answers, r.Key)
				t := frame.TroubleOf(err)
				w.wrong = &mistake{r.N, typed, t.What + " " + t.Fix}
			}
		}
	}
}

func unknown() error { return frame.Wrong("That button is not known.", "Load the page anew.") }

// say answers one item.
func (w *waiting) say(n string, how func(filing.Item, string) filing.Answer, v *frame.Visit) (int, error) {
	i, err := strconv.Atoi(n)
	if err != nil || i < 0 || i >= len(w.items) {
		return 0, unknown()
	}
	x := w.items[i]
	a := how(x, frame.WrittenDay(v.Field("v"+n)))
	if !a.Refused && a.Value == "" {
		return 0, frame.Wrong("The field of "+x.Name+" is empty.",
			"Type its value, or refuse it: then it is not written, and asked about.")
	}
	w.said.Answers[x.Key] = a
	return i, nil
}

// focus leads to the next value that is left.
func (w *waiting) focus(after int) string {
	for step := range w.items {
		i := (after + step) % len(w.items)
		if _, ok := w.said.Answers[w.items[i].Key]; !ok {
			return "#v" + strconv.Itoa(i)
		}
	}
	return "#file"
}

// choose says which sheet a paper is for. What was answered beside another sheet is asked
// anew where it was about that sheet.
func (d *desk) choose(v *frame.Visit) error {
	w, err := d.of(v)
	if err != nil {
		return err
	}
	id := v.Field("sheet")
	if id != "" && v.Workshop().Sheets[id] == nil {
		return frame.NoPage("material " + id)
	}
	if id != w.said.Sheet {
		w.said.Sheet, w.said.Answers = id, nil
	}
	if err := w.keep(v); err != nil {
		return err
	}
	return v.Go("/incoming/" + w.page())
}

// changes are the files as they would be, and the hash of the sheet as it is.
func (w *waiting) changes(v *frame.Visit) (files []filing.File, base string, err error) {
	var sheet []byte
	if !w.filing.New {
		if sheet, base, err = v.Store.Read(w.filing.SheetFile()); err != nil {
			return nil, "", err
		}
	}
	if w.filing.New && !frame.FreeName(v, "ingredients", w.filing.Sheet) {
		return nil, "", frame.Wrong("There is a material of that name.",
			"Choose it at the top of the page, or give this one another name.")
	}
	files, err = w.filing.Changes(sheet, filing.Taken(w.items, w.said.Answers))
	if err != nil {
		return nil, "", err
	}
	for i, f := range files {
		if f.Name == w.filing.SheetFile() {
			if f.Data, err = w.told(v, f.Data); err != nil {
				return nil, "", err
			}
			files[i] = f
			_, fs := ingredients.ReadSheet(source.NewSource(f.Name, f.Data))
			if i := slices.IndexFunc(fs, func(x finding.Finding) bool { return x.Unread }); i >= 0 {
				t := v.Tell(fs[i])
				return nil, "", frame.Wrong("With these answers the sheet could not be read: "+t.Message, t.Fix)
			}
		}
	}
	return files, base, nil
}

// effect is what filing a paper changes in a product.
type effect struct {
	Product, Href string
	Gone, New     []string
}

// effects computes the products that use the sheet with the paper filed. Nothing is written.
func (w *waiting) effects(v *frame.Visit) ([]effect, string, error) {
	files, base, err := w.changes(v)
	if err != nil {
		return nil, "", err
	}
	shop, opt := v.Workshop(), v.Shot.Options
	after, _ := workshop.LoadFS(v.Live.Dir(), filing.Overlay{Base: os.DirFS(v.Live.Dir()), Files: files},
		opt.Law)
	if after == nil {
		return nil, base, nil
	}
	opt.Session = assess.Session(after, opt.Law)
	names := frame.NamesOf(shop)
	var list []effect
	for _, p := range shop.Computable(shop.Products) {
		if !slices.Contains(frame.Uses(p), w.filing.Sheet) {
			continue
		}
		e := effect{Product: p.Name, Href: "/product/" + p.ID}
		q := after.Product(p.ID)
		if q == nil || len(after.Computable([]*workshop.Product{q})) == 0 {
			e.New = []string{"It could not be computed."}
			list = append(list, e)
			continue
		}
		e.Gone, e.New = filing.Apart(v.Shot.Assess(p).Findings, dossier.Assess(after, q, opt).Findings,
			func(f finding.Finding) string { return frame.KindOf(f) + ": " + names.Message(f) })
		list = append(list, e)
	}
	return list, base, nil
}

// file writes the sheet and files the paper, as one step.
func (d *desk) file(v *frame.Visit) error {
	w, err := d.of(v)
	switch {
	case err != nil:
		return err
	case w.done:
		return frame.Wrong("This paper is on file already.", "Look at it on the page of its material.")
	case w.left() > 0:
		return frame.Wrong(strconv.Itoa(w.left())+" values are not answered.",
			"Confirm, correct or refuse each; nothing is taken over silently.")
	case w.filing.Sheet == "":
		return frame.Wrong("Which material the paper is for is not known.",
			"Choose it at the top of the page, or write its name.")
	}
	files, base, err := w.changes(v)
	if err != nil {
		return err
	}
	if base != v.Field("base") {
		return &frame.Trouble{Status: http.StatusConflict,
			What: "The sheet has changed since this page was opened.",
			Fix:  "Load the page anew: it shows the paper beside the sheet as it is now."}
	}
	var changes []history.Change
	name := w.filing.Sheet
	if s := v.Workshop().Sheets[name]; s != nil {
		name = s.Name
	} else if t := w.filing.Reading.Document.TradeName; t != nil {
		name = t.Value
	}
	for _, f := range files {
		c := history.Change{Name: f.Name, Data: f.Data}
		if f.Name == w.filing.SheetFile() {
			c.Base = base
		} else if data, _, err := v.Store.Read(f.Name); err != nil || data != nil {
			return frame.Wrong("There is another file called "+f.Name+".",
				"Enter that paper on the page of the material first, or give it another name.")
		}
		changes = append(changes, c)
	}
	page := "/incoming/" + w.page()
	if !w.filing.New {
		page = "/material/" + w.filing.Sheet
	}
	then := "/material/" + w.filing.Sheet
	others, err := d.others(v, w)
	if err != nil {
		return err
	}
	for _, o := range others { // the next material of the same paper
		if !o.done && o.n != w.n {
			then = "/incoming/" + o.page()
			break
		}
	}
	return v.SaveFiles(history.Label{Thing: "paper of " + name, New: w.kindText(), Place: page}, then, changes...)
}
