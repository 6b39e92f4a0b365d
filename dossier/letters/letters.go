package letters

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/evidence"
	"gallipot/dossier/ready"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Letters are what to ask others for, over all products of a workshop.
type Letters struct {
	Suppliers  []supplierLetter // by name
	Laboratory *laboratoryNote  // nil: nothing is needed from one
	Assessor   *assessorNote    // nil: nothing is asked
	Nameless   []string         // materials whose supplier is not entered, so that no letter can be written; by id
}

// None says whether there is nothing to ask for.
func (l *Letters) None() bool {
	return len(l.Suppliers) == 0 && l.Laboratory == nil && l.Assessor == nil
}

// letterHead is what every letter begins and ends with.
type letterHead struct {
	From     letterParty
	Date     string // in words
	Invented bool
}

// letterParty is the maker as sender.
type letterParty struct {
	Name  string
	Lines []string // name, address, country
}

// supplierLetter asks one supplier for papers and values.
type supplierLetter struct {
	letterHead
	To        string
	Materials []letterMaterial // by id
	Others    []request        // about no single material
}

// letterMaterial is one material with what is asked of it.
type letterMaterial struct {
	ID       string
	Name     string // trade name
	Code     string // the supplier's
	Products string // those it is used in
	Requests []request
}

// request is one thing asked for, with the reason.
type request struct {
	Want string // no capital, no full stop
	Why  string
	// topic is the kind of paper that would answer, so that a question about it
	// and the paper itself are not asked for side by side.
	topic string
}

// laboratoryNote asks for tests.
type laboratoryNote struct {
	letterHead
	Products []toTest
}

// toTest is a product with the tests it needs.
type toTest struct {
	Name, Revision string
	Facts          []string
	Tests          []laboratoryTest
}

// laboratoryTest is one test, what it takes and why it is needed.
type laboratoryTest struct{ Name, How, Why string }

// assessorNote asks for decisions.
type assessorNote struct {
	letterHead
	Products []toDecide
}

// toDecide is a product with what is to be decided on it.
type toDecide struct {
	Name, Revision, Fingerprint string
	Questions                   []string
}

// LettersOf gathers what is to be asked for: of each supplier the papers and
// values that its materials lack in the products given, of a laboratory the
// tests, of the assessor the decisions.
//
// Sheets that no product uses are not asked for.
func LettersOf(w *workshop.Workshop, as []*assess.Assessment, day exact.Date) *Letters {
	head := letterHead{From: letterParty{Name: w.Maker.Name, Lines: append([]string{w.Maker.Name},
		w.Maker.Address...)},
		Date: day.Time().Format("2 January 2006"), Invented: w.Invented}
	if w.Maker.Country != "" {
		head.From.Lines = append(head.From.Lines, show.CountryNamed(w.Law, w.Maker.Country))
	}
	l := &Letters{}
	g := &gathering{w: w, byName: map[string]*supplierLetter{}}
	for _, a := range as {
		f := ready.Questioned(a)
		g.product(f)
		if p, ok := laboratoryProduct(f); ok {
			if l.Laboratory == nil {
				l.Laboratory = &laboratoryNote{letterHead: head}
			}
			l.Laboratory.Products = append(l.Laboratory.Products, p)
		}
		if p, ok := assessorProduct(a); ok {
			if l.Assessor == nil {
				l.Assessor = &assessorNote{letterHead: head}
			}
			l.Assessor.Products = append(l.Assessor.Products, p)
		}
	}
	slices.Sort(g.nameless)
	l.Nameless = g.nameless
	for _, name := range g.names {
		s := g.byName[name]
		s.letterHead = head
		s.Materials = slices.DeleteFunc(s.Materials, func(m letterMaterial) bool { return len(m.Requests) == 0 })
		slices.SortStableFunc(s.Materials, func(a, b letterMaterial) int { return cmp.Compare(a.ID, b.ID) })
		if len(s.Materials)+len(s.Others) > 0 {
			l.Suppliers = append(l.Suppliers, *s)
		}
	}
	slices.SortStableFunc(l.Suppliers, func(a, b supplierLetter) int { return cmp.Compare(a.To, b.To) })
	return l
}

// gathering collects the requests to suppliers.
type gathering struct {
	w      *workshop.Workshop
	byName map[string]*supplierLetter
	names  []string

	nameless []string // see [Letters]
}

// letter returns the letter to a supplier, begun where there is none yet.
func (g *gathering) letter(to string) *supplierLetter {
	if g.byName[to] == nil {
		g.byName[to] = &supplierLetter{To: to}
		g.names = append(g.names, to)
	}
	return g.byName[to]
}

// material returns a material's place in a letter.
func (l *supplierLetter) material(s *ingredients.Sheet) *letterMaterial {
	for i := range l.Materials {
		if l.Materials[i].ID == s.ID {
			return &l.Materials[i]
		}
	}
	l.Materials = append(l.Materials, letterMaterial{ID: s.ID, Name: s.Name, Code: s.Supplier.Code})
	return &l.Materials[len(l.Materials)-1]
}

// product adds what one product lacks.
func (g *gathering) product(f *evidence.Filing) {
	for _, s := range f.Sheets {
		if f.Traits[s.ID].Own {
			continue
		}
		if ready.IsStarterSupplier(s.Supplier.Name) {
			g.nameless = words.AddOnce(g.nameless, s.ID)
			continue
		}
		m := g.letter(supplierTo(s)).material(s)
		if m.Products == "" {
			m.Products = f.P.Name
		} else if !slices.Contains(strings.Split(m.Products, ", "), f.P.Name) {
			m.Products += ", " + f.P.Name
		}
		for _, r := range paperRequests(f, s) {
			m.Requests = addRequest(m.Requests, r)
		}
	}
	for _, x := range f.A.Findings {
		if x.Severity == finding.Ask {
			g.finding(f, x)
		}
	}
}

// finding adds a question that a supplier can answer.
func (g *gathering) finding(f *evidence.Filing, x finding.Finding) {
	r, ok := requestOf(x)
	if !ok {
		return
	}
	asked := supplierAsked(x)
	var about *ingredients.Sheet
	for _, s := range f.Sheets {
		if s.Supplier.Name == asked && !f.Traits[s.ID].Own && !ready.IsStarterSupplier(asked) &&
			(x.About.ID == s.ID || g.w.SheetFile[s.ID] == x.Pos.File) {
			about = s
		}
	}
	if about != nil {
		m := g.letter(supplierTo(about)).material(about)
		m.Requests = addRequest(m.Requests, r)
		return
	}
	if l := g.byName[asked]; l != nil {
		l.Others = addRequest(l.Others, r)
	}
}

// supplierAsked is the name of the supplier who can settle a finding; "" where none
// can, or where its name is not known.
func supplierAsked(x finding.Finding) string {
	for _, p := range x.Who {
		if p.Role == finding.RoleSupplier {
			return p.Name
		}
	}
	return ""
}

// supplierTo is how a letter calls the supplier of a material.
func supplierTo(s *ingredients.Sheet) string {
	return cmp.Or(s.Supplier.Name, "the supplier of "+s.Name)
}

// addRequest adds a request once. What is asked about a paper in particular
// takes the place of the bare paper, and a longer list that of a shorter one.
func addRequest(list []request, r request) []request {
	for i, x := range list {
		same := x.topic != "" && x.topic == r.topic
		switch {
		case x.Want == r.Want, same && strings.Contains(x.Want, strings.TrimPrefix(r.Want, statementOn)), same &&
			r.bare():
			return list
		case same && strings.Contains(r.Want, strings.TrimPrefix(x.Want, statementOn)), same &&
			x.Want == workshop.DocumentName(x.topic):
			list[i] = r
			return list
		case same && x.bare(): // an old paper
			list[i].Want, list[i].Why = r.Want, x.Why+"; "+r.Why
			return list
		}
	}
	return append(list, r)
}

// bare says whether a request names a paper and nothing of what it should hold.
func (r request) bare() bool {
	name := workshop.DocumentName(r.topic)
	return r.topic != "" && (r.Want == name || r.Want == currentPaper+name)
}

// isRow says whether something is called by its row in a table of the program, which its
// reader cannot look up: the pack marks such figures.
func isRow(item string) bool { return strings.Contains(item, ".csv ") }

// assessorProduct gathers what the assessor is asked about a product.
func assessorProduct(a *assess.Assessment) (toDecide, bool) {
	p := toDecide{Name: a.Product.Name, Revision: "revision " + words.Itoa(a.Product.Revision),
		Fingerprint: a.Fingerprint}
	for _, x := range a.Findings {
		if x.Severity != finding.Ask || !x.IsAsked(finding.RoleAssessor) {
			continue
		}
		said := words.Say(&x, words.Assessor)
		said.Items = slices.DeleteFunc(said.Items, isRow)
		text := said.Line()
		if said.Subject == p.Name {
			text = said.Text() // it stands under its name
		}
		text = words.UpperFirst(text)
		var variants []string
		for _, name := range x.Variants {
			variants = append(variants, strings.TrimPrefix(name, a.Product.ID+"/"))
		}
		if len(variants) > 0 {
			text += " (" + words.JoinNames(variants) + ")"
		}
		if said.Fix != "" {
			text += "; " + said.Fix
		}
		p.Questions = words.AddOnce(p.Questions, text)
	}
	return p, len(p.Questions) > 0
}
