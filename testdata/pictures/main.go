// Command pictures makes the pictures that the README shows, from the demo:
//
//	go run ./testdata/pictures
//
// It writes the pack of one product, picks a page by the title of a section, and has
// pdftoppm (poppler-utils) draw it as PNG beside this file; Chromium draws pages of the
// workbench. Look at what comes out
// before it is committed: nothing compares the pictures, since another release of
// pdftoppm may draw a line a shade darker.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

// picture is one page of a pack.
type picture struct {
	file    string
	product string
	heading string // a line of the page that holds it alone, as pdftotext reads it
	skip    int    // pages with the same words before it
}

var pictures = []picture{
	{file: "pack.png", product: "heath-wash", heading: "S.2 What is to be decided"},
}

// day is the one the demo is made for.
const day = exact.Date(20261125)

func main() {
	log.SetFlags(0)
	out := flag.String("out", "testdata/pictures", "the folder to write to")
	dpi := flag.Int("dpi", 100, "dots per inch")
	flag.Parse()
	if err := run(*out, *dpi); err != nil {
		log.Fatal(err)
	}
}

func run(out string, dpi int) error {
	dir, err := os.MkdirTemp("", "pictures")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	tree, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		return err
	}
	shop := filepath.Join(dir, "demo")
	if err := store.WriteTree(shop, tree); err != nil {
		return err
	}
	w, _ := workshop.Load(shop, table.Builtin())
	if w == nil {
		return errors.New("the demo cannot be read")
	}
	for _, p := range pictures {
		files, _, err := dossier.WritePack(dir, dossier.Assess(w, w.Product(p.product),
			assess.Options{Date: day, Law: table.Builtin()}))
		if err != nil {
			return err
		}
		at := slices.IndexFunc(files, func(f string) bool { return strings.HasSuffix(f, "-pack.pdf") })
		if at < 0 {
			return errors.New("no pack of " + p.product)
		}
		pack := files[at]
		page, err := p.page(pack)
		if err != nil {
			return err
		}
		if err := draw(pack, page, dpi, filepath.Join(out, p.file)); err != nil {
			return err
		}
		fmt.Printf("%s: page %d of the pack of %s\n", filepath.Join(out, p.file), page, p.product)
	}
	return workbench(shop, filepath.Join(dir, "base"), out)
}

// page finds the page on which a line is the heading and nothing else.
func (p picture) page(pack string) (int, error) {
	text, err := exec.Command("pdftotext", "-layout", pack, "-").Output()
	if err != nil {
		return 0, fmt.Errorf("pdftotext (poppler-utils): %w", err)
	}
	skip := p.skip
	for i, page := range strings.Split(string(text), "\f") {
		for line := range strings.Lines(page) {
			if strings.Join(strings.Fields(line), " ") != p.heading {
				continue
			}
			if skip == 0 {
				return i + 1, nil
			}
			skip--
			break
		}
	}
	return 0, fmt.Errorf("no page of %s is headed %q", filepath.Base(pack), p.heading)
}

func draw(pack string, page, dpi int, to string) error {
	n := strconv.Itoa(page)
	c := exec.Command("pdftoppm", "-png", "-singlefile", "-r", strconv.Itoa(dpi), "-f", n, "-l", n, pack,
		strings.TrimSuffix(to, ".png"))
	c.Stderr = os.Stderr
	if err := c.Run(); err != nil {
		return fmt.Errorf("pdftoppm (poppler-utils): %w", err)
	}
	return nil
}
