package plaintest

import (
	"strings"
)

// Run is the plain calculation of one case.
type Run struct {
	*Case
	book  *tableBook
	Mixes []mixture
	parts map[string][]Part // of each material, tightened
	// Content of each mixture by name
	Content []map[string]*substanceContent
	soaps   []*Material
}

func (x *Run) material(id string) *Material {
	for _, m := range x.soaps {
		if m.Id == id {
			return m
		}
	}
	return x.Case.material(id)
}

// Name is the one name that all names of a substance have.
func (x *Run) name(typed string) string {
	if n, ok := x.book.synonyms[strings.ToLower(typed)]; ok {
		return n
	}
	return typed
}

func NewRun(c *Case, book *tableBook) *Run {
	x := &Run{Case: c, book: book, Mixes: c.Mixtures(), parts: map[string][]Part{}}
	for _, m := range c.Materials {
		x.parts[m.Id] = m.tightened()
	}
	if c.Soap != nil {
		x.react()
	}
	for _, m := range x.Mixes {
		x.Content = append(x.Content, x.contents(m))
	}
	return x
}

// Worst is the content in the mixture with the highest one, the whole first.
func (x *Run) Worst(of func(i int) Span) (Span, string) {
	worst, where := of(0), ""
	for i := 1; i < len(x.Mixes); i++ {
		if s := of(i); s.Hi.Cmp(worst.Hi) > 0 {
			worst, where = s, x.Mixes[i].Name
		}
	}
	return worst, where
}

func (x *Run) total(name string) func(i int) Span {
	return func(i int) Span {
		if e := x.Content[i][name]; e != nil {
			return e.Total
		}
		return Nothing()
	}
}
