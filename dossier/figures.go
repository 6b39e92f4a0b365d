package dossier

import (
	"slices"

	"gallipot/ingredients"
)

// figureSections are the sections that can be asked for by name, in the order
// they are printed.
var figureSections = []struct {
	name  string
	build func(*view) *Section
}{
	{"formula", (*view).formulaSection},
	{"composition", (*view).compositionSection},
	{"list", (*view).listsSection},
	{"allergens", (*view).allergensSection},
	{"fragrance", (*view).fragranceSection},
	{"limits", (*view).limitsSection},
	{"considered", (*view).limitsConsideredSection},
	{"exposure", (*view).exposureSection},
	{"doses", (*view).dosesSection},
	{"mos", (*view).marginsSection},
	{"traces", (*view).impuritiesSection},
	{"gaps", (*view).gapsSection},
	{"headroom", (*view).headroomSection},
	{"readiness", (*view).readinessSection},
	{"contributions", (*view).contributionsSection},
	{"sources", (*view).sourcesSection},
}

// onRequest are the sections left out unless they are named.
var onRequest = []string{"considered", "readiness", "contributions", "sources"}

// SectionNames lists the names that Figures knows, in the order of print.
func SectionNames() []string {
	names := make([]string, len(figureSections))
	for i, s := range figureSections {
		names[i] = s.name
	}
	return names
}

// Figures builds the tables of a product, of one variant where it is named, and
// only the named sections where there are any. The long ones are left out unless
// they are named; limits by name come with the rows that do not apply.
//
// Errors: a *ingredients.ValueError for a section name that is not known.
func Figures(a *Assessment, variant string, sections []string) (*Document, error) {
	for _, name := range sections {
		if !slices.Contains(SectionNames(), name) {
			e := &ingredients.ValueError{What: "no section is called " + name, Fix: "known: " + joinNames(SectionNames())}
			if near := ingredients.Nearest(name, SectionNames()); near != "" {
				e.Fix = "did you mean " + near + "? " + e.Fix
			}
			return nil, e
		}
	}
	v := a.show(variant)
	d := v.document("Figures")
	d.NoContents = true
	for _, s := range figureSections {
		wanted := slices.Contains(sections, s.name) || len(sections) == 0 && !slices.Contains(onRequest, s.name)
		if wanted {
			d.Sections = append(d.Sections, s.build(v))
			if s.name == "limits" && len(sections) > 0 && !slices.Contains(sections, "considered") {
				d.Sections = append(d.Sections, v.limitsConsideredSection())
			}
		}
	}
	for _, s := range d.Sections {
		s.withoutCharts()
	}
	v.warn(d)
	return d, nil
}

// warn puts what stops the product before everything else, since figures of a
// formula that cannot be right must not look ready to print.
func (v *view) warn(d *Document) {
	if stops := v.stopCallout(); stops != nil {
		s := &Section{ID: "stops", Title: "Stop"}
		d.Sections = append([]*Section{s.Add(stops)}, d.Sections...)
	}
}

// withoutCharts takes the charts out, whose figures stand in the tables beside
// them: in a terminal they would say everything twice.
func (s *Section) withoutCharts() {
	s.Blocks = slices.DeleteFunc(s.Blocks, func(b Block) bool {
		switch b.(type) {
		case *HBarLog, *StackedBar, *ReadinessBars, *LineBand:
			return true
		}
		return false
	})
	for _, sub := range s.Subsections {
		sub.withoutCharts()
	}
}
