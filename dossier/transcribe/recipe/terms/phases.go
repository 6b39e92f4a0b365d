package terms

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/ingredients/pattern"
)

// Heading is what a phase is called.
type Heading struct {
	ID, Name, Heat, Note string
	After                bool // its lines are added on top of 100
	Variant              string
}

var (
	phaseWord  = lexicon.Pattern(`(?i)^<<phase>>\s+([A-Z]\d?|\d{1,2}|[IV]{1,3})\b\s*(.*)$`)
	phaseShort = pattern.New(`^\(?([A-H]\d?|[1-9]|I{1,3}V?)\)?\s*(?:$|[.:)]\s*(.*)$|\s[-–—]\s+(.*)$)`)
	heatIn     = lexicon.Pattern(`(?i)(\d{2,3})(?:\s*-\s*\d{2,3})?\s*(?:°\s*C?|º\s*C?|<<degrees>>\s*C?|C)\b`)
	heatSign   = pattern.New(`(\d{2,3})\s*[°º]`)
	dashes     = strings.NewReplacer("–", "-", "—", "-", "−", "-")
)

// Heats counts the temperatures of a text.
func Heats(s string) int { return len(heatIn().FindAllString(s, -1)) }

// NamedPhase says whether a text begins with a word for a phase and its letter.
func NamedPhase(s string) bool { return phaseWord().MatchString(s) }

// HeatOf finds a temperature in °C in a text.
func HeatOf(s string) string {
	if strings.Contains(s, "°F") || strings.Contains(s, "deg F") {
		return ""
	}
	if m := heatIn().FindStringSubmatch(s); m != nil {
		return m[1]
	}
	if m := heatSign.FindStringSubmatch(s); m != nil {
		return m[1]
	}
	return ""
}

// PhaseOf reads the heading of a phase.
func (d *Terms) PhaseOf(text string) (h Heading, ok bool) {
	if len(text) > 200 {
		return h, false
	}
	s := strings.TrimSpace(strings.Trim(dashes.Replace(raw.Clean(text)), "#=*_- "))
	if s == "" || len(strings.Fields(s)) > 9 {
		return h, false
	}
	h.Heat = HeatOf(s)
	h.After = d.Holds("formula after", "after", lexicon.Fold(s))
	if m := phaseWord().FindStringSubmatch(s); m != nil {
		h.ID, h.Name = m[1], nameOfPhase(m[2])
		return h, true
	}
	if m := phaseShort.FindStringSubmatch(s); m != nil {
		h.ID, h.Name = m[1], nameOfPhase(m[2]+m[3])
		return h, h.Name == "" || d.phaseWords(h.Name) || h.Heat != ""
	}
	bare := strings.TrimRight(s, ": ")
	if d.phaseWords(bare) {
		h.ID = headBraces.ReplaceAllString(bare, "")
		h.ID, _, _ = strings.Cut(h.ID, ",")
		h.ID = strings.Trim(h.ID, " :,-")
		if h.ID != bare {
			h.Name = bare
		}
		return h, true
	}
	if h.After && strings.HasSuffix(s, ":") {
		h.ID = bare
		return h, true
	}
	return h, false
}

// phaseWords says whether a text is a phase by its words.
func (d *Terms) phaseWords(s string) bool {
	s = heatIn().ReplaceAllString(WithoutBraces(s), " ")
	f := lexicon.Fold(heatSign.ReplaceAllString(s, " "))
	if f == "" {
		return false
	}
	if d.Is("formula phase", "phase", f) || d.Holds("formula after", "after", f) &&
		len(strings.Fields(f)) <= 6 {
		return true
	}
	words := strings.Fields(f)
	last := words[len(words)-1]
	if len(words) <= 4 && (d.endsPhase(last) || d.Is("formula small", "phase-end", words[0])) {
		return true
	}
	for _, e := range d.Words.Each("formula phase") {
		rest, found := strings.CutPrefix(f, e.Word+" ")
		if found && (d.onlySmall(rest) || d.NamesPhase(e.Word) && IsDigits(rest)) {
			return true
		}
	}
	return false
}

// onlySmall says whether words tell only when and how warm.
func (d *Terms) onlySmall(rest string) bool {
	return !slices.ContainsFunc(strings.Fields(rest), func(w string) bool {
		return !d.Is("formula small",
			"heat", w)
	})
}

// NamesPhase says whether a word can only be a phase, not a material.
func (d *Terms) NamesPhase(folded string) bool {
	return slices.ContainsFunc(strings.Fields(folded), func(w string) bool {
		return d.endsPhase(w) || d.Is("formula small", "phase", w)
	})
}

// endsPhase says whether a word ends like one for a phase: "oil phase", "Wasserphase".
func (d *Terms) endsPhase(word string) bool {
	return slices.ContainsFunc(d.Words.Each("formula small"), func(e lexicon.Entry) bool {
		return e.Key == "phase-end" && strings.HasSuffix(word, e.Word)
	})
}

func nameOfPhase(s string) string { return strings.Trim(raw.OneLine(s), " -:.,") }

// TotalOf says whether a text is the name of a total or sub-total.
func (d *Terms) TotalOf(text string) bool {
	f := lexicon.Fold(WithoutBraces(raw.Clean(text)))
	if f == "" {
		return false
	}
	if d.Is("formula total", "total", f) {
		return true
	}
	for _, e := range d.Words.Each("formula total") {
		if d.Is("formula small", "all", e.Word) {
			continue
		}
		rest, front := strings.CutPrefix(f, e.Word+" ")
		if front && d.Starts("formula small", "without", rest) {
			return true // "sum without the scent"
		}
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

// TotalNamed says whether a text begins with a word for a total and names by one or two more what
// is summed: "Total oils". A figure must bear it out.
func (d *Terms) TotalNamed(text string) bool {
	f := lexicon.Fold(WithoutBraces(raw.Clean(text)))
	if n := len(strings.Fields(f)); n < 2 || n > 3 || strings.ContainsAny(f, "0123456789") {
		return false
	}
	return slices.ContainsFunc(d.Words.Each("formula total"), func(e lexicon.Entry) bool {
		return !d.Is("formula small", "all", e.Word) && strings.HasPrefix(f, e.Word+" ")
	})
}

// partWords says whether words only name a part of the formula.
func (d *Terms) partWords(rest string) bool {
	if d.Is("formula phase", "phase", rest) {
		return true
	}
	for _, w := range strings.Fields(rest) {
		if !d.Is("formula small", "part", w) && len(w) > 1 && strings.Trim(w, "0123456789") != "" {
			return false
		}
	}
	return true
}

// PhaseFrom makes a phase of its heading and its lines.
func PhaseFrom(h Heading, lines []formulation.Line) formulation.Phase {
	p := formulation.Phase{ID: h.ID, HeatC: h.Heat, Note: h.Note, Lines: lines}
	if h.Name != "" {
		p.Name = formulation.Value(h.Name)
	}
	if p.ID == "" {
		p.ID = "A"
	}
	return p
}
