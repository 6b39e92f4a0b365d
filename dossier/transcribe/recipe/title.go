package recipe

import (
	"path/filepath"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/terms"
	"gallipot/ingredients/pattern"
)

var (
	quotedName = pattern.New(`\(([^()]{4,60})\)`)
	replyMark  = lexicon.Pattern(`(?i)^<<reply>>\s*:\s*`)
	dateWord   = pattern.New(`\b\d{1,2}[./]\d{1,2}[./]\d{2,4}\b|\b\d{4}-\d{2}-\d{2}\b`)
	dateBehind = pattern.New(`[\s,;]*\(?\b(?:\d{1,2}[./]\d{1,2}[./]\d{2,4}|\d{4}-\d{2}-\d{2})\)?\s*$`)
	batchSize  = lexicon.Pattern(`(?i)\b(\d+(?:[.,]\d+)?)\s*(kg|g|ml|<<litre>>)\b`)
	plainSheet = lexicon.Pattern(`(?i)^<<sheet>>\s*\d*$`)
	heatLine   = lexicon.Pattern(`(?i)\b<<heat>>\s+((?:<<phases>>\s+)?` +
		`[A-H](?:\s*(?:,|\+|&|<<and>>)\s*(?:<<phases>>\s+)?[A-H])*)\b[^.\d]{0,30}?(\d{2,3})\b`)
	allHeat  = lexicon.Pattern(`(?i)\b<<everything>>\b`)
	spaceRun = pattern.New(`\s{2,}|\t`)
)

// label parts "Batch: 500 g" or two cells into label and value.
func (d *doc) label(r raw.Row) (key, value string) {
	cells := r.Filled()
	if len(cells) >= 2 && r.Grid > 0 {
		if key = d.LabelKey(strings.TrimRight(cells[0].Text, ": ")); key != "" {
			return key, raw.OneLine(cells[1].Text)
		}
	}
	t := strings.TrimLeft(r.Text(), "#*-• ")
	if i := strings.Index(t, ":"); i > 0 && i < 40 {
		if key = d.LabelKey(t[:i]); key != "" {
			return key, raw.OneLine(raw.Clean(t[i+1:]))
		}
	}
	return "", ""
}

// name finds name and version of a product in what stands above it.
func (d *doc) name(f *foundProduct) {
	p := f.p
	var free []raw.Row
	for _, r := range f.titles {
		key, value := d.label(r)
		switch {
		case key == "name" && value != "" && p.Name == "":
			p.Name, p.Where = value, r.Place(r.Cells[0].Col)
		case key == "version" && value != "":
			p.Version = value
		case key != "":
			d.text(p, r)
		default:
			if h, ok := d.PhaseOf(r.Text()); ok && len(p.Phases) == 1 && p.Phases[0].ID == "A" &&
				p.Phases[0].Name == nil {
				p.Phases[0] = terms.PhaseFrom(h, p.Phases[0].Lines)
				continue
			}
			free = append(free, r)
		}
	}
	if p.Name == "" {
		free = d.titleOf(p, free)
	}
	if p.Name == "" && f.sheet.Name != "" && !plainSheet().MatchString(f.sheet.Name) {
		p.Name, p.Where = f.sheet.Name, f.sheet.Name
	}
	if p.Name == "" {
		p.Name = strings.TrimSuffix(d.file.Name, filepath.Ext(d.file.Name))
	}
	p.Name = d.cutVersion(p, p.Name)
	if bare := strings.TrimRight(dateBehind.ReplaceAllString(p.Name, ""), " ,;-–"); bare != "" && bare != p.Name {
		p.Notes = append(p.Notes, p.Name)
		p.Name = bare
	}
	for _, r := range free {
		d.text(p, r)
	}
	p.Type = d.TypeOf(lexicon.Fold(p.Name))
	for _, r := range f.titles {
		if p.Type == "" {
			p.Type = d.TypeOf(lexicon.Fold(r.Text()))
		}
	}
}

// titleOf takes the title from the rows above a formula and gives back the others.
func (d *doc) titleOf(p *formulation.Product, rows []raw.Row) []raw.Row {
	pick := -1
	score := 0
	for i, r := range rows {
		t := raw.Clean(r.Text())
		if t == "" || d.isMail && d.mailHead(t) || len(strings.Fields(t)) > 16 ||
			dateWord.MatchString(t) && len(strings.Fields(t)) < 3 {
			continue
		}
		n := 2
		f := lexicon.Fold(t)
		switch {
		case strings.HasPrefix(strings.TrimSpace(r.Raw), "#"):
			n = 6
		case d.TypeOf(f) != "":
			n = 4
		case d.StartsStep(t) && !quotedName.MatchString(t):
			n = 1
		}
		if terms.HasVersion(t) {
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
			if m := mailSubject().FindString(r.Text()); m != "" {
				pick = i
				rows[i].Raw = strings.TrimSpace(r.Text()[len(m):])
			}
		}
	}
	if pick < 0 || score <= 0 {
		return rows
	}
	r := rows[pick]
	t := strings.TrimLeft(raw.Clean(r.Text()), "#=*- ")
	if m := quotedName.FindStringSubmatch(t); m != nil && d.isMail &&
		(d.TypeOf(lexicon.Fold(m[1])) != "" || terms.HasVersion(m[1])) {
		t = m[1]
	}
	if cells := r.Filled(); len(cells) > 0 && r.Grid > 0 {
		t = cells[0].Text
	} else if parts := spaceRun.Split(t, -1); len(parts) > 1 {
		t = parts[0]
	}
	for replyMark().MatchString(t) {
		t = replyMark().ReplaceAllString(t, "")
	}
	p.Name, p.Where = strings.TrimRight(raw.OneLine(t), " :=*-"), r.Place(0)
	if full := raw.OneLine(r.Text()); raw.OneLine(t) != full {
		p.Notes = append(p.Notes, full)
		d.facts(p, full)
	}
	return slices.Delete(slices.Clone(rows), pick, pick+1)
}

var mailHeads = lexicon.Pattern(`(?i)^<<mail head>>\s*:`)

var mailSubject = lexicon.Pattern(`(?i)^<<mail subject>>\s*:`)

func (d *doc) mailHead(s string) bool { return mailHeads().MatchString(s) }

// cutVersion parts the version from a name.
func (d *doc) cutVersion(p *formulation.Product, s string) string {
	version, rest := terms.CutVersion(s)
	if p.Version == "" {
		p.Version = version
	}
	return rest
}
