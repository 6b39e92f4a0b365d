package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/parallel"
	"gallipot/dossier/store"
	"gallipot/dossier/terminal"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/filing"
	"gallipot/dossier/transcribe/listed"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/reading"
	"gallipot/dossier/transcribe/told"
	"gallipot/dossier/workshop"
)

// transcribeFlags are the flags of the verb.
type transcribeFlags struct {
	sheet string
	write bool
	take  []string
}

// transcribeVerb reads suppliers' papers and proposes what they say.
func (c *command) transcribeVerb() *cobra.Command {
	var t transcribeFlags
	var formula formulaFlags
	v := c.verb("transcribe PAPER…", func(args []string) error {
		if formula.file != "" {
			formula.write = t.write
			return c.transcribeFormula(args, formula)
		}
		return c.transcribe(args, t)
	})
	v.Flags().StringVar(&t.sheet, "sheet", "",
		"id of the sheet that the paper belongs to; default: found by code or name")
	v.Flags().BoolVar(&t.write, "write", false, "write what the sheet lacks, and file the paper")
	v.Flags().StringArrayVar(&t.take, "take", nil,
		"with --write: also write this value though the sheet has another; repeatable")
	formula.register(v)
	return c.shared(v)
}

// readPaper is one paper with what came of it.
type readPaper struct {
	name    string
	data    []byte
	reading *reading.Reading
	err     error
}

func (c *command) transcribe(args []string, t transcribeFlags) error {
	if len(t.take) > 0 && !t.write {
		return &usageError{"--take chooses what --write writes", "give --write too"}
	}
	names, err := papersOf(args)
	if err != nil {
		return err
	}
	if len(names) == 0 {
		return &usageError{"no paper is named", "name a file, or a folder that holds papers"}
	}
	if t.sheet != "" && len(names) > 1 {
		return &usageError{"--sheet names one sheet for several papers", "read the papers one by one"}
	}
	papers, err := c.readPapers(names)
	if err != nil {
		return err
	}
	if c.json {
		return c.papersJSON(papers)
	}
	return c.filePapers(papers, t)
}

// papersOf lists the files that are named and those of the folders that are named.
func papersOf(args []string) ([]string, error) {
	var out []string
	for _, a := range args {
		info, err := os.Stat(a)
		if err != nil {
			return nil, &usageError{"there is no file " + a, "check the name of the paper"}
		}
		if !info.IsDir() {
			out = append(out, a)
			continue
		}
		entries, err := os.ReadDir(a)
		if err != nil {
			return nil, &usageError{terminal.SayError(err), "check that the folder may be read"}
		}
		for _, e := range entries {
			ext := strings.ToLower(filepath.Ext(e.Name()))
			if store.Readable(e.Type()) && !strings.HasPrefix(e.Name(), ".") && ext != ".yaml" &&
				ext != ".yml" && ext != ".json" {
				out = append(out, filepath.Join(a, e.Name()))
			}
		}
	}
	return out, nil
}

// readPapers reads papers side by side. A paper that cannot be read ends its own
// reading only.
func (c *command) readPapers(names []string) ([]readPaper, error) {
	reader, err := transcribe.New(table.Builtin(), listed.New(table.Builtin().Dictionary()))
	if err != nil {
		return nil, err
	}
	files := paper.NewReader()
	defer files.Close()
	out := make([]readPaper, len(names))
	seen := c.ui.Watch("papers", len(names))
	parallel.Each(len(names), func(i int) {
		defer seen.Step()
		out[i] = readOne(reader, files, names[i])
	})
	seen.End()
	return out, nil
}

func readOne(reader *transcribe.Reader, files *paper.Reader, name string) (p readPaper) {
	p.name = name
	defer func() {
		if r := recover(); r != nil {
			p.reading, p.err = nil, &usageError{"the paper cannot be read",
				"ask for it again, or type its values by hand"}
		}
	}()
	if info, err := os.Stat(name); err == nil && info.Size() > int64(files.Limits.Bytes) {
		p.err = &paper.Trouble{Code: "too-large", Value: fmt.Sprint(files.Limits.Bytes)}
		return p
	}
	if p.data, p.err = os.ReadFile(name); p.err != nil {
		return p
	}
	f, err := files.Read(filepath.Base(name), p.data)
	if err != nil {
		p.err = err
		return p
	}
	p.reading = reader.Read(f)
	return p
}

// unreadPaper is what --json prints of a paper that cannot be read.
type unreadPaper struct {
	File  string `json:"file"`
	Error string `json:"error"`
	Fix   string `json:"fix,omitempty"`
}

// papersJSON prints the readings: one object, or a list where several papers are
// named.
func (c *command) papersJSON(papers []readPaper) error {
	var all []any
	for _, p := range papers {
		if p.err != nil {
			what, fix := paperTrouble(p.err)
			all = append(all, unreadPaper{filepath.Base(p.name), what, fix})
			c.exit = exitUnreadable
			continue
		}
		all = append(all, p.reading)
	}
	if len(all) == 1 {
		return c.printJSON(all[0])
	}
	return c.printJSON(all)
}

func paperTrouble(err error) (what, fix string) {
	var t *paper.Trouble
	var u *usageError
	switch {
	case errors.As(err, &t):
		return t.Error(), t.Fix()
	case errors.As(err, &u):
		return u.what, u.fix
	}
	return err.Error(), ""
}

// filePapers prints each paper beside the workshop, and writes where that is
// asked.
func (c *command) filePapers(papers []readPaper, t transcribeFlags) error {
	w, err := c.openWithStubs()
	if w == nil || err != nil {
		return err
	}
	opt, err := c.options()
	if err != nil {
		return err
	}
	stands := &standing{w, opt, map[string]*assess.Assessment{}}
	say := told.Printer{Out: c.ui.Out, Shown: terminal.Shown}
	var filings []*filing.Filing
	var lines []told.Line
	for i, p := range papers {
		if i > 0 {
			fmt.Fprintln(c.ui.Out)
		}
		if p.err != nil {
			what, fix := paperTrouble(p.err)
			c.ui.Trouble(&usageError{p.name + ": " + what, fix})
			c.exit = exitUnreadable
			lines = append(lines, told.Line{File: filepath.Base(p.name), Why: what})
			continue
		}
		if len(p.reading.More) > 0 && t.sheet != "" {
			return &usageError{"--sheet names one sheet, and " + p.name + " holds several materials",
				"leave --sheet out: each is found by its code or name"}
		}
		for _, r := range append([]*reading.Reading{p.reading}, p.reading.More...) {
			f := filing.Of(w, r, p.name, p.data, t.sheet)
			filings = append(filings, f)
			lines = append(lines, told.Line{File: r.File, Filing: f})
			say.Paper(f)
			if err := c.againstPrevious(w, f, say); err != nil {
				return err
			}
			if err := c.takeOver(stands, f, t, say); err != nil {
				return err
			}
			if t.write { // the next one sees what this one has written
				if w, err = c.openWithStubs(); w == nil || err != nil {
					return err
				}
				stands = &standing{w, opt, map[string]*assess.Assessment{}}
			}
		}
	}
	say.Pairs(filings)
	if len(papers) > 1 {
		say.Table(lines)
	}
	return nil
}

// againstPrevious says what a paper says differently from the one of its kind that
// the workshop holds.
func (c *command) againstPrevious(w *workshop.Workshop, f *filing.Filing, say told.Printer) error {
	file := f.Previous(w)
	if file == "" {
		return nil
	}
	root, err := os.OpenRoot(c.workshop)
	if err != nil {
		return err
	}
	defer root.Close()
	if _, err := root.Stat(file); err != nil { // that it is missing is a finding of check
		return nil
	}
	old, err := c.readPapers([]string{filepath.Join(c.workshop, filepath.FromSlash(file))})
	if err != nil || old[0].err != nil {
		return err
	}
	before := filing.Of(w, old[0].reading, file, old[0].data, f.Sheet)
	if older, newer, ok := filing.Older(before, f); ok {
		say.Versions(older.Reading, newer.Reading)
	}
	return nil
}

// takeOver says what a paper changes in the products, and writes it where that is
// asked.
func (c *command) takeOver(s *standing, f *filing.Filing, t transcribeFlags, say told.Printer) error {
	if f.Sheet == "" {
		return nil
	}
	if unknown := f.Unknown(t.take); len(unknown) > 0 {
		var known []string
		for _, v := range f.Values {
			if v.State == filing.Differs {
				known = append(known, v.Field)
			}
		}
		return unknownField(unknown[0], known)
	}
	var sheet []byte
	if !f.New {
		data, err := os.ReadFile(filepath.Join(c.workshop, filepath.FromSlash(f.SheetFile())))
		if err != nil {
			return &usageError{terminal.SayError(err), "check that the sheet may be read"}
		}
		sheet = data
	}
	files, err := f.Changes(sheet, t.take)
	if err != nil {
		return err
	}
	if err := c.effectsOfAll(s, f, sheet, t, say); err != nil {
		return err
	}
	if len(files) == 0 {
		fmt.Fprintln(c.ui.Out, "nothing to write")
		return nil
	}
	if err := c.effects(s, f, files); err != nil {
		return err
	}
	if !t.write {
		return nil
	}
	if err := c.writePaper(files); err != nil {
		return err
	}
	for _, file := range files {
		fmt.Fprintf(c.ui.Out, "written: %s\n", file.Name)
	}
	return nil
}

func unknownField(name string, known []string) error {
	err := unknown("value", name, known)
	var u *usageError
	if errors.As(err, &u) && len(known) == 0 {
		u.fix = "nothing in the sheet differs from the paper"
	}
	return err
}
