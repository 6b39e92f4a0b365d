// Package ownlimits holds the page of limits of the maker's own: stricter ones that an assessor
// or a customer asks for, beside those of the law. They stand in limits/*.csv; a new one is a
// line at the end of limits/own.csv, and all other bytes stay as they are.
package ownlimits

import (
	"bytes"
	"embed"
	"encoding/csv"
	"errors"
	"io"
	"maps"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/law/annex"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit/history"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
)

//go:embed *.html
var templates embed.FS

// Pages returns the table of these pages.
func Pages() frame.Set {
	return frame.Set{Templates: templates, Routes: []frame.Route{
		{Pattern: "GET /limits", Do: func(v *frame.Visit) error { return show(v, typed{}) }},
		{Pattern: "POST /limits", Do: add},
		{Pattern: "POST /limits/out", Do: takeOut},
	}}
}

// own is the file that new limits are written into, and head its columns where it is new.
const (
	own  = "limits/own.csv"
	head = "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule," +
		"required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"
)

// typed is what was sent for a new limit, and why it could not be added.
type typed struct {
	Name, CAS, Market, Condition, Max, Source, Seen, Error, Fix string
}

// line is a limit as it stands in its file.
type line struct {
	File, Base                             string
	N                                      int // of the line in the file, counted from 0 behind the head
	Name, CAS, Market, Condition, Max, Why string
}

// record is a line of a table, by columns, and where it stands in the bytes.
type record struct {
	cells      map[string]string
	start, end int
}

// records reads a table: its columns, and its lines.
func records(data []byte) (columns []string, lines []record, err error) {
	mark := len(data) - len(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))) // of a spreadsheet program
	r := csv.NewReader(bytes.NewReader(data[mark:]))
	r.FieldsPerRecord = -1
	for {
		start := mark + int(r.InputOffset())
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return columns, lines, nil
		}
		if err != nil {
			return nil, nil, err
		}
		if columns == nil {
			columns = cells
			continue
		}
		x := record{cells: map[string]string{}, start: start, end: mark + int(r.InputOffset())}
		for i, c := range cells[:min(len(cells), len(columns))] {
			x.cells[strings.TrimSpace(columns[i])] = strings.TrimSpace(c)
		}
		lines = append(lines, x)
	}
}

// show lists what stands in the files, with what is to be said of it.
func show(v *frame.Visit, t typed) error {
	w := v.Workshop()
	var list []line
	for _, file := range slices.Sorted(maps.Keys(w.OwnLimits)) {
		data, hash, err := v.Store.Read(file)
		if err != nil {
			return err
		}
		_, lines, err := records(data)
		if err != nil {
			continue // said by its finding
		}
		for i, x := range lines {
			list = append(list,
				line{File: file, Base: hash, N: i, Name: strings.ReplaceAll(x.cells["inci_names"], ";", ", "),
					CAS: x.cells["cas"], Market: x.cells["market"], Condition: x.cells["condition"],
					Max: x.cells["max_pct"],
					Why: x.cells["source"]})
		}
	}
	all, _ := v.Shot.Points()
	var points []finding.Finding
	for _, f := range all {
		if strings.HasPrefix(f.Pos.File, "limits/") {
			points = append(points, f)
		}
	}
	told := v.TellAll(points)
	for i := range told {
		told[i] = named(told[i])
	}
	_, hash, err := v.Store.Read(own)
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: "Limits of your own", Place: "today",
		Crumb:    &frame.Link{Href: "/today", Text: "Today"},
		Template: "ownlimits",
		Data: map[string]any{"Lines": list, "Typed": t, "Base": hash, "Points": told,
			"Markets":  choices(t.Market, "EU+GB=both", "EU=European Union", "GB=Great Britain"),
			"Kinds":    choices(t.Condition, "all", "rinse-off", "leave-on"),
			"ReadOnly": v.Site.ReadOnly}, Refused: t.Error != ""})
}

// fields are the columns of a table that this page has a field for.
var fields = map[string]string{"inci_names": "Substance", "cas": "CAS", "max_pct": "At most, %", "market": "Market",
	"condition": "Kind of product", "source": "Who asks for it", "seen": "I have read it there myself"}

// column begins what is wrong with a cell of a table.
var column = pattern.New(`^(?:limits/[^:]*: )?([a-z_]+): `)

// named calls a cell as the page calls its field, or says that it is a column of the table; what
// keeps a table from being read leads to its text, where the line can be mended.
func named(t frame.Told) frame.Told {
	said := frame.Said(&t.Finding)
	if at := column.FindStringSubmatch(said.Message); at != nil {
		name := fields[at[1]]
		if name == "" {
			name = "Column “" + at[1] + "”"
		}
		t.Message = frame.Sentence(name + strings.TrimPrefix(said.Message, at[1]))
	}
	if t.Finding.Unread {
		t.Message = strings.TrimSuffix(t.Message, ".") + ", in line " + strconv.Itoa(t.Finding.Pos.Line) + " of " +
			path.Base(t.Finding.Pos.File) + "."
		t.Link = frame.Link{Href: "/text/" + t.Finding.Pos.File + "#text", Text: "Mend it in the table"}
	}
	return t
}

// choices are words to choose from, with the one chosen.
func choices(here string, words ...string) (list []frame.Choice) {
	for _, w := range words {
		word, text, ok := strings.Cut(w, "=")
		if !ok {
			text = word
		}
		list = append(list, frame.Choice{Value: word, Text: text, Here: word == here})
	}
	return list
}

// add writes a new limit at the end of the file.
func add(v *frame.Visit) error {
	t := typed{Name: v.Field("name"), CAS: v.Field("cas"), Market: v.Field("market"), Condition: v.Field("condition"),
		Max: strings.ReplaceAll(v.Field("max"), ",", "."), Source: v.Field("source"), Seen: v.Field("seen")}
	if err := write(v, t); err != nil {
		x := frame.TroubleOf(err)
		t.Error, t.Fix = x.What, x.Fix
		return show(v, t)
	}
	return nil
}

func write(v *frame.Visit, t typed) error {
	switch max, err := exact.ParseNum(t.Max); {
	case t.Name == "":
		return frame.Wrong("Which substance is limited is not stated.",
			"Write its name; a CAS number may stand beside it.")
	case exact.TwoWays(v.Field("max")):
		return frame.Wrong(v.Field("max")+" can be read in two ways.", "Write it with a decimal point.")
	case err != nil || max.Sign() < 0 || exact.Int(100).Less(max):
		return frame.Wrong("The most is a figure in % of the finished product.", "Write it as 0.5.")
	case t.Market == "" || t.Condition == "":
		return frame.Wrong("Where the limit holds is not stated.", "Choose the market and the kind of product.")
	case t.Source == "":
		return frame.Wrong("Who asks for the limit is not stated.", "Write who, and in which paper of which day.")
	}
	old, hash, err := v.Store.Read(own)
	if err != nil {
		return err
	}
	if hash != v.Field("base") {
		return &frame.Trouble{Status: http.StatusConflict, What: "The file has changed since this page was opened.",
			Fix: "Load the page anew and make the change again."}
	}
	if _, fs := annex.ReadOwn(own, old); len(old) > 0 && slices.ContainsFunc(fs,
		func(f finding.Finding) bool { return f.Unread }) {
		return frame.Wrong("The table of your limits cannot be read as it stands.",
			"Mend it first: the point above says where.")
	}
	data := old
	if len(data) == 0 {
		data = []byte(head)
	}
	seen := "unverified"
	if t.Seen == "yes" {
		seen = "seen"
	}
	columns, lines, err := records(data)
	if err != nil || !slices.Contains(columns, "key") || !slices.Contains(columns, "max_pct") {
		return frame.Wrong("The file of your limits is not a table of limits.",
			"Open it as text and look at its first line: "+own+".")
	}
	cells := map[string]string{"key": freeKey(lines), "annex": "own", "entry": strconv.Itoa(len(lines) + 1),
		"market": t.Market, "inci_names": t.Name, "cas": t.CAS, "condition": t.Condition, "max_pct": t.Max,
		"source": t.Source, "seen": seen}
	row := make([]string, len(columns))
	for i, c := range columns {
		row[i] = cells[strings.TrimSpace(c)]
	}
	var text bytes.Buffer
	end := "\n"
	out := csv.NewWriter(&text)
	if bytes.Contains(data, []byte("\r\n")) {
		out.UseCRLF, end = true, "\r\n"
	}
	if err := out.Write(row); err != nil {
		return err
	}
	out.Flush()
	if !bytes.HasSuffix(data, []byte("\n")) {
		data = append(slices.Clone(data), end...)
	}
	return save(v, own, hash, old, append(slices.Clone(data), text.Bytes()...),
		history.Label{Thing: "limit of your own", New: t.Name + t.CAS})
}

// freeKey is a key that no line has.
func freeKey(lines []record) string {
	for i := len(lines) + 1; ; i++ {
		key := "own-" + strconv.Itoa(i)
		if !slices.ContainsFunc(lines, func(r record) bool { return r.cells["key"] == key }) {
			return key
		}
	}
}

// takeOut removes one line from its file.
func takeOut(v *frame.Visit) error {
	file := v.Field("file")
	if _, there := v.Workshop().OwnLimits[file]; !there {
		return frame.Wrong("That file is not there.", "Load the page anew.")
	}
	data, hash, err := v.Store.Read(file)
	if err != nil {
		return err
	}
	_, lines, err := records(data)
	n, bad := strconv.Atoi(v.Field("line"))
	if err != nil || bad != nil || n < 0 || n >= len(lines) || hash != v.Field("base") {
		return &frame.Trouble{Status: http.StatusConflict, What: "The file has changed since this page was opened.",
			Fix: "Load the page anew and make the change again."}
	}
	x := lines[n]
	return save(v, file, hash, data, slices.Concat(data[:x.start], data[x.end:]),
		history.Label{Thing: "limit of your own", Old: x.cells["inci_names"] + x.cells["cas"]})
}

// save writes a file of limits unless the program could then read less of it than before.
func save(v *frame.Visit, file, hash string, old, data []byte, what history.Label) error {
	_, before := annex.ReadOwn(file, old)
	_, after := annex.ReadOwn(file, data)
	if len(old) == 0 {
		before = nil
	}
	unread := func(fs []finding.Finding) (list []finding.Finding) {
		for _, f := range fs {
			if f.Unread {
				list = append(list, f)
			}
		}
		return list
	}
	if now := unread(after); len(now) > len(unread(before)) {
		told := named(v.Names().Tell(now[len(now)-1]))
		return frame.Wrong(told.Message, told.Fix)
	}
	what.Place = "/limits"
	return v.SaveFiles(what, "/limits", history.Change{Name: file, Base: hash, Data: data})
}
