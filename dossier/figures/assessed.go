package figures

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// AssessedFindings compare today's figures with those that the newest
// assessment on record was made for.
//
// Findings: note "assessed" when they are the same; ask
// "changed-since-assessment" with what changed, where the figures of the time
// were kept; ask "assessed-other-figures" where they were not, or where they
// are the same and something beside them changed; ask "figures-unreadable".
func AssessedFindings(a *assess.Assessment) []finding.Finding {
	last := a.Product.Newest()
	if last == nil || len(a.Results) == 0 {
		return nil
	}
	if last.Fingerprint == a.Fingerprint {
		return []finding.Finding{a.Product.About(finding.NewFinding(finding.Note, "assessed", last.Pos,
			workshop.With().Name("assessor", last.Assessor).Day("dated", last.Dated))).
			With(finding.Action{Kind: finding.ActionCheckAgain, Product: a.Product.ID})}
	}
	v := workshop.With().Day("dated", last.Dated).Name("then", last.Fingerprint).Name("now", a.Fingerprint)
	if last.Revision > 0 && last.Revision != a.Product.Revision {
		v = v.Count("revision_then", last.Revision).Count("revision_now", a.Product.Revision)
	}
	other := a.Product.About(finding.NewFinding(finding.Ask, "assessed-other-figures", last.Pos, v)).
		By(finding.TheAssessor).
		At(last.Pos.File, "assessments", nil).
		With(finding.Action{Kind: finding.ActionKeepFigures, Product: a.Product.ID})
	if last.Figures == "" {
		return []finding.Finding{other}
	}
	changes, f := sinceFigures(a, last)
	switch {
	case f != nil:
		return []finding.Finding{other, *f}
	case len(changes) == 0:
		return []finding.Finding{other.As("same-figures")}
	}
	x := a.Product.About(finding.NewFinding(finding.Ask, "changed-since-assessment", last.Pos, workshop.With().
		Day("dated", last.Dated).Count("changes", len(changes)))).
		By(finding.TheAssessor).At(last.Pos.File, "assessments", nil)
	for _, c := range changes {
		x.Sum = append(x.Sum, finding.Term{Key: "change", Values: workshop.With().Quote("change", c.String())})
	}
	return []finding.Finding{x}
}

// sinceFigures reads the figures kept with an assessment and compares them, or
// says why it cannot.
func sinceFigures(a *assess.Assessment, last *workshop.Recorded) ([]Change, *finding.Finding) {
	unreadable := func(form string, v finding.Values) ([]Change, *finding.Finding) {
		f := a.Product.About(finding.NewFinding(finding.Ask, "figures-unreadable", last.Pos,
			v.Name("file", last.Figures))).As(form).
			At(last.Pos.File, "assessments.figures", nil).
			With(finding.Action{Kind: finding.ActionKeepFigures, Product: a.Product.ID})
		return nil, &f
	}
	data, err := readPaper(a.Workshop, last.Figures)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil // the missing file has its own finding
	}
	if err != nil {
		return unreadable("", workshop.With().Quote("fault", err.Error()))
	}
	then, err := ReadFigures(data)
	if err != nil {
		return unreadable("no-figures", nil)
	}
	then = then.Of(a.Product.ID)
	if len(then) == 0 {
		return unreadable("other-product", nil)
	}
	if kept := then[0].Fingerprint; kept != last.Fingerprint {
		return unreadable("other-fingerprint", workshop.With().Name("kept", kept).
			Name("assessed", last.Fingerprint))
	}
	then = then.sameScope(a)
	now, err := FiguresOf([]*assess.Assessment{a})
	if err != nil {
		return unreadable("", workshop.With().Quote("fault", err.Error()))
	}
	return Compare(then, now), nil
}

// readPaper reads a file of the workshop; nothing outside it.
func readPaper(w *workshop.Workshop, name string) ([]byte, error) {
	root, err := os.OpenRoot(w.Dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	f, err := store.OpenPlain(root, name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return readFigures(f)
}

// ReadFiguresFile reads a file of figures by its path, for [ReadFigures].
//
// Errors: a *ingredients.ValueError where it is no plain file, cannot be opened
// or is too large.
func ReadFiguresFile(name string) ([]byte, error) {
	info, err := os.Stat(name)
	if err == nil && !store.Readable(info.Mode()) {
		err = store.ErrNoFile
	}
	var data []byte
	if err == nil {
		var f *os.File
		if f, err = os.Open(name); err == nil {
			defer f.Close()
			data, err = readFigures(f)
		}
	}
	if err != nil {
		return nil, &exact.ValueError{What: name + " cannot be read: " + store.Reason(err),
			Fix: "name a workshop folder, or a file that gallipot figures --json wrote"}
	}
	return data, nil
}

// readFigures reads an open file that is not too large; its size is asked for
// before anything is read.
func readFigures(f *os.File) ([]byte, error) {
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if info.Size() > maxFiguresBytes {
		return nil, fmt.Errorf("it has %d bytes, the most that is read is %d", info.Size(), maxFiguresBytes)
	}
	return io.ReadAll(io.LimitReader(f, maxFiguresBytes))
}

// maxFiguresBytes is more than any file of figures needs: a variant in a market
// takes some 80 kB, so there is room for three thousand.
const maxFiguresBytes = 256 << 20

// sameScope leaves out the variants and markets that a run was narrowed to do
// without; what the product itself no longer has stays and is told as gone.
func (l Snapshots) sameScope(a *assess.Assessment) Snapshots {
	shown := map[string]bool{}
	for _, r := range a.Results {
		shown[r.Input.Variant.ID] = true
	}
	var out Snapshots
	for _, s := range l {
		hidden := !shown[s.Variant] && slices.ContainsFunc(a.Product.Variants,
			func(v *formula.Variant) bool { return v.ID == s.Variant })
		elsewhere := len(a.Options.Markets) > 0 && !slices.Contains(a.Options.Markets, rows.Market(s.Market))
		if !hidden && !elsewhere {
			out = append(out, s)
		}
	}
	return out
}

// Since lists what differs from the figures of the newest assessment on record; kept
// is false where those were not kept or cannot be read.
func Since(a *assess.Assessment) (changes []Change, kept bool) {
	last := a.Product.Newest()
	if last == nil || last.Figures == "" || len(a.Results) == 0 {
		return nil, false
	}
	changes, f := sinceFigures(a, last)
	return changes, f == nil
}
