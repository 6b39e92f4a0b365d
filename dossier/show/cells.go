package show

import (
	"strings"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

func SubstanceName(s *formula.Substance) string {
	name := s.INCI
	if s.Undeclared {
		name = words.UpperFirst(name)
	}
	if s.Nano {
		name += " (nano)"
	}
	return name
}

func PlaceCell(p exact.Pos) document.Cell {
	if p.IsZero() {
		return document.BlankCell()
	}
	return document.TextCell(p.File + ":" + words.Itoa(p.Line))
}

// ExposureDigits is how many significant digits exposure figures are printed
// with: more than they carry, so that a reader can recalculate.
const ExposureDigits = 4

func MarginVerdict(verdict exposure.MarginVerdict) document.Cell {
	return document.VerdictCell(MarginState(verdict), string(verdict))
}

func MarginState(verdict exposure.MarginVerdict) document.Verdict {
	switch verdict {
	case exposure.MarginReached:
		return document.VerdictMet
	case exposure.MarginBelow:
		return document.VerdictFail
	}
	return document.VerdictOpen
}

// InVariant is a value with the variant it was found in.
type InVariant[T any] struct {
	Value   T
	Variant string // with the markets that have it, where not all do
	markets []string
}

// WorstOver takes each thing once over the shown variants and markets, from the
// variant that holds most of it, in the order of first appearance. A market can
// know things that the others do not: names of allergens, rows of a list.
func WorstOver[T any](v *View, list func(*calc.Result) []T, key func(T) string,
	content func(T) exact.Num) []InVariant[T] {
	var out []InVariant[T]
	at := map[string]int{}
	for _, x := range v.Variants {
		for _, r := range v.A.ByVariant(x.ID) {
			for _, value := range list(r) {
				k := key(value)
				i, known := at[k]
				switch {
				case !known:
					i, at[k] = len(out), len(out)
					out = append(out, InVariant[T]{Value: value, Variant: ShortName(x)})
				case content(out[i].Value).Less(content(value)):
					out[i].Value, out[i].Variant = value, ShortName(x)
				}
				out[i].markets = words.AddOnce(out[i].markets, string(r.Input.Market))
			}
		}
	}
	for i := range out {
		if len(out[i].markets) < len(v.A.Markets) {
			out[i].Variant += " (" + strings.Join(out[i].markets, ", ") + ")"
		}
	}
	return out
}

func LimitVerdict(verdict limits.LimitVerdict) document.Cell {
	state := document.VerdictMet
	switch verdict {
	case limits.LimitExceeded:
		state = document.VerdictFail
	case limits.LimitUndecided:
		state = document.VerdictOpen
	case limits.LimitNotApplicable, limits.LimitNoFigure:
		state = document.VerdictNone
	}
	return document.VerdictCell(state, string(verdict))
}

func AnchorOf(x *formula.Variant) string {
	if x.ID == "" {
		return "product"
	}
	return x.ID
}

// UnstatedNames says which names of a market's list no paper speaks of.
func UnstatedNames(r *calc.Result) []document.Block {
	var names, by []string
	for _, a := range r.Allergens {
		if a.Verdict == listing.Unstated && a.Worst.IsZero() {
			names = append(names, a.LabelName)
			for _, id := range a.Uncovered {
				by = words.AddOnce(by, id)
			}
		}
	}
	if len(names) == 0 {
		return nil
	}
	text := words.Count(len(names), "name", "names") + " of the " + string(r.Input.Market) +
		" list: the totals are unknown, not zero, until " + strings.Join(by, " and ") +
		" is declared against the full list: " + strings.Join(names, ", ") + "."
	return []document.Block{&document.Callout{Kind: document.CalloutNote, Title: "Not stated by a supplier",
		Body: []*document.Paragraph{document.Para(text)}}}
}

func AllergenVerdict(a listing.AllergenTotal) document.Cell {
	switch a.Verdict {
	case listing.Declare:
		return document.VerdictCell(document.VerdictMet, "declare")
	case listing.Open:
		return document.VerdictCell(document.VerdictOpen, "declare (range straddles the threshold)")
	case listing.Unstated:
		return document.VerdictCell(document.VerdictOpen, "not stated by "+strings.Join(a.Uncovered, ", "))
	}
	return document.VerdictCell(document.VerdictMet, "below")
}

func WholeOr(portion string) string {
	if portion == "" {
		return "whole product"
	}
	return portion
}

func TextOr(s string) document.Cell {
	if s == "" {
		return document.MissingCell("not stated")
	}
	return document.TextCell(s)
}

func PartyCell(tables *table.Tables, p workshop.Party) document.Cell {
	if p.Name == "" {
		return document.MissingCell("not stated")
	}
	lines := append([]string{p.Name}, p.Address...)
	if p.Country != "" {
		lines = append(lines, CountryNamed(tables, p.Country))
	}
	return document.TextCell(strings.Join(lines, "\n"))
}

// NumRangeCell prints an amount that is no content, such as a pH, as it was
// typed.
func NumRangeCell(a exact.Amount) document.Cell {
	return document.TextCell(strings.ReplaceAll(a.Text, "-", "–"))
}

func ExactOrBlank(n *exact.Num) document.Cell {
	if n == nil {
		return document.BlankCell()
	}
	return document.NumCell(*n, document.RuleExact)
}

// CountryNamed is the country of an address in words, or its code where the table
// has none.
func CountryNamed(tables *table.Tables, code string) string {
	if c, ok := law.Country(tables, code); ok {
		return CountryWords(c)
	}
	return code
}

// CountryWords is a country as forms and addresses have it.
func CountryWords(c *duties.Country) string {
	return words.UpperFirst(strings.TrimPrefix(c.Name, "the "))
}
