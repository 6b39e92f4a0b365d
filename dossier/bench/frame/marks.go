package frame

import (
	"fmt"
	"html/template"
	"strings"
	"time"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// KindOf returns the kind of mark of a finding.
func KindOf(f finding.Finding) string {
	switch f.Severity {
	case finding.Stop:
		return "stop"
	case finding.Ask:
		return "ask"
	case finding.Decided:
		return "done"
	}
	return "note"
}

// shapes are the pictures beside the words.
var shapes = map[string]string{
	"stop": `<rect x="1" y="1" width="12" height="12"/>`,
	"ask":  `<path d="M7 2 13 12.5H1Z"/>`,
	"note": `<circle cx="7" cy="7" r="5"/>`,
	"ok":   `<path d="M2 7.5 5.5 11 12 3.5"/>`,
	"done": `<path d="M7 1.5 12.5 7 7 12.5 1.5 7Z"/>`,
	"undo": `<path d="M5 2 1.5 5.5 5 9M1.5 5.5H9a4 4 0 0 1 0 7H6"/>`,
	"redo": `<path d="M9 2l3.5 3.5L9 9M12.5 5.5H5a4 4 0 0 0 0 7h3"/>`,
	"up":   `<path d="M7 12V2M2.5 6.5 7 2l4.5 4.5"/>`,
	"down": `<path d="M7 2v10M2.5 7.5 7 12l4.5-4.5"/>`,
}

func shape(kind string) template.HTML {
	return template.HTML(`<svg class="shape" viewBox="0 0 14 14" aria-hidden="true">` + shapes[kind] +
		`</svg>`) // our own
}

// mark returns a shape with its word; an empty word is that of the kind.
func mark(kind, word string) template.HTML {
	if word == "" {
		word = map[string]string{"stop": "Stop", "ask": "Ask", "note": "Note", "ok": "Kept",
			"done": "Decided"}[kind]
	}
	return template.HTML(`<span class="mark ` + kind + `">` + string(shape(kind)) +
		template.HTMLEscapeString(word) + `</span>`)
}

// sign is a mark whose word is heard and not seen.
func sign(kind, word string) template.HTML {
	return template.HTML(`<span class="sign ` + kind + `">` + string(shape(kind)) + `<span class="heard">` +
		template.HTMLEscapeString(word) + `</span></span>`)
}

func counts(c finding.Counts) template.HTML {
	var b strings.Builder
	b.WriteString(`<span class="counts">`)
	for _, k := range []struct {
		kind string
		n    int
	}{{"stop", c.Stop}, {"ask", c.Ask}, {"note", c.Note}, {"done", c.Decided}} {
		if k.n > 0 {
			word := k.kind
			if word == "done" {
				word = "decided"
			}
			b.WriteString(string(mark(k.kind, fmt.Sprintf("%d %s", k.n, word))))
		}
	}
	if c == (finding.Counts{}) {
		b.WriteString(string(mark("ok", "nothing open")))
	}
	b.WriteString(`</span>`)
	return template.HTML(b.String()) // of parts that are escaped
}

// figure sets a decimal number so that points stand below each other: the fraction stands
// in a box of so many figures.
func figure(text string, decimals int) template.HTML {
	whole, fraction, ok := strings.Cut(text, ".")
	if ok {
		fraction = "." + fraction
	}
	return template.HTML(fmt.Sprintf(`<span class="fig f%d">%s<span>%s</span></span>`, decimals,
		template.HTMLEscapeString(whole), template.HTMLEscapeString(fraction)))
}

// Day returns a date as a person writes it: 29 November 2026.
func Day(d exact.Date) string {
	t, err := time.Parse(time.DateOnly, d.String())
	if err != nil {
		return d.String()
	}
	return t.Format("2 January 2006")
}

// ShortDay returns a date for a narrow column: 29 Nov 2026.
func ShortDay(d exact.Date) string {
	t, err := time.Parse(time.DateOnly, d.String())
	if err != nil {
		return d.String()
	}
	return t.Format("2 Jan 2006")
}

func funcs() template.FuncMap {
	return template.FuncMap{
		"mark": mark, "sign": sign, "counts": counts, "shape": shape, "figure": figure,
		"day": Day, "shortday": ShortDay, "sentence": sentence, "kind": KindOf,
		"join": func(list []string, sep string) string { return strings.Join(list, sep) },
		"add":  func(a, b int) int { return a + b },
		"dict": dict,
		"plural": func(n int) string {
			if n == 1 {
				return ""
			}
			return "s"
		},
	}
}

// dict makes a map of names and values, for a template that hands several on.
func dict(pairs ...any) (map[string]any, error) {
	m := map[string]any{}
	for i := 0; i+1 < len(pairs); i += 2 {
		k, ok := pairs[i].(string)
		if !ok {
			return nil, fmt.Errorf("dict: %v is no name", pairs[i])
		}
		m[k] = pairs[i+1]
	}
	return m, nil
}

// CountsHTML returns counts as marks.
func CountsHTML(c finding.Counts) template.HTML { return counts(c) }
