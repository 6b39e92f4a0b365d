package incoming

import (
	"cmp"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/transcribe/filing"
	"gallipot/dossier/transcribe/phrases"
	"gallipot/dossier/transcribe/reading"
)

// part is a part of the values with its rows.
type part struct {
	Name string
	Rows []value
}

// value is an item as it is shown.
type value struct {
	filing.Item
	N        int
	Label    string
	Text     string // in its field
	How      string // how sure it is
	Beside   string // what the sheet says
	Where    string
	At       string // the mark on the page
	State    string // left, confirmed, corrected, refused
	Alone    bool   // is not confirmed with the others
	Fixed    bool   // cannot be typed
	Choices  []frame.Choice
	Question string
	Wrong    string // why what was typed last could not be taken
}

var partNames = map[filing.Part]string{filing.OfPaper: "What the paper is",
	filing.OfComposition: "What is in it, % of the material",
	filing.OfAllergens:   "Allergens, % of the material",
	filing.OfCertificate: "Fragrance certificate, most of it in a finished product, %",
	filing.OfImpurities:  "Traces", filing.OfPhysical: "Physical data",
	filing.OfSheet: "On the sheet, and not so in this paper"}

var factNames = map[string]string{"name": "Material", "supplier": "Supplier", "code": "Supplier’s code",
	"dated": "Date of the paper",
	"list":  "Declared against the list", "amendment": "Amendment of the Standards"}

// said is a sentence about the paper with its place.
type said struct{ Text, Where, At string }

func (d *desk) show(v *frame.Visit) error {
	w, err := d.of(v)
	if err != nil {
		return err
	}
	return d.page(v, w)
}

// page shows a paper beside its values.
func (d *desk) page(v *frame.Visit, w *waiting) error {
	data := map[string]any{"Key": w.page(), "Paper": w.Key, "ReadOnly": v.Site.ReadOnly, "Leaves": w.leaves(),
		"Sheets": w.sheets(v),
		"PDF":    strings.EqualFold(path.Ext(w.Name), ".pdf"), "Left": w.left(), "Sheet": w.filing.Sheet,
		"New": w.filing.New, "Several": len(w.asked.Several) > 0}
	if w.done {
		data["Filed"] = w.filing.Filed
	}
	others, err := d.others(v, w)
	if err != nil {
		return err
	}
	for _, o := range others {
		data["Others"] = append(materialsOf(data["Others"]), material{"/incoming/" + o.page(), o.material(), o.left(),
			o.done, o.n == w.n})
	}
	against := d.contradictions(v, w)
	parts, together := w.parts(against)
	data["Parts"], data["Together"], data["Against"], data["Count"] = parts, together, against, len(w.items)
	data["Newer"] = d.newer(v, w)
	for _, x := range w.asked.Reading.NotUnderstood {
		data["Passed"] = append(listOf(data["Passed"]), said{x.Text, placeText(x.Place), w.mark(x.Place)})
	}
	for _, list := range [][]reading.Ask{w.asked.Reading.Asks, w.asked.Reading.Warnings} {
		for _, a := range list {
			if w.settled(a) {
				continue
			}
			data["Asks"] = append(listOf(data["Asks"]), said{frame.Sentence(a.Text), placeText(a.Place),
				w.mark(a.Place)})
		}
	}
	if w.left() == 0 && w.filing.Sheet != "" && !w.done {
		effects, base, err := w.effects(v)
		var t *frame.Trouble
		switch {
		case errors.As(err, &t): // said beside the answers that can be changed
			data["Unfit"] = t
		case err != nil:
			return err
		}
		data["Effects"], data["Base"], data["Told"] = effects, base, w.asks(v)
	}
	facts := w.Name + " · " + w.kindText()
	if s := v.Workshop().Sheets[w.filing.Sheet]; s != nil {
		facts += " · for " + s.Name
	} else if w.filing.Sheet != "" {
		facts += " · makes a new sheet"
	}
	title := w.Name
	if n := w.asked.Reading.Document.TradeName; n != nil && n.Value != "" {
		title = n.Value + ": " + strings.ToLower(w.kindText())
	}
	return v.Show(frame.Page{Title: title, Place: "papers", Crumb: &frame.Link{Href: "/papers", Text: "Papers"},
		Facts:    frame.Escape(facts),
		Template: "incoming", Data: data, Wide: true, Refused: w.wrong != nil})
}

// material is one of several materials of a paper.
type material struct {
	Href, Name string
	Left       int
	Done, Here bool
}

func materialsOf(x any) []material {
	list, _ := x.([]material)
	return list
}

func listOf(x any) []said {
	list, _ := x.([]said)
	return list
}

// sheets are the sheets that a paper may be for.
func (w *waiting) sheets(v *frame.Visit) []frame.Choice {
	list := []frame.Choice{{Value: "", Text: "as the paper says", Here: w.said.Sheet == ""}}
	for _, id := range v.Workshop().SheetIDs() {
		list = append(list, frame.Choice{Value: id, Text: v.Workshop().Sheets[id].Name, Here: w.said.Sheet == id})
	}
	return list
}

// parts are the items with their state; together counts those that may be confirmed at once.
func (w *waiting) parts(against []contradiction) (list []part, together int) {
	for i, x := range w.items {
		r := w.value(i, x, against)
		if r.State == "left" && !r.Alone {
			together++
		}
		if len(list) == 0 || list[len(list)-1].Name != partNames[x.Part] {
			list = append(list, part{Name: partNames[x.Part]})
		}
		last := &list[len(list)-1]
		last.Rows = append(last.Rows, r)
	}
	return list, together
}

// settled says whether a question on the paper was answered at a value that asks it.
func (w *waiting) settled(a reading.Ask) bool {
	return slices.ContainsFunc(w.items, func(x filing.Item) bool {
		said, is := w.said.Answers[x.Key]
		return is && !said.Refused && x.Ask == a.Code
	})
}

func (w *waiting) value(i int, x filing.Item, against []contradiction) value {
	r := value{Item: x, N: i, Label: x.Name, Text: x.Value, Where: placeText(x.Place), At: w.mark(x.Place),
		State: "left"}
	if text := factNames[x.Name]; text != "" && x.Key == string(x.Part)+"/"+x.Name {
		r.Label = text
	}
	switch {
	case x.Part == filing.OfCertificate && r.Label == x.Name:
		r.Label = "Category " + x.Name
	case x.Part == filing.OfSheet:
		kind, what, _ := strings.Cut(x.Name, ".")
		r.Label, r.Fixed = strings.ReplaceAll(kind, "_", " ")+": "+strings.ReplaceAll(what, "-", " "), true
	case x.Key == string(filing.OfAllergens)+"/list":
		r.Choices = frame.AllergenLists(x.Value)
	}
	state, have := w.asked.Beside(x)
	switch {
	case state == filing.Same:
		r.Beside = "the sheet says the same"
	case state == filing.Differs:
		r.Beside, r.Alone = "the sheet says "+have, true
	}
	if x.Ask != "" {
		r.Alone = true
		r.Question = frame.Sentence(phrases.Questions().Say(x.Ask, "name", r.Label, "text", x.Printed, "category",
			x.Name))
	}
	if slices.ContainsFunc(against, func(c contradiction) bool { return c.Name == x.Name || c.Name == x.Said }) {
		r.Alone = true
	}
	r.How = "as printed"
	if len(x.Rules) > 0 {
		r.Alone = r.Alone || x.Part == filing.OfPaper // a name or a date that was inferred
		var rules []string
		for _, rule := range x.Rules {
			rules = append(rules, phrases.Questions().Say(rule))
		}
		r.How = strings.Join(rules, "; ")
	}
	if w.wrong != nil && w.wrong.n == i {
		r.Text, r.Wrong, r.Alone = w.wrong.typed, w.wrong.text, true
	}
	if a, ok := w.said.Answers[x.Key]; ok {
		switch {
		case a.Refused:
			r.State = "refused"
		case a.Value != x.Value:
			r.State, r.Text = "corrected", a.Value
		default:
			r.State = "confirmed"
		}
		for j := range r.Choices {
			r.Choices[j].Here = r.Choices[j].Value == r.Text
		}
	}
	return r
}

// placeText says where something stands in the paper.
func placeText(at reading.Place) string {
	switch {
	case at.Cell != "":
		return at.Cell
	case at.Page > 0 && at.Line > 0:
		return fmt.Sprintf("page %d, line %d", at.Page, at.Line)
	case at.Page > 0:
		return fmt.Sprintf("page %d", at.Page)
	}
	return at.Where
}

// contradiction is what another paper of the material says otherwise.
type contradiction struct{ Name, Text, Other string }

// contradictions holds the paper against those on file for its sheet, except the version
// that it takes the place of.
func (d *desk) contradictions(v *frame.Visit, w *waiting) []contradiction {
	s := v.Workshop().Sheets[w.asked.Sheet]
	if s == nil || w.done {
		return nil
	}
	var list []contradiction
	for _, doc := range s.Documents {
		other := d.onFile(v, w, doc.File)
		if other == nil {
			continue
		}
		if older, _, ok := filing.Older(other, w.asked); ok && older == other {
			continue
		}
		for _, a := range filing.Contradictions(w.asked.Reading, other.Reading) {
			list = append(list, contradiction{a.Values["name"], frame.Sentence(a.Text), doc.File})
		}
	}
	return list
}

// onFile reads a paper of the workshop; nil where it cannot be read.
func (d *desk) onFile(v *frame.Visit, w *waiting, file string) *filing.Filing {
	if !strings.HasPrefix(file, "evidence/") {
		return nil
	}
	data, sum, err := v.Store.Read(file)
	if err != nil || data == nil {
		return nil
	}
	s, err := d.read(path.Base(file), sum, data)
	if err != nil {
		return nil // that it cannot be read is said elsewhere
	}
	return filing.Of(v.Workshop(), s.reading.Clone(), file, data, w.asked.Sheet)
}

// newer lists what the paper says otherwise than the version on file that it takes the
// place of.
func (d *desk) newer(v *frame.Visit, w *waiting) []filing.Difference {
	file := w.asked.Previous(v.Workshop())
	if file == "" {
		return nil
	}
	before := d.onFile(v, w, file)
	if before == nil {
		return nil
	}
	older, newer, ok := filing.Older(before, w.asked)
	if !ok {
		return nil
	}
	list := filing.Differences(older.Reading, newer.Reading)
	for i := range list {
		list[i].Old, list[i].New = cmp.Or(list[i].Old, "nothing"), cmp.Or(list[i].New, "nothing")
	}
	return list
}
