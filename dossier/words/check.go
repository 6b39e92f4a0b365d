package words

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/ingredients/finding"
)

// Faults lists what is wrong between a finding and its wording: no words, a value
// that no text uses, a text that names a value which is not passed, a term that the
// vocabulary does not have, a stop that does not say what it is against, a name
// that is a sentence. Tests want none.
func Faults(f *finding.Finding) []string {
	c := &checking{speaker: &speaker{table: wordings()}}
	c.finding(f)
	return c.faults
}

type checking struct {
	*speaker
	faults []string
}

func (c *checking) fault(format string, args ...any) {
	c.faults = append(c.faults, fmt.Sprintf(format, args...))
}

func (c *checking) finding(f *finding.Finding) {
	name := f.Code
	if f.Form != "" {
		name += "/" + f.Form
		if c.table.findings[name] == nil {
			c.fault("%s: no words", name)
		}
	}
	look := c.lookOf(f)
	var used []string
	for _, key := range findingKeys {
		for _, r := range []*record{c.table.findings[name], c.table.findings[f.Code]} {
			if r == nil {
				continue
			}
			used = append(used, r.text(key).names()...)
		}
		p := c.effective(f, key)
		if p == nil && !strings.Contains(key, ".") && key != "why" && !strings.HasSuffix(name, "/long") {
			c.fault("%s: no %s", name, key)
		}
		for _, n := range p.needed() {
			if _, ok := look(n); !ok {
				c.fault("%s: %s names {%s}, which is not passed", name, key, n)
			}
		}
	}
	for _, v := range f.Values {
		if !slices.Contains(used, v.Name) {
			c.fault("%s: no text uses {%s}", name, v.Name)
		}
		c.value(name, v)
	}
	if f.Severity == finding.Stop && c.against(f) == "" {
		c.fault("%s: stops, and does not say what it is against", name)
	}
	for _, v := range f.Things {
		c.value(name, v)
	}
	for _, t := range f.Sum {
		c.value(name, finding.Value{Kind: finding.KindTerm, Text: t.Key, List: t.Values})
	}
	if f.Inner != nil {
		c.finding(f.Inner)
	}
}

// effective is the text of a key that is printed: that of the form, or else of the
// code.
func (c *checking) effective(f *finding.Finding, key string) pattern {
	for _, name := range []string{f.Code + "/" + f.Form, f.Code} {
		if r := c.table.findings[name]; r != nil && r.text(key) != nil {
			return r.text(key)
		}
	}
	return nil
}

// mostWords is how many words a name may have.
const mostWords = 14

func (c *checking) value(name string, v finding.Value) {
	switch v.Kind {
	case finding.KindName:
		if len(strings.Fields(v.Text)) > mostWords || strings.Contains(v.Text, "; ") {
			c.fault("%s: {%s} is a sentence: %q", name, v.Name, v.Text)
		}
	case finding.KindTerm:
		r := c.table.term(v.Text)
		if r == nil {
			c.fault("%s: the vocabulary has no term %q", name, v.Text)
			return
		}
		var used []string
		for _, key := range termKeys {
			used = append(used, r.text(key).names()...)
			for _, n := range r.text(key).needed() {
				if _, ok := v.List.Get(n); !ok {
					c.fault("%s: the term %s names {%s}, which is not passed", name, v.Text, n)
				}
			}
		}
		for _, x := range v.List {
			if !slices.Contains(used, x.Name) {
				c.fault("%s: the term %s does not use {%s}", name, v.Text, x.Name)
			}
			c.value(name+", "+v.Text, x)
		}
	case finding.KindList:
		for _, x := range v.List {
			c.value(name, x)
		}
	}
}

// Codes lists the codes that have words, and for each its forms.
func Codes() map[string][]string {
	out := map[string][]string{}
	for name := range wordings().findings {
		code, form, _ := strings.Cut(name, "/")
		out[code] = append(out[code], form)
	}
	for _, forms := range out {
		slices.Sort(forms)
	}
	return out
}
