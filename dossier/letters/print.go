package letters

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"gallipot/dossier/document"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/store"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
	"gallipot/templates"
)

// letterFile is one letter under the name of its files.
type letterFile struct {
	Name string // without ending
	Doc  *document.Document
}

// Documents makes the letters into documents, from the texts in templates.
//
// Errors: when a template names a field that is not there, which tests rule out.
func (l *Letters) Documents(author string, day exact.Date) ([]letterFile, error) {
	var files []letterFile
	used := map[string]bool{}
	add := func(template, name, title string, data any) error {
		var b bytes.Buffer
		if err := templates.Letter(template).Execute(&b, data); err != nil {
			return fmt.Errorf("letter %s: %w", name, err)
		}
		unique := name
		for n := 2; used[unique]; n++ {
			unique = name + "-" + words.Itoa(n)
		}
		used[unique] = true
		files = append(files, letterFile{unique, letterDocument(b.String(), title, author, day)})
		return nil
	}
	used["laboratory"], used["assessor"] = l.Laboratory != nil, l.Assessor != nil
	for i := range l.Suppliers {
		if err := add("supplier", fileWord(l.Suppliers[i].To), "Request for papers and figures",
			&l.Suppliers[i]); err != nil {
			return nil, err
		}
	}
	used["laboratory"], used["assessor"] = false, false
	if l.Laboratory != nil {
		if err := add("laboratory", "laboratory", "Request for tests", l.Laboratory); err != nil {
			return nil, err
		}
	}
	if l.Assessor != nil {
		if err := add("assessor", "assessor", "Points for the assessor", l.Assessor); err != nil {
			return nil, err
		}
	}
	return files, nil
}

// longestWord leaves room for a number and an ending: some systems take 143 bytes.
const longestWord = 80

// fileWord makes a name into one that is a file name everywhere.
func fileWord(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(strings.TrimSuffix(name, " (invented)")) {
		switch {
		case r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	s := b.String()
	s = strings.Trim(s[:min(len(s), longestWord)], "-")
	switch {
	case s == "":
		return "supplier"
	case source.DeviceName(s):
		return s + "-letter"
	}
	return s
}

// letterDocument reads the text of a letter, see [templates.Letter]. What stands
// before its first heading is the letterhead.
func letterDocument(text, title, author string, day exact.Date) *document.Document {
	d := &document.Document{Title: title, Language: "en-GB", Author: author, Subject: title, Date: day,
		NoContents: true}
	var s, top *document.Section
	for _, block := range strings.Split(text, "\n\n") {
		lines := slices.DeleteFunc(strings.Split(block, "\n"),
			func(line string) bool { return strings.TrimSpace(line) == "" })
		if len(lines) > 0 && strings.HasPrefix(lines[0], "#") {
			head := strings.TrimLeft(lines[0], "# ")
			if top != nil && strings.HasPrefix(lines[0], "## ") {
				s = top.AddSection(top.ID+"-"+words.Itoa(len(top.Subsections)+1), head)
			} else {
				s = d.AddSection("letter-"+words.Itoa(len(d.Sections)+1), head)
				top = s
			}
			lines = lines[1:]
		}
		if len(lines) == 0 {
			continue
		}
		if s == nil {
			if len(d.Letterhead) > 0 {
				d.Letterhead = append(d.Letterhead, "")
			}
			for _, line := range lines {
				d.Letterhead = append(d.Letterhead, strings.TrimPrefix(line, "> "))
			}
			continue
		}
		s.Add(letterBlock(lines))
	}
	return d
}

func letterBlock(lines []string) document.Block {
	all := func(prefix string) ([]string, bool) {
		var out []string
		for _, l := range lines {
			rest, ok := strings.CutPrefix(l, prefix)
			if !ok {
				return nil, false
			}
			out = append(out, rest)
		}
		return out, true
	}
	if items, ok := all("- "); ok {
		return document.List(items...)
	}
	if kept, ok := all("> "); ok {
		return document.Para(strings.Join(kept, "\n"))
	}
	return document.Para(strings.Join(lines, " "))
}

// WriteLetters writes each letter as text and as PDF into a folder and returns
// the names of the files, what the PDF's font could not show, and the names of
// older letters in the folder that nothing is asked for in any more.
//
// Errors: when a file cannot be written; each file is whole or as it was before.
func WriteLetters(dir string, l *Letters, author string,
	day exact.Date) (files, warnings, stale []string, err error) {
	letters, err := l.Documents(author, day)
	if err != nil {
		return nil, nil, nil, err
	}
	written := map[string]bool{}
	for _, letter := range letters {
		var text bytes.Buffer
		if err := plain.Write(&text, letter.Doc); err != nil {
			return files, warnings, nil, fmt.Errorf("the letter %s: %w", letter.Name, err)
		}
		pdf, warn, err := pdf.Render(letter.Doc, nil)
		if err != nil {
			return files, warnings, nil, fmt.Errorf("the letter %s: %w", letter.Name, err)
		}
		warnings = append(warnings, warn...)
		pair := []store.NewFile{{Path: filepath.Join(dir, letter.Name+".txt"), Data: text.Bytes()},
			{Path: filepath.Join(dir, letter.Name+".pdf"), Data: pdf}}
		if err := store.WriteFiles(pair...); err != nil {
			return files, warnings, nil, err
		}
		for _, f := range pair {
			written[filepath.Base(f.Path)] = true
			files = append(files, f.Path)
		}
	}
	return files, warnings, olderLetters(dir, written), nil
}

// olderLetters lists letters of an earlier run.
func olderLetters(dir string, written map[string]bool) []string {
	entries, err := fs.ReadDir(os.DirFS(dir), ".")
	if err != nil {
		return nil
	}
	var names []string
	for _, e := range entries {
		ext := filepath.Ext(e.Name())
		if !e.IsDir() && (ext == ".txt" || ext == ".pdf") && !written[e.Name()] {
			names = append(names, filepath.Join(dir, e.Name()))
		}
	}
	return names
}
