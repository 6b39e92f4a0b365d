package frame

import (
	"encoding/csv"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/dossier/edit"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// Section is a part of a form whose fields are rows of a table.
type Section struct {
	Name, ID string
	Fields   []inputField
}

// inputField is one value of a file in a form.
type inputField struct {
	Path, Mode, Label, Hint, Value, ID string
	Key                                string // its place inside an entry of a list
	Choices                            []Choice
	Long                               bool   // a sentence
	Wrong                              string // why what was typed was not written
}

// Choice is one of the values that a field may have.
type Choice struct {
	Value, Text string
	Here        bool
}

// Fields fills a form's table with the values of a file. The table has the columns section,
// path, mode (set, text, long, lines, list, words, figures or marks: a box for each choice), label,
// hint and choices; choices are words with | between them, word=text where the text differs, or the
// name of a list in lists.
//
// Errors: those of a table or path that cannot be read.
func Fields(f *Opened, table string, lists map[string][]Choice) ([]Section, error) {
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		return nil, err
	}
	var sections []Section
	for _, r := range rows[1:] {
		if len(sections) == 0 || sections[len(sections)-1].Name != r[0] {
			sections = append(sections, Section{Name: r[0], ID: strings.ReplaceAll(strings.ToLower(r[0]), " ", "-")})
		}
		path, err := edit.ParsePath(r[1])
		if err != nil {
			return nil, err
		}
		x := inputField{Path: r[1], Mode: r[2], Label: r[3], Hint: r[4],
			ID: strings.ReplaceAll(strings.Trim(r[1], "/"), "/", "-")}
		if x.Mode == "long" { // a sentence
			x.Mode, x.Long = "text", true
		}
		x.Value = typedAt(f, path, x.Mode)
		x.Choices = choicesOf(r[5], lists, x.Value)
		if x.Mode == "marks" {
			x.Choices = marked(x.Choices[1:], listed(f, path))
		}
		last := &sections[len(sections)-1]
		last.Fields = append(last.Fields, x)
	}
	return sections, nil
}

// choicesOf returns what may be chosen; the value that is there is always among it.
func choicesOf(words string, lists map[string][]Choice, value string) []Choice {
	if words == "" {
		return nil
	}
	cs := []Choice{{"", "not stated", value == ""}}
	list, named := lists[words]
	for _, c := range list {
		cs = append(cs, Choice{c.Value, c.Text, c.Value == value})
	}
	if !named {
		for _, s := range strings.Split(words, "|") {
			word, text, ok := strings.Cut(s, "=")
			if !ok {
				text = word
			}
			cs = append(cs, Choice{word, text, word == value})
		}
	}
	if !slices.ContainsFunc(cs, func(c Choice) bool { return c.Here }) {
		cs = append(cs, Choice{value, value, true})
	}
	return cs
}

// marked are the choices of which any number may be taken, with those that are.
func marked(cs []Choice, taken []string) (all []Choice) {
	for _, c := range cs {
		if !strings.Contains(c.Value, "\n") { // several values of the file that stand for none alone
			c.Here = slices.Contains(taken, c.Value)
			all = append(all, c)
		}
	}
	for _, t := range taken {
		if t != "" && !slices.ContainsFunc(all, func(c Choice) bool { return c.Value == t }) {
			all = append(all, Choice{t, t, true})
		}
	}
	return all
}

// Concerns says whether a finding is about a variant of a product.
func Concerns(f finding.Finding, p *workshop.Product, v *formula.Variant) bool {
	return len(f.Variants) == 0 || slices.Contains(f.Variants, v.ID) ||
		slices.Contains(f.Variants, p.ID+"/"+v.ID) || slices.Contains(f.Variants, p.ID)
}
