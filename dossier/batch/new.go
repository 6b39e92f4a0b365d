package batch

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"

	"gallipot/calc/masses"
	"gallipot/dossier/store"
	"gallipot/dossier/weigh"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// RecordText returns the batch record that goes with the sheet, with everything
// empty that is filled in while making.
func RecordText(s *weigh.WeighSheet) []byte {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("# Batch record of %s. Fill in what is empty as you go; leave empty what you do not know.",
		oneLine(s.P.Name))
	line("# gallipot batch %s says what is still missing.", s.Code)
	line("code: %s", s.Code)
	line("product: %s", s.Product)
	if s.Variant != "" {
		line("variant: %s", s.Variant)
	}
	line("revision: %d", s.Revision)
	line("fingerprint: %q", s.Fingerprint)
	line("date: %s", s.Date)
	line("batch_g: %s", s.Plan.TotalG.Exact())
	if s.Units > 0 {
		line("planned_units: %d", s.Units)
	}
	line("division_g: %s", s.Balance.DivisionG.Exact())
	line("made_by:")
	line("place:")
	line("start_checked_by:   # who looked at papers, materials, equipment and area before the start")
	line("# lot is your own number for the material; add supplier_lot: where you know it, and reason: where a mass is off its plan.")
	line("# Two lots of one material: leave lot empty and write lots: [{lot: …, g: …}, {lot: …, g: …}] in its place.")
	line("lines:")
	for _, l := range s.Plan.Lines {
		line("  - {%s}", recordLine(l))
	}
	if len(s.Plan.Portions) > 0 {
		line("portions:")
		for _, p := range s.Plan.Portions {
			line("  - {name: %s, planned_base_g: %s, base_g: }", strconv.Quote(p.Name), p.BaseG.Exact())
		}
	}
	if checks := s.Checks(); len(checks) > 0 {
		line("checks:")
		for _, c := range checks {
			line("  - {what: %s, wanted: %s, found: , ok: , by: }", c.What, strconv.Quote(oneLine(c.Wanted)))
		}
	}
	if len(s.Checks()) == 0 { // the specification of the product names none
		line("checks: []   # one {what: pH, wanted: \"5.0-5.5\", found: , ok: , by: } for each thing looked at while making")
	}
	if s.DriesPct.Sign() > 0 {
		line("yield: {filled_units: , filled_g: , dried: , rejected_units: , reason: }   # dried: false where filled_g was weighed wet, true where after drying")
	} else {
		line("yield: {filled_units: , filled_g: , rejected_units: , reason: }")
	}
	line("labels: {used: , left: }")
	line("packaging: []   # one {lot: …, units: …} for each lot of jars, caps, labels and boxes")
	line("retained: {units: , g: , where: }")
	line("release: {decision: , by: , date: }   # released, rejected or rework")
	line("remarks:")
	line("sent: []   # one {to: …, date: …, units: …} for each shop, market or order")
	return []byte(b.String())
}

func recordLine(l masses.PlanLine) string {
	parts := []string{"ingredient: " + l.Ingredient}
	if l.Phase != "" {
		parts = append(parts, "phase: "+strconv.Quote(l.Phase))
	}
	if l.Portion != "" {
		parts = append(parts, "portion: "+strconv.Quote(l.Portion))
	}
	if l.Added {
		parts = append(parts, "added: true")
	}
	return strings.Join(append(parts, "planned_g: "+l.G.Exact(), "weighed_g: ", "lot: ", "best_before: "), ", ")
}

// oneLine keeps a text on one line.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// NextCode returns the code of the next batch of a product and variant.
//
// Errors: a *ingredients.ValueError where the scheme cannot make one.
func NextCode(w *workshop.Workshop, product, variant string, date exact.Date) (string, error) {
	existing := w.BatchCodes()
	for _, name := range w.Batches { // of records that could not be read too
		existing = append(existing, workshop.IDOfFile(name))
	}
	code, err := w.BatchCode.Next(existing, product, variant, date)
	if err == nil && source.DeviceName(code) {
		return "", &exact.ValueError{What: code +
			" is the name of a device on Windows, where no record can be called that",
			Fix: "let batch_code in workshop.yaml make other codes"}
	}
	return code, err
}

// WriteRecord writes the batch record into the workshop and returns its name
// there.
//
// Errors: a *ingredients.ValueError where a record of that code is there already,
// for nothing is ever overwritten; else those of the file system.
func WriteRecord(s *weigh.WeighSheet) (string, error) {
	name := "batches/" + s.Code + ".yaml"
	for _, code := range append(s.W.BatchCodes(), namesOf(s.W.Batches)...) {
		if strings.EqualFold(code, s.Code) {
			return "", recordExists(name)
		}
	}
	if err := store.FolderInside(s.W.Dir, "batches"); err != nil {
		return "", err
	}
	f, err := store.Stage(filepath.Join(s.W.Dir, filepath.FromSlash(name)), func(w io.Writer) error {
		_, err := w.Write(RecordText(s))
		return err
	})
	if err != nil {
		return "", err
	}
	if err := f.PlaceNew(); errors.Is(err, fs.ErrExist) { // another run took the code meanwhile
		return "", recordExists(name)
	} else if err != nil {
		return "", err
	}
	return name, nil
}

func namesOf(files []string) []string {
	out := make([]string, len(files))
	for i, f := range files {
		out[i] = workshop.IDOfFile(f)
	}
	return out
}

func recordExists(name string) error {
	return &exact.ValueError{What: name + " is there already, and no batch record is overwritten",
		Fix: "run gallipot batch to see the codes in use"}
}
