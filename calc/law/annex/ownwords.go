package annex

import (
	"slices"
	"strings"

	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/ingredients/pattern"
)

// earlierColumns are those that a maker's table always had; laterColumns came
// afterwards, and what they say stood in the words of a row.
var (
	earlierColumns = []string{
		"key", "annex", "entry", "market", "inci_names", "cas", "ec", "condition", "max_pct", "basis",
		"sum_group", "sum_rule",
		"required_label_text", "colorant_field", "applies_from", "applies_until", "source", "seen", "note",
	}
	laterColumns = slices.DeleteFunc(LimitColumns.All(),
		func(c string) bool { return slices.Contains(earlierColumns, c) })
)

// fillFromWords fills the columns that a maker's table lacks from the words of a
// row, and returns those that came from its note, in the order of the columns.
//
// Decision of 2026-11-29: a rule that a maker's note steered until the columns
// came must not be lost without a word; it is taken over and asked about.
func fillFromWords(r *rows.Record) (fromNote []string) {
	noted := wordsOfNote(r.Text("note"), r.Text("annex"), r.Text("required_label_text") != "")
	other := map[string]string{}
	wordsOfNames(other, r.List("inci_names"))
	wordsOfBasis(other, r.Text("basis"))
	wordsOfSum(other, r.Text("sum_rule"))
	r.Filled = map[string]string{}
	lacks := func(col string) bool { _, there := r.Table.Col[col]; return !there }
	for _, col := range laterColumns {
		switch {
		case !lacks(col):
		case noted[col] != "":
			r.Filled[col] = noted[col]
			if slices.Contains(LimitColumns.Meaning, col) {
				fromNote = append(fromNote, col)
			}
		case other[col] != "":
			r.Filled[col] = other[col]
		}
	}
	if lacks("factors") && other["factors"] != "" {
		r.Filled["basis"] = other["basis"]
	}
	return fromNote
}

var (
	dateInNote    = pattern.New(`offshelf(?: for [^:;.]*)?: ?(\d{4}-\d\d-\d\d)`)
	euReplaced    = pattern.New(`In EU this row is replaced for placing on the market from (\d{4}-\d\d-\d\d)`)
	entryInNote   = pattern.New(`\b(?:III|IV|V|VI)/\d+`)
	entriesInNote = pattern.New(`\b(II|III|IV|V|VI)/(\d+[a-z]?(?:, \d+[a-z]?)*)`)
	tracesInNote  = pattern.New(`traces: ((?:III|V)/\w+)`)
	unsureInNote  = pattern.New(`^(Draft|Secondary reports only)`)
	labelAbove    = pattern.New(`[Ll]abel (?:only )?above (\d+(?:\.\d+)?) %`)
	labelUpTo     = pattern.New(`[Ll]abel not needed at (\d+(?:\.\d+)?) % or less`)
	labelType     = pattern.New(`[Ll]abel on ([a-z-]+) only`)
	labelYoung    = pattern.New(`label text goes on (leave-on|rinse-off) products designed for children under 3`)
	labelWord     = pattern.New(`(?i)\blabel\b`)
)

// wordsOfNote reads what a note says that has columns of its own.
func wordsOfNote(note, annex string, labelled bool) map[string]string {
	out := map[string]string{}
	lower := strings.ToLower(note)
	first := func(col string, form *pattern.Pattern) {
		if m := form.FindStringSubmatch(note); m != nil {
			out[col] = m[1]
		}
	}
	first("off_shelf_until", dateInNote)
	if first("replaced_from", euReplaced); out["replaced_from"] != "" {
		out["replaced_in"] = string(rows.EU)
	}
	first("traces", tracesInNote)
	switch {
	case strings.Contains(lower, "class entry"):
		out["class"] = string(ClassNames)
	case strings.Contains(note, "the entry is by class"):
		out["class"] = string(ClassExamples)
	}
	if _, after, ok := strings.Cut(lower, "except"); ok && annex == "II" {
		out["excepted"] = strings.Join(entryInNote.FindAllString(strings.ToUpper(after), -1), ";")
	}
	if m := unsureInNote.FindString(note); m == "Draft" {
		out["instrument"] = string(InstrumentDraft)
	} else if m != "" {
		out["instrument"] = string(InstrumentSecondary)
	}
	if only, ok := strings.CutPrefix(note, "Only "); ok && annex != "IV" {
		if form, _, ends := strings.Cut(only, "."); ends {
			out["only_form"] = form
		}
	}
	if strings.Contains(note, "as the cautious limit") {
		out["whole"] = "yes"
	}
	exemptInNote(out, note)
	criteriaInNote(out, note)
	if labelled {
		labelInNote(out, note)
	}
	return out
}

// exemptInNote reads what a class entry leaves out.
func exemptInNote(out map[string]string, note string) {
	lets := strings.Contains(note, "xcept") || strings.Contains(note, "Exempt: ") ||
		strings.Contains(note, "Annex IV")
	if out["class"] == "" || !lets {
		return
	}
	var list []string
	for _, m := range entriesInNote.FindAllStringSubmatch(note, -1) {
		for n := range strings.SplitSeq(m[2], ", ") {
			list = append(list, m[1]+"/"+n)
		}
	}
	if strings.Contains(note, "Annex IV") {
		list = append(list, "IV")
	}
	out["exempt"] = strings.Join(list, ";")
	if _, names, ok := strings.Cut(note, "excepted: "); ok {
		var said []string
		for name := range strings.SplitSeq(strings.ReplaceAll(names, "and ", ", "), ",") {
			name, _, _ = strings.Cut(name, " as ")
			if name = strings.Trim(name, " .;,"); name != "" && !strings.ContainsAny(name, "/0123456789") &&
				!strings.Contains(name, "Annex") {
				said = append(said, name)
			}
		}
		out["exempt_names"] = strings.Join(said, ";")
	}
}

var (
	newSentence = pattern.New(`\. [A-Zo]|\) [A-Z]`)
	phInNote    = pattern.New(`^ph ?([<>=0-9.-]+)$`)
)

// criteriaInNote reads the criteria behind "spec:" and the shade behind
// "colour:". A criterion ends at a semicolon; the last one at a full stop or at
// a closing bracket before a new sentence.
func criteriaInNote(out map[string]string, note string) {
	for item := range strings.SplitSeq(note, ";") {
		if c, ok := strings.CutPrefix(strings.TrimSpace(item), "colour:"); ok {
			out["colour"] = c
		}
	}
	_, after, found := strings.Cut(note, "spec:")
	if !found {
		if _, after, found = strings.Cut(note, "spec nano:"); !found {
			return
		}
		out["spec_for"] = "nano"
	}
	var spec []string
	for item := range strings.SplitSeq(after, ";") {
		item = strings.TrimSpace(item)
		if strings.HasPrefix(item, "colour:") || strings.HasPrefix(item, "EU only") ||
			strings.HasSuffix(item, "from memory") {
			continue
		}
		cut, last := sentenceEnd(item)
		if m := phInNote.FindStringSubmatch(cut); m != nil {
			out["ph"] = m[1]
		} else if cut != "" {
			spec = append(spec, cut)
		}
		if last {
			break
		}
	}
	out["spec"] = strings.Join(spec, ";")
}

func sentenceEnd(item string) (string, bool) {
	if i := newSentence.FindStringIndex(item); i != nil {
		return strings.TrimRight(item[:i[0]+1], "."), true
	}
	return strings.TrimSuffix(item, "."), false
}

// labelInNote reads when the wording of a row is due. A note on the label that
// cannot be read leaves it open.
func labelInNote(out map[string]string, note string) {
	for part := range strings.SplitSeq(note, ". ") {
		if labelWord.MatchString(part) && !strings.Contains(strings.ToLower(part), "allergen") {
			out["label_when"] = strings.TrimSuffix(part, ".")
			break
		}
	}
	switch young, kind := labelYoung.FindStringSubmatch(note), labelType.FindStringSubmatch(note); {
	case young != nil:
		out["label_condition"], out["label_alone"] = young[1]+" & population=under-3", "yes"
	case kind != nil && condition.CodeTable()[kind[1]] != nil:
		out["label_condition"] = "product=" + kind[1]
	case labelAbove.MatchString(note):
		out["label_above_pct"] = labelAbove.FindStringSubmatch(note)[1]
	case labelUpTo.MatchString(note):
		out["label_not_up_to_pct"] = labelUpTo.FindStringSubmatch(note)[1]
	case out["label_when"] != "" && !strings.Contains(note, "Labelling trigger"):
		out["label_open"] = "yes"
	}
}

var (
	preparationsName = pattern.New(`(?i)preparations?\b`)
	speciesWord      = pattern.New(`(?i)^(spp\.?|species)$`)
	latinWord        = pattern.New(`^[A-Za-z]+\.?$`)
	compoundsName    = pattern.New(`^([A-Z][a-z]+) (?:and its (?:compounds|salts)|salts)$`)
	containingName   = pattern.New(`^([A-Z][a-z]+)-containing ingredients$`)
)

// elementNames tells the names of elements from those of other substances with
// salts. They are vocabulary, not law.
var elementNames = []string{
	"aluminium", "antimony", "arsenic", "barium", "beryllium", "cadmium", "lead", "mercury", "neodymium",
	"selenium", "tellurium", "thallium", "zirconium",
}

// wordsOfNames reads the plants and elements that names such as "Atropa
// Belladonna and its preparations" and "Lead and its compounds" stand for.
func wordsOfNames(out map[string]string, names []string) {
	var plants, elements []string
	for _, n := range names {
		if p := preparationsOf(n); p != "" && !slices.Contains(plants, p) {
			plants = append(plants, p)
		}
		for _, form := range []*pattern.Pattern{compoundsName, containingName} {
			m := form.FindStringSubmatch(n)
			if m == nil || !slices.Contains(elementNames, strings.ToLower(m[1])) {
				continue
			}
			elements = append(elements, strings.ToLower(m[1]))
			if m[1] == "Aluminium" {
				elements = append(elements, "aluminum")
			}
			if strings.Contains(n, " and its ") {
				out["element_self"] = "yes"
			}
		}
	}
	out["plants"], out["elements"] = strings.Join(plants, ";"), strings.Join(elements, ";")
}

// preparationsOf returns the plant behind a name such as "Atropa Belladonna and
// its preparations": genus and species, or the genus alone before "spp.".
func preparationsOf(name string) string {
	if !preparationsName.MatchString(name) {
		return ""
	}
	words := strings.Fields(strings.NewReplacer("(", " ", ",", " ").Replace(name))
	if len(words) < 2 || !latinWord.MatchString(words[0]) || !latinWord.MatchString(words[1]) {
		return ""
	}
	if speciesWord.MatchString(words[1]) {
		return strings.ToLower(words[0])
	}
	return strings.ToLower(words[0] + " " + words[1])
}

var (
	factorInBasis = pattern.New(`^([^=]+)=(\d+\.\d+)$`)
	formInBasis   = pattern.New(`^(.+?) \((.+)\)$`)
)

// basisWords tell the wordings of a basis apart.
var basisWords = []struct {
	prefix string
	kind   BasisKind
}{
	{"as percentage of the ", BasisShare}, {"as peanut protein", BasisResidue}, {"as released formaldehyde",
		BasisTrigger}, {"as ", BasisSubstance},
	{"secondary amine content", BasisResidue}, {"residual ", BasisResidue}, {"on head after mixing",
		BasisMixture}, {"after mixing for use", BasisMixture},
}

// basisShort are the substances behind formulas in a basis.
var basisShort = map[string]string{
	"h2o2, present or released": "hydrogen peroxide", "nh3": "ammonia", "retinol equivalent": "retinol",
	"agcl": "silver chloride",
	"acid": "*acid", "phenol": "*phenol", "cumin oil": "*",
}

// wordsOfBasis reads "as x; factors: A=0.5, B (form)=0.4". A wording that is not
// understood counts as a residue, which is asked about.
func wordsOfBasis(out map[string]string, cell string) {
	text, factors, ok := strings.Cut(cell, "; factor")
	if text = strings.TrimSpace(text); text == "" {
		return
	}
	out["basis"] = text
	kind := BasisResidue
	if i := slices.IndexFunc(basisWords, func(w struct {
		prefix string
		kind   BasisKind
	}) bool {
		return strings.HasPrefix(text, w.prefix)
	}); i >= 0 {
		kind = basisWords[i].kind
	}
	out["counts"] = string(kind)
	if kind == BasisSubstance {
		of, _, _ := strings.Cut(strings.ToLower(strings.TrimPrefix(text, "as ")), " (")
		switch {
		case basisShort[of] != "":
			of = basisShort[of]
		case strings.HasPrefix(of, "the "), strings.HasPrefix(of, "anhydrous "):
			of = "*"
		}
		out["counted_as"] = of
	}
	if !ok {
		return
	}
	var list []string
	for item := range strings.SplitSeq(strings.TrimLeft(factors, "s: "), ", ") {
		m := factorInBasis.FindStringSubmatch(strings.TrimSpace(item))
		if m == nil {
			list = append(list, item) // refused by the reader, with its place
			continue
		}
		name, form := m[1], ""
		if p := formInBasis.FindStringSubmatch(name); p != nil {
			name, form = p[1], p[2]
		}
		list = append(list, name+"|"+form+"|"+m[2])
	}
	out["factors"] = strings.Join(list, ";")
}

var (
	sumInRule   = pattern.New(`^sum(?:\(([^)]*)\))?(<=|<|>)(max_pct|\d+(?:\.\d+)?)( => label| with .*| and .*)?$`)
	eachInRule  = pattern.New(`^each<=(\d+(?:\.\d+)?)$`)
	entryInRule = pattern.New(`^(?:(II|III|IV|V|VI)/)?(\d+[a-z]?)$`)
)

// wordsOfSum reads a sum rule. One that is not understood fills the cell with
// itself, so that the reader refuses it.
func wordsOfSum(out map[string]string, rule string) {
	switch {
	case rule == "":
		return
	case strings.Contains(rule, "exclude each other"), strings.HasPrefix(rule, "not with any other"):
		out["sum"], out["sum_conditions"] = "exclusive", "any"
		return
	}
	if m := eachInRule.FindStringSubmatch(rule); m != nil {
		out["sum"], out["sum_pct"] = "each", m[1]
		return
	}
	m := sumInRule.FindStringSubmatch(rule)
	if m == nil || (m[4] == " => label") != (m[2] == ">") {
		out["sum"] = rule
		return
	}
	out["sum"] = map[string]string{"<=": "all", "<": "below", ">": "label"}[m[2]]
	if m[2] == ">" {
		out["sum_conditions"] = "any"
	}
	if m[3] != "max_pct" {
		out["sum_pct"] = m[3]
	}
	var entries []string
	annex := ""
	for item := range strings.SplitSeq(m[1], ",") {
		switch item = strings.TrimSpace(item); {
		case item == "nano", item == "non-nano":
			out["sum_conditions"] = "any"
		case item == "":
		default:
			if e := entryInRule.FindStringSubmatch(item); e != nil {
				if e[1] != "" {
					annex = e[1]
				}
				item = annex + "/" + e[2]
			}
			entries = append(entries, item)
		}
	}
	out["sum_entries"] = strings.Join(entries, ";")
}
