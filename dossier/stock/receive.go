package stock

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/batchcode"
	"gallipot/dossier/edit"
	"gallipot/dossier/store"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// firstLot is the number of the first lot of a workshop that has none.
const firstLot = "RM-0001"

var counted = pattern.New(`^(.*?)([0-9]+)$`)

// NextLot is a number for the next lot: that of the lot received last, counted on, with
// as many digits.
func NextLot(w *workshop.Workshop) string {
	var last *workshop.Lot
	for _, l := range w.Lots {
		if counted.MatchString(l.Code) && (last == nil || !l.Received.Before(last.Received)) {
			last = l
		}
	}
	code := firstLot
	if last != nil {
		code = next(last.Code)
	}
	for taken(w, code) {
		code = next(code)
	}
	return code
}

func next(code string) string {
	m := counted.FindStringSubmatch(code)
	n, err := strconv.Atoi(m[2])
	if err != nil {
		return code + "-1"
	}
	return fmt.Sprintf("%s%0*d", m[1], len(m[2]), n+1)
}

// taken says whether a number is that of a lot, readable or not, or in a record.
func taken(w *workshop.Workshop, code string) bool {
	if slices.ContainsFunc(w.LotFiles, func(file string) bool {
		return workshop.SameLot(workshop.IDOfFile(file),
			code)
	}) {
		return true
	}
	for _, b := range w.BatchRecords {
		for _, l := range b.Lines {
			if slices.ContainsFunc(l.Lots, func(x workshop.BatchLot) bool { return workshop.SameLot(x.Lot, code) }) {
				return true
			}
		}
	}
	return false
}

// text is the file of a new lot.
func text(l *workshop.Lot) []byte {
	var b bytes.Buffer
	line := func(key, value string) {
		if value != "" {
			fmt.Fprintf(&b, "%s: %s\n", key, value)
		}
	}
	line("lot", strconv.Quote(l.Code))
	line("ingredient", l.Ingredient)
	if l.Label == nil {
		line("item", quoted(l.Item))
	} else {
		fmt.Fprintf(&b, "label:\n  product: %s\n", l.Label.Product)
		if l.Label.Variant != "" {
			fmt.Fprintf(&b, "  variant: %s\n", l.Label.Variant)
		}
		fmt.Fprintf(&b, "  market: %s\n  revision: %d\n  ingredients: %s   # as printed on them\n", l.Label.Market,
			l.Label.Revision, strconv.Quote(l.Label.Ingredients))
	}
	line("supplier", quoted(l.Supplier))
	line("supplier_lot", quoted(l.SupplierLot))
	line("received", l.Received.String())
	if l.G != nil {
		line("received_g", l.G.Exact())
	}
	if l.Units != nil {
		line("received_units", strconv.Itoa(*l.Units))
	}
	line("best_before", l.BestBefore.String())
	line("retest", l.Retest.String())
	if l.Price != nil {
		line("price", l.Price.Exact()+"   # of the whole lot")
	}
	if c := l.Certificate; c.File != "" || len(c.Results) > 0 {
		fmt.Fprintf(&b, "certificate:\n")
		line("  file", quoted(c.File))
		line("  dated", c.Dated.String())
		if len(c.Results) > 0 {
			fmt.Fprintf(&b, "  results:\n")
		}
		for _, r := range c.Results {
			fmt.Fprintf(&b, "    - {what: %s, found: %s}\n", strconv.Quote(r.What), strconv.Quote(r.Found))
		}
	}
	return b.Bytes()
}

func quoted(s string) string {
	if s == "" {
		return ""
	}
	return strconv.Quote(s)
}

// Entered is the file of a new lot: its name in the workshop and its bytes. Nothing is
// written.
//
// Errors: a *exact.ValueError where the number is taken or cannot be one, for nothing is
// ever overwritten.
func Entered(w *workshop.Workshop, l *workshop.Lot) (name string, data []byte, err error) {
	switch {
	case !batchcode.Fits(l.Code):
		return "", nil, &exact.ValueError{What: strconv.Quote(l.Code) + " cannot be the number of a lot",
			Fix: "use letters, digits, hyphens and full stops"}
	case slices.ContainsFunc(w.LotFiles,
		func(file string) bool { return workshop.SameLot(workshop.IDOfFile(file), l.Code) }):
		return "", nil, thereAlready(l)
	}
	return "lots/" + l.Code + ".yaml", text(l), nil
}

func thereAlready(l *workshop.Lot) error {
	return &exact.ValueError{What: "lot " + l.Code + " is there already, and no lot is overwritten",
		Fix: "give it another number"}
}

// Receive writes the file of a new lot into the workshop and returns its name there.
//
// Errors: those of [Entered]; else those of the file system.
func Receive(w *workshop.Workshop, l *workshop.Lot) (string, error) {
	name, data, err := Entered(w, l)
	if err != nil {
		return "", err
	}
	if err := store.FolderInside(w.Dir, "lots"); err != nil {
		return "", err
	}
	f, err := store.Stage(filepath.Join(w.Dir, filepath.FromSlash(name)), func(out io.Writer) error {
		_, err := out.Write(data)
		return err
	})
	if err != nil {
		return "", err
	}
	if err := f.PlaceNew(); errors.Is(err, fs.ErrExist) { // another run took the number meanwhile
		return "", thereAlready(l)
	} else if err != nil {
		return "", err
	}
	return name, nil
}

// Moved is the file of a lot with one more entry: kind is discarded or counted. Every other
// byte stays as it is, and nothing is written.
//
// Errors: an *edit.Refusal where the file cannot be changed there.
func Moved(l *workshop.Lot, kind string, m workshop.LotMove) ([]byte, error) {
	file, err := edit.Parse(l.Source.Name, l.Source.Bytes)
	if err != nil {
		return nil, err
	}
	v := edit.Group().With("date", edit.Typed(m.Date.String()))
	if m.G != nil {
		v = v.With("g", edit.Typed(m.G.Exact()))
	}
	if m.Units != nil {
		v = v.With("units", edit.Typed(strconv.Itoa(*m.Units)))
	}
	if strings.TrimSpace(m.Reason) != "" {
		v = v.With("reason", edit.Text(m.Reason))
	}
	if file, err = file.Apply(edit.Insert(edit.Path{kind, "-"}, v)); err != nil {
		return nil, err
	}
	return file.Bytes(), nil
}

// Move writes down that something of a lot was thrown away or counted: kind is discarded
// or counted. Every other byte of its file stays as it is.
//
// Errors: an *edit.Refusal where the file cannot be changed there; a *exact.ValueError
// where it was changed since it was read; those of the file system.
func Move(w *workshop.Workshop, l *workshop.Lot, kind string, m workshop.LotMove) error {
	data, err := Moved(l, kind, m)
	if err != nil {
		return err
	}
	path := filepath.Join(w.Dir, filepath.FromSlash(l.Source.Name))
	now, err := os.ReadFile(path)
	if err != nil {
		return store.CannotWrite(l.Source.Name, err)
	}
	if !bytes.Equal(now, l.Source.Bytes) {
		return &exact.ValueError{What: l.Source.Name + " was changed meanwhile", Fix: "run it again"}
	}
	return store.WriteFiles(store.NewFile{Path: path, Data: data})
}
