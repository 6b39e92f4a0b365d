package exact

import (
	"fmt"
	"strings"

	"gallipot/ingredients/pattern"
)

// asked are the ways to write a number or an amount that can mean two things, or that
// hold a slip: they are never read, the writer is asked. Each looks at the text in
// lower case with single spaces; what and fix get the text that it found.
//
// Source: ISO 80000-1:2022, 7.3 (the decimal sign is a comma or a point, and digits are
// grouped by spaces alone); that papers group by points, commas and apostrophes is
// common practice, no source.
var asked = []struct {
	name string
	form *pattern.Pattern
	what string
	fix  func(found string) string
}{
	{"point for thousands, comma for decimals", number(`[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+`),
		"has points and a comma", func(s string) string {
			return "write " + commaPoint.Replace(strings.ReplaceAll(s, ".", ""))
		}},
	{"comma for thousands, point for decimals", number(`[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+`),
		"has commas and a point", func(s string) string {
			return "write " + strings.ReplaceAll(s, ",", "")
		}},
	{"both separators, no thousands",
		number(`[0-9]+(?:\.[0-9]+)+,[0-9.,]*[0-9]|[0-9]+(?:,[0-9]+)+\.[0-9.,]*[0-9]`),
		"has a point and a comma", func(string) string {
			return "write one point, in front of the decimals, and nothing between thousands"
		}},
	{"one separator twice", number(`[0-9]{1,3}(?:\.[0-9]{3}){2,}|[0-9]{1,3}(?:,[0-9]{3}){2,}`),
		"parts thousands", func(s string) string {
			return "write " + noParts.Replace(s)
		}},
	{"thousands parted by a space or an apostrophe", number(`[0-9]{1,3}(?:[ '’][0-9]{3})+(?:[.,][0-9]+)?`),
		"parts thousands", func(s string) string {
			return "write " + commaPoint.Replace(noSpace.Replace(s))
		}},
	{"three digits behind a point, in ppm",
		number(`[1-9][0-9]{0,2}\.[0-9]{3}(?: ?(?:-|to) ?<?=? ?[0-9.]+)? ?(?:ppm|mg/kg)`),
		"can part decimals or thousands by its point", pointOrThousands},
	{"three digits behind a point, in ppm, at the upper end",
		number(`(?:-|to) ?<?=? ?[1-9][0-9]{0,2}\.[0-9]{3} ?(?:ppm|mg/kg)`),
		"can part decimals or thousands by its point", pointOrThousands},
	{"unit twice", pattern.New(`(%|ppm|mg/kg)(?: ?(%|ppm|mg/kg))+`), "has a unit twice",
		func(s string) string {
			first := unitOnce.FindString(s)
			if strings.Trim(strings.ReplaceAll(s, first, ""), " ") == "" {
				return "write " + first + " once"
			}
			return "keep the unit that the paper means"
		}},
}

// number makes a form that begins and ends where a number does.
func number(form string) *pattern.Pattern {
	return pattern.New(`(?:^|[^0-9.,])(` + form + `)(?:$|[^0-9.,])`)
}

var (
	commaPoint = strings.NewReplacer(",", ".")
	noParts    = strings.NewReplacer(".", "", ",", "")
	noSpace    = strings.NewReplacer(" ", "", "'", "", "’", "")
	unitOnce   = pattern.New(`%|ppm|mg/kg`)
	threeBack  = pattern.New(`([1-9][0-9]{0,2})\.([0-9]{3})`)
)

// pointOrThousands offers both readings of 1.250 ppm: 1.25 ppm and 1250 ppm.
func pointOrThousands(s string) string {
	asPoint := threeBack.ReplaceAllStringFunc(s, func(n string) string {
		n = strings.TrimRight(n, "0")
		return strings.TrimSuffix(n, ".")
	})
	asThousands := threeBack.ReplaceAllString(s, "$1$2")
	trim := func(t string) string { return strings.TrimSpace(strings.TrimLeft(t, "-to ")) }
	return fmt.Sprintf("write %q or %q, whichever the paper means", trim(asPoint), trim(asThousands))
}

// AskedAbout says why a text is not read as a number or an amount though it looks like one;
// nil where nothing is to be asked.
func AskedAbout(text string) error {
	s := evenSigns.Replace(strings.ToLower(strings.Join(strings.Fields(text), " ")))
	for _, a := range asked {
		m := a.form.FindStringSubmatch(s)
		if m == nil {
			continue
		}
		found := m[0]
		if a.name != "unit twice" {
			found = m[1]
		}
		return &ValueError{What: fmt.Sprintf("%q %s", text, a.what), Fix: a.fix(found)}
	}
	return nil
}
