package recipe

import (
	"regexp"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
)

// heading is what a phase is called.
type heading struct {
	id, name, heat, note string
	after                bool // its lines are added on top of 100
	variant              string
}

var (
	phaseWord  = regexp.MustCompile(`(?i)^(?:phase|teil|fase|part|partie|parte|deel|stage)\s+([A-Z]\d?|\d{1,2}|[IV]{1,3})\b\s*(.*)$`)
	phaseShort = regexp.MustCompile(`^\(?([A-H]\d?|[1-9]|I{1,3}V?)\)?\s*(?:$|[.:)]\s*(.*)$|\s[-–—]\s+(.*)$)`)
	heatIn     = regexp.MustCompile(`(?i)(\d{2,3})(?:\s*-\s*\d{2,3})?\s*(?:°\s*C?|º\s*C?|deg\.?\s*C?|degrees|grad|C)\b`)
	heatSign   = regexp.MustCompile(`(\d{2,3})\s*[°º]`)
	dashes     = strings.NewReplacer("–", "-", "—", "-", "−", "-")
)

// heatOf finds a temperature in °C in a text.
func heatOf(s string) string {
	if strings.Contains(s, "°F") || strings.Contains(s, "deg F") {
		return ""
	}
	if m := heatIn.FindStringSubmatch(s); m != nil {
		return m[1]
	}
	if m := heatSign.FindStringSubmatch(s); m != nil {
		return m[1]
	}
	return ""
}

// phaseOf reads the heading of a phase.
func (d *doc) phaseOf(text string) (h heading, ok bool) {
	if len(text) > 200 {
		return h, false
	}
	s := strings.TrimSpace(strings.Trim(dashes.Replace(clean(text)), "#=*_- "))
	if s == "" || len(strings.Fields(s)) > 9 {
		return h, false
	}
	h.heat = heatOf(s)
	h.after = d.holds("formula after", "after", lexicon.Fold(s))
	if m := phaseWord.FindStringSubmatch(s); m != nil {
		h.id, h.name = m[1], nameOfPhase(m[2])
		return h, true
	}
	if m := phaseShort.FindStringSubmatch(s); m != nil {
		h.id, h.name = m[1], nameOfPhase(m[2]+m[3])
		return h, h.name == "" || d.phaseWords(h.name) || h.heat != ""
	}
	bare := strings.TrimRight(s, ": ")
	if d.phaseWords(bare) {
		h.id = headBraces.ReplaceAllString(bare, "")
		h.id, _, _ = strings.Cut(h.id, ",")
		h.id = strings.Trim(h.id, " :,-")
		if h.id != bare {
			h.name = bare
		}
		return h, true
	}
	if h.after && strings.HasSuffix(s, ":") {
		h.id = bare
		return h, true
	}
	return h, false
}

// phaseWords says whether a text is a phase by its words.
func (d *doc) phaseWords(s string) bool {
	s = heatIn.ReplaceAllString(headBraces.ReplaceAllString(s, " "), " ")
	f := lexicon.Fold(heatSign.ReplaceAllString(s, " "))
	if f == "" {
		return false
	}
	if d.is("formula phase", "phase", f) || d.holds("formula after", "after", f) && len(strings.Fields(f)) <= 6 {
		return true
	}
	words := strings.Fields(f)
	last := words[len(words)-1]
	if len(words) <= 4 && (last == "phase" || last == "fase" || strings.HasSuffix(last, "phase") ||
		strings.HasSuffix(last, "fase") || words[0] == "phase" || words[0] == "fase") {
		return true
	}
	for _, e := range d.words.Each("formula phase") {
		rest, found := strings.CutPrefix(f, e.Word+" ")
		if found && (onlySmall(rest) || namesPhase(e.Word) && digitsOnly.MatchString(rest)) {
			return true
		}
	}
	return false
}

// onlySmall says whether words tell only when and how warm.
func onlySmall(rest string) bool {
	for _, w := range strings.Fields(rest) {
		switch w {
		case "at", "below", "under", "to", "c", "deg", "heat", "heated", "add", "bei", "unter", "a",
			"sous", "sotto", "bajo", "onder", "cold", "warm", "hot", "part", "the", "only", "mix", "together":
		default:
			return false
		}
	}
	return true
}

// namesPhase says whether a word can only be a phase, not a material.
func namesPhase(folded string) bool {
	for _, w := range strings.Fields(folded) {
		if strings.HasSuffix(w, "phase") || strings.HasSuffix(w, "fase") || w == "part" || w == "teil" ||
			w == "stage" || w == "partie" || w == "parte" || w == "deel" {
			return true
		}
	}
	return false
}

func nameOfPhase(s string) string { return strings.Trim(oneLine(s), " -:.,") }

// totalOf says whether a text is the name of a total or sub-total.
func (d *doc) totalOf(text string) bool {
	f := lexicon.Fold(headBraces.ReplaceAllString(clean(text), " "))
	if f == "" {
		return false
	}
	if d.is("formula total", "total", f) {
		return true
	}
	for _, e := range d.words.Each("formula total") {
		if e.Word == "all" {
			continue
		}
		rest, front := strings.CutPrefix(f, e.Word+" ")
		if !front {
			var back bool
			if rest, back = strings.CutSuffix(f, " "+e.Word); !back {
				continue
			}
		}
		if d.partWords(rest) {
			return true
		}
	}
	return false
}

// partWords says whether words only name a part of the formula.
func (d *doc) partWords(rest string) bool {
	if d.is("formula phase", "phase", rest) {
		return true
	}
	for _, w := range strings.Fields(rest) {
		switch w {
		case "phase", "fase", "oils", "oil", "batch", "g", "gram", "grams", "weight", "of", "the", "all",
			"ingredients", "percent", "lye", "water", "amount", "mass", "formula", "recipe", "and",
			"parts", "base", "per", "for", "check", "waxes", "butters", "kg", "should", "be", "must",
			"teil", "gewicht", "poids", "peso", "gewicht g", "in", "phases", "solids", "fats":
		default:
			if len(w) > 1 && strings.Trim(w, "0123456789") != "" {
				return false
			}
		}
	}
	return true
}
