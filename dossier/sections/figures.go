package sections

import (
	"slices"

	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// figureSections are the sections that can be asked for by name, in the order
// they are printed.
var figureSections = []struct {
	name  string
	build func(*show.View) *document.Section
}{
	{"formula", FormulaSection},
	{"composition", CompositionSection},
	{"list", listsSection},
	{"allergens", AllergensSection},
	{"fragrance", FragranceSection},
	{"limits", LimitsSection},
	{"considered", LimitsConsideredSection},
	{"exposure", ExposureSection},
	{"doses", DosesSection},
	{"mos", MarginsSection},
	{"traces", ImpuritiesSection},
	{"gaps", GapsSection},
	{"headroom", HeadroomSection},
	{"readiness", ReadinessSection},
	{"contributions", ContributionsSection},
	{"sources", SourcesSection},
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
func Figures(a *assess.Assessment, variant string, sections []string) (*document.Document, error) {
	for _, name := range sections {
		if !slices.Contains(SectionNames(), name) {
			e := &exact.ValueError{What: "no section is called " + name, Fix: "known: " +
				words.JoinNames(SectionNames())}
			if near := source.Nearest(name, SectionNames()); near != "" {
				e.Fix = "did you mean " + near + "? " + e.Fix
			}
			return nil, e
		}
	}
	v := show.Show(a, variant)
	d := v.Document("Figures")
	d.NoContents = true
	for _, s := range figureSections {
		wanted := slices.Contains(sections, s.name) || len(sections) == 0 && !slices.Contains(onRequest, s.name)
		if wanted {
			d.Sections = append(d.Sections, s.build(v))
			if s.name == "limits" && len(sections) > 0 && !slices.Contains(sections, "considered") {
				d.Sections = append(d.Sections, LimitsConsideredSection(v))
			}
		}
	}
	for _, s := range d.Sections {
		WithoutCharts(s)
	}
	v.Warn(d)
	return d, nil
}

// WithoutCharts takes the charts out, whose figures stand in the tables beside
// them: in a terminal they would say everything twice.
func WithoutCharts(s *document.Section) {
	s.Blocks = slices.DeleteFunc(s.Blocks, func(b document.Block) bool {
		switch b.(type) {
		case *document.HBarLog, *document.StackedBar, *document.ReadinessBars, *document.LineBand:
			return true
		}
		return false
	})
	for _, sub := range s.Subsections {
		WithoutCharts(sub)
	}
}
