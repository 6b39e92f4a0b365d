package columns

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/terms"
	"gallipot/ingredients/pattern"
)

// Finder finds tables and says what their columns hold.
type Finder struct{ *terms.Terms }

// Role is what a column holds.
type Role string

// The roles of columns.
const (
	Unknown  Role = ""
	IsPhase  Role = "phase"
	IsName   Role = "name"
	IsINCI   Role = "inci"
	IsAmount Role = "amount"
	IsUnit   Role = "unit"
	IsNote   Role = "note"
	IsHeat   Role = "temperature"
	IsOther  Role = "other"
)

// Column is a column of a table.
type Column struct {
	Col     int
	Role    Role
	Head    string
	Unit    string // of an amount: %, g, parts, drops …; empty: none named
	Batch   string // "250 g": what the column's amounts are for
	Share   bool   // per cent of something else than the product
	Version string // old, current, trial, or the number of a version
	Hidden  bool
	X0, X1  float64
	Ref     string
	Also    []int // further columns under a merged head
}

func (c Column) holdsAmounts() bool { return c.Role == IsAmount }

var (
	batchHead = lexicon.Pattern(`(?i)^(?:<<batch for>>)?\s*(?:<<one>> )?([\d.,]+)\s*` +
		`(<<gram>>|<<kilo>>|ml|<<litre>>)?(?:\s*<<batch word>>)?$`)
	unitBatch = pattern.New(`(?i)([\d.,]+)\s*(g|kg|ml|l)\b`)
	oneNumber = pattern.New(`^\d+(?:[.,]\d+)?$|^\d{1,3}(?:[.,]\d{3})+(?:[.,]\d+)?$`) // no "24.11.25"
	money     = pattern.New(`[£$€]`)
	sequence  = pattern.New(`(?i)^(#|no\.?|nr\.?|n°)$`)
)

// HeadOf reads the head of a column.
func (d *Finder) HeadOf(text string) Column {
	c := Column{Head: raw.OneLine(text)}
	bare := lexicon.Fold(terms.WithoutBraces(text))
	folded := lexicon.Fold(text)
	if sequence.MatchString(c.Head) {
		c.Role = IsOther
		return c
	}
	c.Version = d.VersionOf(text)
	if money.MatchString(text) || d.Holds("formula headword", "money", folded) {
		c.Role = IsOther
		return c
	}
	for _, w := range []string{folded, bare} {
		for _, key := range []Role{IsPhase, IsName, IsINCI, IsUnit, IsNote, IsHeat, IsOther} {
			if w == "" || !d.Is("formula head", string(key), w) {
				continue
			}
			if key == IsOther && d.isAmountHead(text, bare) {
				continue
			}
			c.Role = key
			return c
		}
	}
	if c.isBatch(text) {
		return c
	}
	if d.Holds("formula headword", "bound", folded) {
		c.Role = IsOther
		return c
	}
	switch {
	case strings.Contains(text, "%") || d.Is("formula head", "percent", bare) ||
		d.Is("formula head", "percent", folded) || d.Holds("formula small", "percent", folded):
		c.Role, c.Unit = IsAmount, "%"
		c.Share = d.Holds("formula headword", "share", folded)
	case d.Is("formula head", "drops", bare) || d.startsHead("drops", folded):
		c.Role, c.Unit = IsAmount, "drops"
	case d.Is("formula head", "parts", bare) || d.startsHead("parts", folded):
		c.Role, c.Unit = IsAmount, "parts"
	case d.Is("formula head", "amount", bare) || d.Is("formula head", "amount", folded):
		c.Role, c.Unit = IsAmount, d.Dose.UnitIn(text)
	default:
		if u := d.Dose.UnitIn(text); u != "" && len(strings.Fields(text)) <= 5 {
			c.Role, c.Unit = IsAmount, u
		} else if d.startsHead("amount", folded) && len(strings.Fields(folded)) <= 4 {
			c.Role = IsAmount
		}
	}
	if c.Role == IsAmount {
		if m := unitBatch.FindStringSubmatch(text); m != nil {
			c.Batch = m[1] + " " + strings.ToLower(m[2])
		}
	}
	return c
}

// isBatch reads a head that is the size of a batch: "250", "for 800 g".
func (c *Column) isBatch(text string) bool {
	m := batchHead().FindStringSubmatch(strings.TrimSpace(text))
	if m == nil || m[1] == "" || !oneNumber.MatchString(m[1]) {
		return false
	}
	c.Role, c.Batch = IsAmount, m[1]
	switch u := strings.ToLower(m[2]); {
	case u == "":
	case strings.HasPrefix(u, "k"):
		c.Batch += " kg"
	case u == "ml" || strings.HasPrefix(u, "l"):
		c.Batch += " " + u
	default:
		c.Batch += " g"
		c.Unit = "g"
	}
	return true
}

// isAmountHead says whether a head that could be something else is one of an
// amount by its unit: "Level (%)".
func (d *Finder) isAmountHead(text, bare string) bool {
	return d.Is("formula head", "amount", bare) || d.Is("formula head", "percent", bare)
}

func (d *Finder) startsHead(key, folded string) bool {
	for _, e := range d.Words.Each("formula head") {
		if e.Key == key && (strings.HasPrefix(folded, e.Word+" ") || strings.HasSuffix(folded, " "+e.Word)) {
			return true
		}
	}
	return false
}

// HeadBase is what a head of amounts says beside its unit and batch: the name of a
// variant.
func (d *Finder) HeadBase(head string) string {
	if batchHead().MatchString(strings.TrimSpace(head)) {
		return ""
	}
	var kept []string
	for _, w := range strings.Fields(unitBatch.ReplaceAllString(terms.WithoutBraces(head), " ")) {
		f := lexicon.Fold(w)
		if f == "" || d.Dose.UnitOf(w) != "" || d.Is("formula head", "amount", f) ||
			d.Is("formula head", "percent", f) || d.Is("formula fill", "to", f) ||
			d.Is("formula small", "head", f) ||
			terms.IsDigits(f) {
			continue
		}
		kept = append(kept, strings.Trim(w, ",:;-"))
	}
	return strings.Join(kept, " ")
}
