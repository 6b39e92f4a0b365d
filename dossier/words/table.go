package words

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"

	"gallipot/templates"
)

// record is the wording of one code, form or term.
type record struct {
	name, file string
	line       int
	against    string
	texts      []*wording
}

// wording is one text of a record. It is read when it is first printed.
type wording struct {
	key string // message, assessor.fix …
	raw string
	at  int // line

	once sync.Once
	is   pattern
}

// text returns a text of the record; nil for none, and of no record.
func (r *record) text(key string) pattern {
	w := r.wording(key)
	if w == nil {
		return nil
	}
	w.once.Do(func() {
		var err error
		if w.is, err = readPattern(w.raw); err != nil {
			panic(fmt.Sprintf("%s:%d: %s", r.file, w.at, err)) // all are tested
		}
	})
	return w.is
}

func (r *record) wording(key string) *wording {
	if r == nil {
		return nil
	}
	for _, w := range r.texts {
		if w.key == key {
			return w
		}
	}
	return nil
}

// table holds the records: those of findings by code or code/form, those of terms, and
// those of what is said on the items of the file, which are terms as well.
type table struct {
	findings, terms, actions, remarks map[string]*record
}

// term is the record of a term; nil where there is none.
func (t *table) term(key string) *record {
	if r := t.remarks[key]; r != nil {
		return r
	}
	return t.terms[key]
}

// The keys that a record can have.
var (
	findingKeys = []string{"message", "why", "fix", "bench.message", "bench.why", "bench.fix",
		"assessor.message", "assessor.why", "assessor.fix"}
	termKeys   = []string{"text", "short", "bench.text", "assessor.text"}
	actionKeys = []string{"terminal", "bench", "assessor"}
)

// againstWords say what a stop is against.
var againstWords = map[string]string{
	"law": "against the law", "certificate": "against the certificate", "standard": "against a fragrance Standard",
	"record": "against the record", "computable": "not computable as it stands",
}

// wordings reads the embedded tables once; they are tested.
var wordings = sync.OnceValue(func() *table {
	t, err := splitTable(templates.Findings(), templates.Readiness())
	if err != nil {
		panic(err)
	}
	return t
})

// readTable reads all files of two folders, and every text in them.
//
// Errors: the file, the line and what is wrong with it; a name that both terms and
// readiness have.
func readTable(findings, readiness fs.FS) (*table, error) {
	t, err := splitTable(findings, readiness)
	if err != nil {
		return nil, err
	}
	for _, records := range []map[string]*record{t.findings, t.terms, t.actions, t.remarks} {
		for _, r := range records {
			for _, w := range r.texts {
				if _, err := readPattern(w.raw); err != nil {
					return nil, fmt.Errorf("%s:%d: %w", r.file, w.at, err)
				}
			}
		}
	}
	for name, r := range t.remarks {
		if t.terms[name] != nil {
			return nil, fmt.Errorf("%s:%d: %s stands among the terms of findings too", r.file, r.line, name)
		}
	}
	return t, nil
}

// splitTable splits all files of two folders into their texts. Of findings terms.txt holds
// terms, actions.txt the actions, every other file findings; readiness holds what is said
// on the items of the file.
func splitTable(findings, readiness fs.FS) (*table, error) {
	t := &table{map[string]*record{}, map[string]*record{}, map[string]*record{}, map[string]*record{}}
	err := eachFile("templates/findings/", findings, func(name, file, data string) error {
		switch name {
		case "terms.txt":
			return readRecords(file, data, termKeys, t.terms)
		case "actions.txt":
			return readRecords(file, data, actionKeys, t.actions)
		}
		return readRecords(file, data, findingKeys, t.findings)
	})
	if err != nil {
		return nil, err
	}
	return t, eachFile("templates/readiness/", readiness, func(_, file, data string) error {
		return readRecords(file, data, termKeys[:2], t.remarks)
	})
}

// eachFile reads the files of a folder of wordings. at stands before their names.
func eachFile(at string, folder fs.FS, read func(name, file, data string) error) error {
	names, err := fs.Glob(folder, "*.txt")
	if err != nil {
		return err
	}
	for _, name := range names {
		data, err := fs.ReadFile(folder, name)
		if err != nil {
			return err
		}
		if err := read(name, at+name, string(data)); err != nil {
			return err
		}
	}
	return nil
}

// readRecords reads one file into a table.
//
// Errors: the file, the line and what is wrong with it.
func readRecords(file, data string, keys []string, into map[string]*record) error {
	var now *record
	key, text := "", ""
	at := 0
	fault := func(format string, args ...any) error {
		return fmt.Errorf("%s:%d: %s", file, at, fmt.Sprintf(format, args...))
	}
	finish := func() error {
		if key == "" {
			return nil
		}
		defer func() { key, text = "", "" }()
		if key == "against" {
			if againstWords[text] == "" {
				return fault("nothing is against %q", text)
			}
			now.against = text
			return nil
		}
		now.texts = append(now.texts, &wording{key: key, raw: text, at: at})
		return nil
	}
	for i, line := range strings.Split(data, "\n") {
		line = strings.TrimRight(line, " \r")
		if line == "" || line[0] == '#' {
			continue
		}
		if line[0] == ' ' {
			if key == "" {
				return fault("a text goes on that has not begun")
			}
			text += " " + strings.TrimSpace(line)
			continue
		}
		if err := finish(); err != nil {
			return err
		}
		at = i + 1
		if name, ok := strings.CutPrefix(line, "["); ok {
			name = strings.TrimSuffix(name, "]")
			if into[name] != nil {
				return fault("%s stands twice", name)
			}
			now = &record{name: name, file: file, line: at}
			into[name] = now
			continue
		}
		k, rest, ok := strings.Cut(line, ":")
		switch {
		case now == nil:
			return fault("no record has begun")
		case !ok || k != "against" && !slices.Contains(keys, k):
			return fault("%q is no key of a record", k)
		case now.wording(k) != nil:
			return fault("%s stands twice", k)
		}
		key, text = k, strings.TrimSpace(rest)
	}
	return finish()
}
