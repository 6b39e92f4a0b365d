package dossier

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/ingredients"
)

// Letters are what to ask others for, over all products of a workshop.
type Letters struct {
	Suppliers  []SupplierLetter // by name
	Laboratory *LaboratoryNote  // nil: nothing is needed from one
	Assessor   *AssessorNote    // nil: nothing is asked
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

// SupplierLetter asks one supplier for papers and values.
type SupplierLetter struct {
	letterHead
	To        string
	Materials []LetterMaterial // by id
	Others    []Request        // about no single material
}

// LetterMaterial is one material with what is asked of it.
type LetterMaterial struct {
	ID       string
	Name     string // trade name
	Code     string // the supplier's
	Products string // those it is used in
	Requests []Request
}

// Request is one thing asked for, with the reason.
type Request struct {
	Want string // no capital, no full stop
	Why  string
	// topic is the kind of paper that would answer, so that a question about it
	// and the paper itself are not asked for side by side.
	topic string
}

// LaboratoryNote asks for tests.
type LaboratoryNote struct {
	letterHead
	Products []LaboratoryProduct
}

// LaboratoryProduct is a product with the tests it needs.
type LaboratoryProduct struct {
	Name, Revision string
	Facts          []string
	Tests          []LaboratoryTest
}

// LaboratoryTest is one test, what it takes and why it is needed.
type LaboratoryTest struct{ Name, How, Why string }

// AssessorNote asks for decisions.
type AssessorNote struct {
	letterHead
	Products []AssessorProduct
}

// AssessorProduct is a product with what is to be decided on it.
type AssessorProduct struct {
	Name, Revision, Fingerprint string
	Questions                   []string
}

// LettersOf gathers what is to be asked for: of each supplier the papers and
// values that its materials lack in the products given, of a laboratory the
// tests, of the assessor the decisions.
//
// Sheets that no product uses are not asked for.
func LettersOf(w *Workshop, as []*Assessment, day ingredients.Date) *Letters {
	head := letterHead{From: letterParty{Name: w.Maker.Name, Lines: append([]string{w.Maker.Name}, w.Maker.Address...)},
		Date: day.Time().Format("2 January 2006"), Invented: w.Invented}
	if w.Maker.Country != "" {
		head.From.Lines = append(head.From.Lines, countryNamed(w.Maker.Country))
	}
	l := &Letters{}
	g := &gathering{w: w, byName: map[string]*SupplierLetter{}}
	for _, a := range as {
		f := questioned(a)
		g.product(f)
		if p, ok := f.laboratoryProduct(); ok {
			if l.Laboratory == nil {
				l.Laboratory = &LaboratoryNote{letterHead: head}
			}
			l.Laboratory.Products = append(l.Laboratory.Products, p)
		}
		if p, ok := assessorProduct(a); ok {
			if l.Assessor == nil {
				l.Assessor = &AssessorNote{letterHead: head}
			}
			l.Assessor.Products = append(l.Assessor.Products, p)
		}
	}
	slices.Sort(g.nameless)
	l.Nameless = g.nameless
	for _, name := range g.names {
		s := g.byName[name]
		s.letterHead = head
		s.Materials = slices.DeleteFunc(s.Materials, func(m LetterMaterial) bool { return len(m.Requests) == 0 })
		slices.SortStableFunc(s.Materials, func(a, b LetterMaterial) int { return cmp.Compare(a.ID, b.ID) })
		if len(s.Materials)+len(s.Others) > 0 {
			l.Suppliers = append(l.Suppliers, *s)
		}
	}
	slices.SortStableFunc(l.Suppliers, func(a, b SupplierLetter) int { return cmp.Compare(a.To, b.To) })
	return l
}

// gathering collects the requests to suppliers.
type gathering struct {
	w      *Workshop
	byName map[string]*SupplierLetter
	names  []string

	nameless []string // see [Letters]
}

// letter returns the letter to a supplier, begun where there is none yet.
func (g *gathering) letter(to string) *SupplierLetter {
	if g.byName[to] == nil {
		g.byName[to] = &SupplierLetter{To: to}
		g.names = append(g.names, to)
	}
	return g.byName[to]
}

// material returns a material's place in a letter.
func (l *SupplierLetter) material(s *ingredients.Sheet) *LetterMaterial {
	for i := range l.Materials {
		if l.Materials[i].ID == s.ID {
			return &l.Materials[i]
		}
	}
	l.Materials = append(l.Materials, LetterMaterial{ID: s.ID, Name: s.Name, Code: s.Supplier.Code})
	return &l.Materials[len(l.Materials)-1]
}

// product adds what one product lacks.
func (g *gathering) product(f *filing) {
	for _, s := range f.sheets {
		if f.traits[s.ID].own {
			continue
		}
		if isStarterSupplier(s.Supplier.Name) {
			g.nameless = addOnce(g.nameless, s.ID)
			continue
		}
		m := g.letter(supplierTo(s)).material(s)
		if m.Products == "" {
			m.Products = f.p.Name
		} else if !slices.Contains(strings.Split(m.Products, ", "), f.p.Name) {
			m.Products += ", " + f.p.Name
		}
		for _, r := range f.paperRequests(s) {
			m.Requests = addRequest(m.Requests, r)
		}
	}
	for _, x := range f.a.Findings {
		if x.Severity == ingredients.Ask {
			g.finding(f, x)
		}
	}
}

// finding adds a question that a supplier can answer.
func (g *gathering) finding(f *filing, x ingredients.Finding) {
	r, ok := requestOf(x)
	if !ok {
		return
	}
	var about *ingredients.Sheet
	for _, s := range f.sheets {
		if s.Supplier.Name == x.Ask && !f.traits[s.ID].own && !isStarterSupplier(x.Ask) && (x.Subject == s.ID || g.w.sheetFile[s.ID] == x.Pos.File) {
			about = s
		}
	}
	if about != nil {
		// our id means nothing to a supplier
		r.Want, r.Why = named(r.Want, about), named(r.Why, about)
		m := g.letter(supplierTo(about)).material(about)
		m.Requests = addRequest(m.Requests, r)
		return
	}
	if l := g.byName[x.Ask]; l != nil {
		l.Others = addRequest(l.Others, r)
	}
}

// named writes the trade name of a material in place of its id.
func named(text string, s *ingredients.Sheet) string {
	words := strings.Split(text, " ")
	for i, w := range words {
		if bare := strings.TrimRight(w, ",:;."); bare == s.ID {
			words[i] = s.Name + w[len(bare):]
		}
	}
	return strings.Join(words, " ")
}

// supplierTo is how a letter calls the supplier of a material.
func supplierTo(s *ingredients.Sheet) string {
	return cmp.Or(s.Supplier.Name, "the supplier of "+s.Name)
}

// addRequest adds a request once. What is asked about a paper in particular
// takes the place of the bare paper, and a longer list that of a shorter one.
func addRequest(list []Request, r Request) []Request {
	for i, x := range list {
		same := x.topic != "" && x.topic == r.topic
		switch {
		case x.Want == r.Want, same && strings.Contains(x.Want, strings.TrimPrefix(r.Want, statementOn)), same && r.bare():
			return list
		case same && strings.Contains(r.Want, strings.TrimPrefix(x.Want, statementOn)), same && x.Want == documentName(x.topic):
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
func (r Request) bare() bool {
	name := documentName(r.topic)
	return r.topic != "" && (r.Want == name || r.Want == currentPaper+name)
}

// assessorProduct gathers what the assessor is asked about a product.
func assessorProduct(a *Assessment) (AssessorProduct, bool) {
	p := AssessorProduct{Name: a.Product.Name, Revision: "revision " + itoa(a.Product.Revision), Fingerprint: a.Fingerprint}
	for _, x := range a.Findings {
		if x.Severity != ingredients.Ask || !strings.Contains(x.Ask, "assessor") {
			continue
		}
		text := upperFirst(x.Text())
		if len(x.Variants) > 0 {
			text += " (" + joinNames(x.Variants) + ")"
		}
		if advice := adviceIn(x.Fix); advice != "" {
			text += "; " + advice
		}
		p.Questions = addOnce(p.Questions, text)
	}
	return p, len(p.Questions) > 0
}

// adviceIn is what a fix says to the assessor. What it tells the maker to do is
// left out.
func adviceIn(fix string) string {
	if rest, ok := strings.CutPrefix(fix, "let the assessor judge; "); ok {
		return rest
	}
	for _, maker := range []string{"let the assessor", "send the assessor", "show the assessor", "ask ", "write ", "enter ", "add ", "give ", "check ", "find out"} {
		if strings.HasPrefix(fix, maker) {
			return ""
		}
	}
	return fix
}
