package recipe

import (
	"regexp"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
)

// role is what a column holds.
type role string

const (
	unknown  role = ""
	isPhase  role = "phase"
	isName   role = "name"
	isINCI   role = "inci"
	isAmount role = "amount"
	isUnit   role = "unit"
	isNote   role = "note"
	isHeat   role = "temperature"
	isOther  role = "other"
)

// column is a column of a table.
type column struct {
	col     int
	role    role
	head    string
	unit    string // of an amount: %, g, parts, drops …; empty: none named
	batch   string // "250 g": what the column's amounts are for
	share   bool   // per cent of something else than the product
	version string // old, current, trial, or the number of a version
	hidden  bool
	x0, x1  float64
	ref     string
	also    []int // further columns under a merged head
}

func (c column) holdsAmounts() bool { return c.role == isAmount }

var (
	batchHead  = regexp.MustCompile(`(?i)^(?:for|per|batch|batch of|in|g for|g per|je|für|fur|pour|per|voor|amount for|g in|weight for|grams for|ansatz|charge|lot de)?\s*(?:a |one )?([\d.,]+)\s*(g|gr|grams?|kg|ml|l|litres?|kilo)?(?:\s*(?:batch|lot|ansatz|bottle|jar|size))?$`)
	unitBatch  = regexp.MustCompile(`(?i)([\d.,]+)\s*(g|kg|ml|l)\b`)
	money      = regexp.MustCompile(`[£$€]`)
	versionNo  = regexp.MustCompile(`(?i)(?:^|[\s(_,-])(?:v|ver\.?|vers\.?|version|versione|versie|rev\.?|revision|fassung|issue)[ .]?(\d+(?:\.\d+)*)(?:$|[\s),:;_-])`)
	headBraces = regexp.MustCompile(`[(\[][^)\]]*[)\]]`)
	sequence   = regexp.MustCompile(`(?i)^(#|no\.?|nr\.?|n°)$`)
)

// headOf reads the head of a column.
func (d *doc) headOf(text string) column {
	c := column{head: oneLine(text)}
	bare := lexicon.Fold(headBraces.ReplaceAllString(text, " "))
	folded := lexicon.Fold(text)
	if sequence.MatchString(c.head) {
		c.role = isOther
		return c
	}
	c.version = d.versionOf(text)
	if money.MatchString(text) || d.holds("formula headword", "money", folded) {
		c.role = isOther
		return c
	}
	for _, w := range []string{folded, bare} {
		for _, key := range []role{isPhase, isName, isINCI, isUnit, isNote, isHeat, isOther} {
			if w == "" || !d.is("formula head", string(key), w) {
				continue
			}
			if key == isOther && d.isAmountHead(text, bare) {
				continue
			}
			c.role = key
			return c
		}
	}
	if c.isBatch(text) {
		return c
	}
	if d.holds("formula headword", "bound", folded) {
		c.role = isOther
		return c
	}
	switch {
	case strings.Contains(text, "%") || d.is("formula head", "percent", bare) ||
		d.is("formula head", "percent", folded) || d.holdsUnit(folded, "percent"):
		c.role, c.unit = isAmount, "%"
		c.share = d.holds("formula headword", "share", folded)
	case d.is("formula head", "drops", bare) || strings.HasPrefix(folded, "drops") ||
		d.startsHead("drops", folded):
		c.role, c.unit = isAmount, "drops"
	case d.is("formula head", "parts", bare) || d.startsHead("parts", folded):
		c.role, c.unit = isAmount, "parts"
	case d.is("formula head", "amount", bare) || d.is("formula head", "amount", folded):
		c.role, c.unit = isAmount, d.dose.UnitIn(text)
	default:
		if u := d.dose.UnitIn(text); u != "" && len(strings.Fields(text)) <= 5 {
			c.role, c.unit = isAmount, u
		} else if d.startsHead("amount", folded) && len(strings.Fields(folded)) <= 4 {
			c.role = isAmount
		}
	}
	if c.role == isAmount {
		if m := unitBatch.FindStringSubmatch(text); m != nil {
			c.batch = m[1] + " " + strings.ToLower(m[2])
		}
	}
	return c
}

// isBatch reads a head that is the size of a batch: "250", "for 800 g".
func (c *column) isBatch(text string) bool {
	m := batchHead.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil || m[1] == "" {
		return false
	}
	c.role, c.batch = isAmount, m[1]
	switch u := strings.ToLower(m[2]); {
	case u == "":
	case strings.HasPrefix(u, "k"):
		c.batch += " kg"
	case u == "ml" || strings.HasPrefix(u, "l"):
		c.batch += " " + u
	default:
		c.batch += " g"
		c.unit = "g"
	}
	return true
}

// isAmountHead says whether a head that could be something else is one of an
// amount by its unit: "Level (%)".
func (d *doc) isAmountHead(text, bare string) bool {
	return d.is("formula head", "amount", bare) || d.is("formula head", "percent", bare)
}

func (d *doc) startsHead(key, folded string) bool {
	for _, e := range d.words.Each("formula head") {
		if e.Key == key && (strings.HasPrefix(folded, e.Word+" ") || strings.HasSuffix(folded, " "+e.Word)) {
			return true
		}
	}
	return false
}

func (d *doc) holdsUnit(folded, word string) bool {
	return strings.Contains(" "+folded+" ", " "+word+" ")
}

// versionOf says whether a text is about an old, the current, a trial or a
// numbered version.
func (d *doc) versionOf(text string) string {
	folded := lexicon.Fold(text)
	switch {
	case d.holds("formula version", "old", folded):
		return "old"
	case d.holds("formula version", "current", folded):
		return "current"
	}
	if m := versionNo.FindStringSubmatch(text); m != nil {
		return m[1]
	}
	if d.starts("formula version", "trial", folded) {
		return "trial"
	}
	return ""
}

// is says whether a folded text is a word of a subject with a key.
func (d *doc) is(subject, key, folded string) bool { return d.words.Is(subject, key, folded) }

// holds says whether a word of a subject with a key stands in a folded text.
func (d *doc) holds(subject, key, folded string) bool { return d.words.Holds(subject, key, folded) }

// starts says whether a folded text begins with a word of a subject with a key.
func (d *doc) starts(subject, key, folded string) bool { return d.words.Starts(subject, key, folded) }
