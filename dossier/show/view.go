package show

import (
	"cmp"
	"slices"
	"sync"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// CautionLine stands on every page of whatever could be taken for more than it
// is.
const CautionLine = "prepared for assessment; not a safety assessment"

// MemoryMark is the mark of figures that rest on a table row nobody has checked
// against its source.
const MemoryMark = "unverified"

// AssessorMark is the mark of figures that the assessor put in place of others.
const AssessorMark = "assessor"

var Marks = []document.Mark{
	{ID: MemoryMark, Symbol: "†", Text: "not yet checked against its source: verify before use"},
	{ID: AssessorMark, Symbol: "◊",
		Text: "put in place of another by the assessor, whose name, day and reason stand with the source"},
}

// Sign is the symbol of a mark, set behind a figure outside a table.
func Sign(id string) string {
	for _, m := range Marks {
		if m.ID == id {
			return "\u202f" + m.Symbol
		}
	}
	return ""
}

// View is what the sections are built from: an assessment, narrowed to the
// variants that are to be shown.
type View struct {
	A        *assess.Assessment
	Variants []*formula.Variant
	// withContributions says that the document shows how contents are made up, so
	// that figures can lead there.
	WithContributions bool

	made sync.Map // by what asked for it
}

// Once is what was made of a view for a key, made when it is first asked for. A key is of a type
// of the package that asks. What is made is not changed by anybody.
func Once[K comparable, T any](v *View, key K, first func() T) T {
	made, known := v.made.Load(key)
	if !known {
		made, _ = v.made.LoadOrStore(key, sync.OnceValue(first))
	}
	return made.(func() T)()
}

// Show narrows an assessment to one variant, or to all of them for "".
func Show(a *assess.Assessment, variant string) *View {
	v := &View{A: a}
	for _, x := range a.Product.Variants {
		if variant == "" || x.ID == variant {
			v.Variants = append(v.Variants, x)
		}
	}
	return v
}

// fewVariants is up to how many variants stand side by side; a longer range is
// shown by what is common, what differs, and the worst of all.
const fewVariants = 6

// IsRange says whether there are too many variants to stand side by side.
func (v *View) IsRange() bool { return len(v.Variants) > fewVariants }

// First is the result of a variant in the first market: formula and composition
// are the same in all.
func (v *View) First(x *formula.Variant) *calc.Result { return v.A.ByVariant(x.ID)[0] }

// VariantName is how a variant is called in heads and rows.
func VariantName(x *formula.Variant) string {
	switch {
	case x.ID == "":
		return "the product"
	case x.Name != "":
		return x.Name
	}
	return x.ID
}

// ShortName heads a column.
func ShortName(x *formula.Variant) string {
	if x.ID == "" {
		return "Content"
	}
	return x.ID
}

// Findings are those that concern the shown variants.
func (v *View) Findings() []finding.Finding {
	if len(v.Variants) == len(v.A.Product.Variants) {
		return v.A.Findings
	}
	var out []finding.Finding
	for _, f := range v.A.Findings {
		if len(f.Variants) == 0 || slices.ContainsFunc(v.Variants, func(x *formula.Variant) bool {
			return slices.Contains(f.Variants, v.A.Product.ID+"/"+x.ID)
		}) {
			out = append(out, f)
		}
	}
	return out
}

// Material names a raw material for a reader: its trade name with the id that
// leads back to the sheet.
func (v *View) Material(id string) string {
	if s := v.A.Workshop.Sheets[id]; s != nil && s.Name != "" {
		return s.Name + " (" + id + ")"
	}
	return id
}

// Substances lists every substance by composition of any shown variant, the
// most plentiful first.
func (v *View) Substances() []*formula.Substance {
	best := map[string]*formula.Substance{}
	for _, x := range v.Variants {
		for _, s := range v.First(x).Whole().Substances {
			if !s.IsIngredient() {
				continue
			}
			if b := best[s.Key()]; b == nil || b.Pct.Typ.Less(s.Pct.Typ) {
				best[s.Key()] = s
			}
		}
	}
	list := make([]*formula.Substance, 0, len(best))
	for _, s := range best {
		list = append(list, s)
	}
	slices.SortFunc(list, func(a, b *formula.Substance) int {
		if c := b.Pct.Typ.Cmp(a.Pct.Typ); c != 0 {
			return c
		}
		return cmp.Compare(a.INCI, b.INCI)
	})
	return list
}

func (v *View) RinseText() string {
	t, ok := law.ProductType(v.A.Options.Law, v.A.Product.Type)
	switch {
	case !ok:
		return "unknown"
	case t.RinseOff:
		return "rinsed off"
	}
	return "left on"
}

// ResponsibleCell falls back to nothing: a person for one market is none for
// another, save that the one for the EU serves Northern Ireland too.
func (v *View) ResponsibleCell(m rows.Market) document.Cell {
	persons := v.A.Workshop.ResponsiblePersons
	if p, ok := persons[m]; ok {
		return PartyCell(v.A.Options.Law, p)
	}
	if p, ok := persons[m.Annexes()]; ok {
		return PartyCell(v.A.Options.Law, p)
	}
	return document.MissingCell("none named for " + string(m))
}

// Warn puts what stops the product before everything else, since figures of a
// formula that cannot be right must not look ready to print.
func (v *View) Warn(d *document.Document) {
	if stops := v.StopCallout(); stops != nil {
		s := &document.Section{ID: "stops", Title: "Stop"}
		d.Sections = append([]*document.Section{s.Add(stops)}, d.Sections...)
	}
}

// Document has the furniture that every document about a product shares.
func (v *View) Document(title string) *document.Document {
	p := v.A.Product
	return &document.Document{ForAssessor: true,
		Title: title, Subtitle: p.Name, Language: "en-GB", Author: v.A.Workshop.Maker.Name,
		Subject: "Data for the cosmetic product safety assessment of " + p.Name, Date: v.A.Options.Date,
		Product: p.Name, Revision: "revision " +
			words.Itoa(p.Revision), Fingerprint: v.A.Fingerprint, Caution: CautionLine, Marks: Marks,
	}
}

// mostStops is how many stops a box names.
const mostStops = 8

// StopCallout names what stops the shown variants; nil where nothing does.
func (v *View) StopCallout() *document.Callout {
	var body []*document.Paragraph
	more := 0
	for _, f := range v.Findings() {
		if f.Severity != finding.Stop {
			continue
		}
		if len(body) == mostStops {
			more++
			continue
		}
		said := words.Say(&f, words.Assessor)
		text := said.Line()
		if len(f.Variants) > 0 {
			text += " (" + words.JoinNames(f.Variants) + ")"
		}
		body = append(body, document.Para(words.UpperFirst(text)+"."))
	}
	if len(body) == 0 {
		return nil
	}
	if more > 0 {
		body = append(body, document.Para("And "+words.Itoa(more)+" more."))
	}
	return &document.Callout{Kind: document.CalloutStop,
		Title: "What stops it: against a law, a certificate or a fragrance Standard, or not computable as it stands", Body: body}
}

func (v *View) TypeName() string {
	if t, ok := law.ProductType(v.A.Options.Law, v.A.Product.Type); ok {
		return t.Name
	}
	return v.A.Product.Type
}
