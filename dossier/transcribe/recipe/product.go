package recipe

import (
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/lexicon"
)

var (
	quotedName = regexp.MustCompile(`\(([^()]{4,60})\)`)
	replyMark  = regexp.MustCompile(`(?i)^(re|fw|fwd|aw|wg|antw|tr|rv)\s*:\s*`)
	dateWord   = regexp.MustCompile(`\b\d{1,2}[./]\d{1,2}[./]\d{2,4}\b|\b\d{4}-\d{2}-\d{2}\b`)
	batchSize  = regexp.MustCompile(`(?i)\b(\d+(?:[.,]\d+)?)\s*(kg|g|ml|l|litres?)\b`)
	phValue    = regexp.MustCompile(`(?i)\bpH\b[^\d]{0,24}?(\d{1,2}(?:[.,]\d+)?(?:\s*(?:-|–|to|bis|à|a)\s*\d{1,2}(?:[.,]\d+)?)?)`)
	plainSheet = regexp.MustCompile(`(?i)^(sheet|tabelle|feuille|foglio|hoja|blad|table)\s*\d*$`)
	heatLine   = regexp.MustCompile(`(?i)\b(?:heat|warm|melt|bring|erhitze\w*|erwärme\w*|schmelze\w*|chauffe\w*|faire fondre|scalda\w*|calienta\w*|calentar|verwarm\w*)\s+((?:phases?\s+|phasen?\s+|fasi?\s+)?[A-H](?:\s*(?:,|and|\+|&|und|et|e|y|en)\s*(?:phase\s+)?[A-H])*)\b[^.\d]{0,30}?(\d{2,3})\b`)
	allHeat    = regexp.MustCompile(`(?i)\b(everything|all|alles|tout|tutto|todo)\b`)
	spaceRun   = regexp.MustCompile(`\s{2,}|\t`)
)

// isLabel says whether a text is the label of a statement beside the formula:
// "Batch size", "Version".
func (d *doc) isLabel(s string) bool {
	return len(d.words.All("formula label", lexicon.Fold(headBraces.ReplaceAllString(s, " ")))) > 0
}

func (d *doc) labelKey(s string) string {
	for _, e := range d.words.All("formula label", lexicon.Fold(headBraces.ReplaceAllString(s, " "))) {
		return e.Key
	}
	return ""
}

// typeOf finds the type of product that a folded text names.
func (d *doc) typeOf(folded string) string {
	e, _, ok := d.words.Find("formula type", folded)
	if !ok {
		e, _, ok = d.words.Find("formula type", strings.TrimSuffix(folded, "s"))
	}
	if !ok {
		return ""
	}
	return e.Key
}

// label parts "Batch: 500 g" or two cells into label and value.
func (d *doc) label(r row) (key, value string) {
	cells := r.filled()
	if len(cells) >= 2 && r.grid > 0 {
		if key = d.labelKey(strings.TrimRight(cells[0].text, ": ")); key != "" {
			return key, oneLine(cells[1].text)
		}
	}
	t := strings.TrimLeft(r.text(), "#*-• ")
	if i := strings.Index(t, ":"); i > 0 && i < 40 {
		if key = d.labelKey(t[:i]); key != "" {
			return key, oneLine(clean(t[i+1:]))
		}
	}
	return "", ""
}

// name finds name and version of a product in what stands above it.
func (d *doc) name(f *foundProduct) {
	p := f.p
	var free []row
	for _, r := range f.titles {
		key, value := d.label(r)
		switch {
		case key == "name" && value != "" && p.Name == "":
			p.Name, p.Where = value, r.place(r.cells[0].col)
		case key == "version" && value != "":
			p.Version = value
		case key != "":
			d.text(p, r)
		default:
			if h, ok := d.phaseOf(r.text()); ok && len(p.Phases) == 1 && p.Phases[0].ID == "A" &&
				p.Phases[0].Name == nil {
				p.Phases[0] = phaseFrom(h, p.Phases[0].Lines)
				continue
			}
			free = append(free, r)
		}
	}
	if p.Name == "" {
		free = d.titleOf(p, free)
	}
	if p.Name == "" && f.sheet.name != "" && !plainSheet.MatchString(f.sheet.name) {
		p.Name, p.Where = f.sheet.name, f.sheet.name
	}
	if p.Name == "" {
		p.Name = strings.TrimSuffix(d.file.Name, filepath.Ext(d.file.Name))
	}
	p.Name = d.cutVersion(p, p.Name)
	for _, r := range free {
		d.text(p, r)
	}
	p.Type = d.typeOf(lexicon.Fold(p.Name))
	for _, r := range f.titles {
		if p.Type == "" {
			p.Type = d.typeOf(lexicon.Fold(r.text()))
		}
	}
}

// titleOf takes the title from the rows above a formula and gives back the others.
func (d *doc) titleOf(p *Product, rows []row) []row {
	pick := -1
	score := 0
	for i, r := range rows {
		t := clean(r.text())
		if t == "" || d.isMail && d.mailHead(t) || len(strings.Fields(t)) > 16 ||
			dateWord.MatchString(t) && len(strings.Fields(t)) < 3 {
			continue
		}
		n := 2
		f := lexicon.Fold(t)
		switch {
		case strings.HasPrefix(strings.TrimSpace(r.raw), "#"):
			n = 6
		case d.typeOf(f) != "":
			n = 4
		case d.startsStep(t) && !quotedName.MatchString(t):
			n = 1
		}
		if versionNo.MatchString(t) {
			n++
		}
		if strings.HasSuffix(t, ",") || strings.HasSuffix(t, ".") {
			n -= 2
		}
		if n > score || n == score && d.isMail {
			pick, score = i, n
		}
	}
	if d.isMail && score < 4 {
		for i, r := range rows {
			if s, ok := strings.CutPrefix(r.text(), "Subject:"); ok {
				pick = i
				rows[i].raw = strings.TrimSpace(s)
			}
		}
	}
	if pick < 0 || score <= 0 {
		return rows
	}
	r := rows[pick]
	t := strings.TrimLeft(clean(r.text()), "#=*- ")
	if m := quotedName.FindStringSubmatch(t); m != nil && d.isMail &&
		(d.typeOf(lexicon.Fold(m[1])) != "" || versionNo.MatchString(m[1])) {
		t = m[1]
	}
	if cells := r.filled(); len(cells) > 0 && r.grid > 0 {
		t = cells[0].text
	} else if parts := spaceRun.Split(t, -1); len(parts) > 1 {
		t = parts[0]
	}
	for replyMark.MatchString(t) {
		t = replyMark.ReplaceAllString(t, "")
	}
	p.Name, p.Where = strings.TrimRight(oneLine(t), " :=*-"), r.place(0)
	if full := oneLine(r.text()); oneLine(t) != full {
		p.Notes = append(p.Notes, full)
		d.facts(p, full)
	}
	return slices.Delete(slices.Clone(rows), pick, pick+1)
}

var mailHeads = regexp.MustCompile(`(?i)^(from|to|cc|date|sent|von|an|datum|gesendet|de|à|envoyé|da|a|inviato|para|enviado|van|aan|verzonden)\s*:`)

func (d *doc) mailHead(s string) bool { return mailHeads.MatchString(s) }

// cutVersion parts the version from a name.
func (d *doc) cutVersion(p *Product, s string) string {
	m := versionNo.FindStringSubmatchIndex(s)
	if m == nil {
		return s
	}
	if p.Version == "" {
		p.Version = s[m[2]:m[3]]
	}
	return strings.Trim(oneLine(s[:m[0]]+" "+s[m[1]:]), " ,-–(:;")
}

// texts places each row.
func (d *doc) texts(p *Product, rows []row) {
	for _, r := range rows {
		d.text(p, r)
	}
}

// text places a row of text that is no line: as a step or a note. What it says of
// batch, pH and temperature is kept; a figure in it is never an amount.
func (d *doc) text(p *Product, r row) {
	t := oneLine(clean(r.text()))
	if t == "" {
		return
	}
	if d.isMail && (d.mailHead(t) || strings.HasPrefix(t, "Subject:")) {
		p.Notes = append(p.Notes, t)
		return
	}
	if strings.ContainsAny(t, "0123456789½¼¾") {
		p.sentences = append(p.sentences, t)
	}
	key, value := d.label(r)
	switch key {
	case "batch":
		if p.Batch == "" {
			p.Batch = value
			if m := batchSize.FindString(value); m != "" {
				p.Batch = m
			}
		}
	case "version":
		if p.Version == "" {
			p.Version = value
		}
	case "ph":
		d.facts(p, "pH "+value)
	}
	d.facts(p, t)
	if len(strings.Fields(t)) > 2 && (d.startsStep(bareText(t)) || len(strings.Fields(t)) > 5 ||
		strings.HasSuffix(t, ".")) {
		p.Steps = append(p.Steps, t)
	} else {
		p.Notes = append(p.Notes, t)
	}
	if key == "batch" || key == "date" || key == "version" || key == "maker" || key == "ph" {
		return
	}
	if phValue.MatchString(t) && strings.HasPrefix(strings.ToLower(t), "ph") {
		return
	}
	if l, ok := d.line(t); ok && !prose(t) && len(strings.Fields(t)) <= 8 && key == "" {
		p.say("left-line", "where", r.place(0), "text", t, "name", l.name)
		return
	}
	for _, a := range d.amounts(strings.NewReplacer("(", " ", ")", " ").Replace(dose.Plain(t))) {
		if massy(a.amount.Unit) || a.amount.Unit == "drops" || a.amount.Unit == "tsp" || a.amount.Unit == "tbsp" {
			p.say("amount-in-text", "where", r.place(0), "text", t)
			break
		}
	}
}

// facts keeps what a sentence says of batch, pH and temperatures.
func (d *doc) facts(p *Product, t string) {
	if m := phValue.FindStringSubmatch(t); m != nil {
		p.setPH(m[1])
	}
	if p.Batch == "" && d.holds("formula word", "batch", lexicon.Fold(t)) {
		if m := batchSize.FindStringSubmatch(t); m != nil {
			p.Batch = m[1] + " " + strings.ToLower(m[2])
		}
	}
	for _, m := range heatLine.FindAllStringSubmatch(t, -1) {
		for _, w := range strings.FieldsFunc(m[1], func(c rune) bool {
			return c == ' ' || c == ',' ||
				c == '+' || c == '&'
		}) {
			for i := range p.Phases {
				if p.Phases[i].ID == w && p.Phases[i].HeatC == "" {
					p.Phases[i].HeatC = m[2]
				}
			}
		}
	}
	if len(p.Phases) == 1 && p.Phases[0].HeatC == "" && allHeat.MatchString(t) && d.startsStep(t) &&
		len(heatIn.FindAllString(t, -1)) == 1 {
		p.Phases[0].HeatC = heatOf(t)
	}
}

func (p *Product) setPH(v string) {
	if p.Specification == nil {
		p.Specification = map[string]string{}
	}
	if p.Specification["ph"] == "" {
		v = strings.NewReplacer(",", ".", "–", "-", " to ", "-", " bis ", "-", " à ", "-", " a ", "-").Replace(v)
		p.Specification["ph"] = strings.ReplaceAll(v, " ", "")
	}
}
