// Command licences writes the list and the texts of the licences of all that is linked
// into the program or embedded in it:
//
//	go run ./testdata/licences           writes templates/licences.txt and, packed, licences.txt.gz
//	go run ./testdata/licences -check    fails where that file is not what it would write
//
// The modules are those of the program for every system of a release, with the licence
// files that stand in the module cache. What is inside PDFium, which comes as one
// WebAssembly file, is listed in parts.csv beside this file, each with how it is known,
// and its texts in texts/.
package main

import (
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"flag"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

const (
	here   = "testdata/licences"
	target = "templates/licences.txt"
)

// systems are those for which a release is built.
var systems = [][2]string{{"linux", "amd64"}, {"linux", "arm64"}, {"windows", "amd64"}, {"darwin", "arm64"}}

// part is one thing in the program.
type part struct {
	name, of, licence, source string
	texts                     []string
}

func main() {
	log.SetFlags(0)
	check := flag.Bool("check", false, "compare in place of writing")
	flag.Parse()
	data, err := list()
	if err != nil {
		log.Fatal(err)
	}
	if !*check {
		err = write(data)
	} else if have, readErr := os.ReadFile(target); readErr != nil {
		err = readErr
	} else if !bytes.Equal(have, data) {
		err = fmt.Errorf("%s is not what the modules say: run go run ./%s", target, here)
	}
	if err != nil {
		log.Fatal(err)
	}
}

// write writes the list as it is read, and packed as the program has it.
func write(data []byte) error {
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := w.Write(data); err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		return err
	}
	if err := os.WriteFile(target, data, 0o644); err != nil {
		return err
	}
	return os.WriteFile(target+".gz", packed.Bytes(), 0o644)
}

func list() ([]byte, error) {
	parts, err := own()
	if err != nil {
		return nil, err
	}
	for _, more := range []func() ([]part, error){modules, inside} {
		list, err := more()
		if err != nil {
			return nil, err
		}
		parts = append(parts, list...)
	}
	return printed(parts), nil
}

// own are the program itself, the language's library, and what is embedded beside code.
func own() ([]part, error) {
	root, err := goCommand(nil, "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	image, err := goCommand(nil, "list", "-m", "-f", "{{.Dir}}", "golang.org/x/image")
	if err != nil {
		return nil, err
	}
	var out []part
	for _, p := range []struct{ name, of, licence, source, file string }{
		{"gallipot", "", "MIT",
			"its words, tables and pages are its own; figures of the law are facts, each row names its source", "LICENSE"},
		{"Go, its runtime and library", "", "BSD-3-Clause",
			"one file of it, exec.go of text/template, is changed where methods are looked up",
			filepath.Join(strings.TrimSpace(root), "LICENSE")},
		{"Go fonts (Go, Go Mono)", "documents", "BSD-3-Clause", "", filepath.Join(strings.TrimSpace(image),
			"font/gofont/ttfs/README")},
		{"sRGB2014.icc, colour profile", "PDF", "of the International Color Consortium", "",
			"dossier/document/pdf/icc/LICENSE.color.org"},
	} {
		text, err := os.ReadFile(p.file)
		if err != nil {
			return nil, err
		}
		out = append(out, part{p.name, p.of, p.licence, p.source, []string{string(text)}})
	}
	return out, nil
}

// modules are those linked for any system, with their licence files; one that a folder of the
// program's own replaces is not.
func modules() ([]part, error) {
	seen := map[string]bool{}
	var out []part
	for _, s := range systems {
		text, err := goCommand([]string{"GOOS=" + s[0], "GOARCH=" + s[1], "CGO_ENABLED=0"}, "list", "-deps", "-f",
			"{{with .Module}}{{if not (or .Main (and .Replace (not .Replace.Version)))}}"+
				"{{.Path}} {{.Version}} {{.Dir}}{{end}}{{end}}", "./cmd/gallipot")
		if err != nil {
			return nil, err
		}
		for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
			f := strings.Fields(line)
			if len(f) != 3 || seen[f[0]] {
				continue
			}
			seen[f[0]] = true
			p := part{name: f[0] + " " + f[1]}
			for _, pattern := range []string{"LICEN[CS]E*", "COPYING*", "NOTICE*", "PATENTS*"} {
				files, err := filepath.Glob(filepath.Join(f[2], pattern))
				if err != nil {
					return nil, err
				}
				for _, file := range files {
					text, err := os.ReadFile(file)
					if err != nil {
						return nil, err
					}
					p.texts = append(p.texts, string(text))
				}
			}
			if p.licence = kind(strings.Join(p.texts, "\n")); p.licence == "" {
				return nil, fmt.Errorf("%s: no licence that is known: look at %s", f[0], f[2])
			}
			out = append(out, p)
		}
	}
	slices.SortFunc(out, func(a, b part) int { return strings.Compare(a.name, b.name) })
	return out, nil
}

// kind names the licences that a text is, by sentences that they alone have.
func kind(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	var out []string
	for _, k := range []struct{ name, words string }{
		{"Apache-2.0", "Apache License"},
		{"MIT", "Permission is hereby granted, free of charge"},
		{"BSD-3-Clause", "Redistributions in binary form must reproduce"},
	} {
		if strings.Contains(text, k.words) {
			out = append(out, k.name)
		}
	}
	if !strings.Contains(text, "Neither the name") {
		for i := range out {
			out[i] = strings.Replace(out[i], "BSD-3", "BSD-2", 1)
		}
	}
	return strings.Join(out, " and ")
}

// inside reads what PDFium consists of.
func inside() ([]part, error) {
	data, err := os.ReadFile(filepath.Join(here, "parts.csv"))
	if err != nil {
		return nil, err
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		return nil, err
	}
	var out []part
	for _, r := range rows[1:] {
		p := part{name: r[0], of: r[1], licence: r[2], source: r[4]}
		for _, name := range strings.Fields(r[3]) {
			text, err := os.ReadFile(filepath.Join(here, "texts", name+".txt"))
			if err != nil {
				return nil, err
			}
			p.texts = append(p.texts, string(text))
		}
		out = append(out, p)
	}
	return out, nil
}

// printed writes the list, then each text once with the parts that it is of.
func printed(parts []part) []byte {
	var b bytes.Buffer
	var texts []string
	of := map[string][]string{}
	wide, most := 0, 0
	for _, p := range parts {
		wide, most = max(wide, len(p.name)), max(most, len(p.licence))
	}
	for _, p := range parts {
		line := fmt.Sprintf("%-*s  %-*s", wide, p.name, most, p.licence)
		if p.of != "" {
			line += "  in " + p.of
		}
		if p.source != "" {
			line += "  (" + p.source + ")"
		}
		fmt.Fprintln(&b, strings.TrimRight(line, " "))
		for _, t := range p.texts {
			t = plain(t)
			if of[t] == nil {
				texts = append(texts, t)
			}
			of[t] = append(of[t], p.name)
		}
	}
	for _, t := range texts {
		fmt.Fprintf(&b, "\n%s\nLicence of %s\n\n%s\n", strings.Repeat("=", 78), strings.Join(of[t], ", "), t)
	}
	return b.Bytes()
}

func plain(s string) string {
	lines := strings.Split(strings.ReplaceAll(s, "\r\n", "\n"), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(strings.ReplaceAll(lines[i], "\t", "    "), " ")
	}
	return strings.Trim(strings.Join(lines, "\n"), "\n")
}

func goCommand(env []string, args ...string) (string, error) {
	c := exec.Command("go", args...)
	c.Env = append(os.Environ(), env...)
	c.Stderr = os.Stderr
	out, err := c.Output()
	return string(out), err
}
