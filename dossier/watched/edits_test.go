package watched

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/figures"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/testdata"
)

// editor changes a workshop on disk at random.
type editor struct {
	t    *testing.T
	dir  string
	rnd  *rand.Rand
	gone map[string][]byte // files as they were before they were changed
}

// keep remembers a file as it is before its first change.
func (e *editor) keep(name string) {
	if data, err := os.ReadFile(filepath.Join(e.dir, filepath.FromSlash(name))); err == nil && e.gone[name] == nil {
		e.gone[name] = data
	}
}

var figure = regexp.MustCompile(`\b\d+(\.\d+)?\b`)

// pick is any file of a folder.
func (e *editor) pick(folders ...string) string {
	var names []string
	for _, folder := range folders {
		entries, _ := os.ReadDir(filepath.Join(e.dir, folder))
		for _, d := range entries {
			if !d.IsDir() {
				names = append(names, path.Join(folder, d.Name()))
			}
		}
	}
	if len(names) == 0 {
		return ""
	}
	return names[e.rnd.IntN(len(names))]
}

func (e *editor) read(name string) []byte {
	data, err := os.ReadFile(filepath.Join(e.dir, filepath.FromSlash(name)))
	require.NoError(e.t, err)
	return data
}

func (e *editor) write(name string, data []byte) {
	file := filepath.Join(e.dir, filepath.FromSlash(name))
	e.keep(name)
	require.NoError(e.t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(e.t, os.WriteFile(file, data, 0o644))
}

// edit does one thing to the workshop and says what.
func (e *editor) edit() string {
	switch kind := e.rnd.IntN(20); kind {
	case 0, 1, 2, 12, 13, 14, 15: // a figure of a product
		name := e.pick("products")
		if name == "" {
			break
		}
		return "figure of " + e.figure(name)
	case 3, 4: // a figure of a sheet
		return "figure of " + e.figure(e.pick("ingredients"))
	case 5: // a supplier
		name := e.pick("ingredients")
		e.write(name, regexp.MustCompile(`supplier: \{name: [^,}]*`).ReplaceAll(e.read(name),
			fmt.Appendf(nil, "supplier: {name: Firth Works %d (invented)", e.rnd.IntN(3))))
		return "supplier of " + name
	case 6: // a file that cannot be read
		name := e.pick("products", "ingredients")
		e.write(name, append(e.read(name), "\nname: ["...))
		return "broken " + name
	case 7: // a file taken away
		name := e.pick("products", "ingredients", "evidence")
		e.keep(name)
		require.NoError(e.t, os.Remove(filepath.Join(e.dir, filepath.FromSlash(name))))
		return "gone " + name
	case 8: // the same name twice
		name := e.pick("ingredients")
		e.write("ingredients/twin.yaml", e.read(name))
		return "twin of " + name
	case 9: // a limit of the maker's own
		e.write("limits/house.csv", fmt.Appendf(nil, "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,"+
			"sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"+
			"house-1,own,house,EU+GB,Glycerin,,,all,%d,,,,,,,,our own rule,seen,\n", 1+e.rnd.IntN(6)))
		return "own limit"
	case 10, 11: // and gone again
		_ = os.RemoveAll(filepath.Join(e.dir, "limits"))
		_ = os.Remove(filepath.Join(e.dir, "ingredients", "twin.yaml"))
	}
	for _, name := range slices.Sorted(func(yield func(string) bool) {
		for name := range e.gone {
			if !yield(name) {
				return
			}
		}
	}) {
		if !strings.HasPrefix(name, "limits/") && path.Base(name) != "twin.yaml" {
			e.write(name, e.gone[name])
		}
		delete(e.gone, name)
	}
	return "all there again"
}

// figure changes one number of a file, often to one of the same length.
func (e *editor) figure(name string) string {
	data := e.read(name)
	at := figure.FindAllIndex(data, -1)
	if len(at) == 0 {
		return name
	}
	i := at[e.rnd.IntN(len(at))]
	data = slices.Concat(data[:i[0]], fmt.Appendf(nil, "%d", 1+e.rnd.IntN(9)), data[i[1]:])
	e.write(name, data)
	return name
}

// said is everything that a workshop says, as text.
func said(loaded []finding.Finding, as []*assess.Assessment, batches []finding.Finding) string {
	var b strings.Builder
	for _, fs := range [][]finding.Finding{loaded, batches} {
		for _, f := range fs {
			fmt.Fprintf(&b, "%+v\n", keyOf(f))
		}
	}
	for _, a := range as {
		fmt.Fprintf(&b, "== %s %s\n", a.Product.ID, a.Fingerprint)
		for _, f := range a.Findings {
			fmt.Fprintf(&b, "%+v\n", keyOf(f))
		}
	}
	return b.String()
}

// keyOf is a finding with its pointers followed.
func keyOf(f finding.Finding) string {
	grade := ""
	if f.Grade != nil {
		grade = f.Grade.Exact()
	}
	return fmt.Sprintf("%q %q %q %v %v %v %v", f.Key(), f.CauseKey(), grade, f.Variants, f.Markets, f.Who, f.Things)
}

// TestEdits changes a workshop over and over, and compares what a workshop that is kept
// says each time with what one says that is read anew.
func TestEdits(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, testdata.Large(testdata.Size{Sheets: 24, Products: 3, Variants: 2})))
	const day = exact.Date(20261129)
	tables := table.Builtin()
	w := Open(dir, tables, func() (exact.Date, bool) { return day, true })
	e := &editor{t: t, dir: dir, rnd: rand.New(rand.NewPCG(10, 15)), gone: map[string][]byte{}}
	kept, anew := 0, 0
	edits := testdata.Cases(16, 300)
	if testdata.Night() {
		edits = 10_000
	}
	for i := range edits {
		what := e.edit()
		if e.rnd.IntN(4) == 0 {
			w.Touch()
		}
		s := w.Now()
		anew += len(s.Workshop.Products)
		kept += len(s.checked)
		as, batches := s.Check()
		fresh, loaded := workshop.Load(dir, tables)
		bs, others := dossier.CheckAll(fresh, fresh.Computable(fresh.Products), nil,
			assess.Options{Date: day, DateChosen: true, Law: tables})
		require.Equal(t, said(loaded, bs, others), said(s.Findings, as, batches), "edit %d: %s", i, what)
		for _, p := range s.Workshop.Computable(s.Workshop.Products) {
			if e.rnd.IntN(12) > 0 {
				continue
			}
			a := s.Assess(p)
			b := dossier.Assess(fresh, fresh.Product(p.ID), assess.Options{Date: day, DateChosen: true, Law: tables})
			require.Equal(t, b.Fingerprint, a.Fingerprint, "edit %d: %s", i, what)
			var want, got bytes.Buffer
			require.NoError(t, figures.WriteJSON(&want, []*assess.Assessment{b}))
			require.NoError(t, figures.WriteJSON(&got, []*assess.Assessment{a}))
			require.True(t, bytes.Equal(want.Bytes(), got.Bytes()), "edit %d: %s: figures of %s", i, what, p.ID)
		}
	}
	require.Greater(t, kept*10, anew, "%d of %d products were kept", kept, anew)
}
