package templates_test

import (
	"fmt"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
	"gallipot/templates"
	"gallipot/testdata"
)

// workshops returns the two workshops that the program can write out.
func workshops(t *testing.T) map[string]fs.FS {
	t.Helper()
	demo, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		t.Fatal(err)
	}
	return map[string]fs.FS{"begin": templates.Begin(), "demo": demo}
}

// each runs f for every file of a workshop that matches the glob.
func each(t *testing.T, fsys fs.FS, glob string, f func(t *testing.T, name string, data []byte)) {
	t.Helper()
	names, err := fs.Glob(fsys, glob)
	if err != nil || len(names) == 0 {
		t.Fatalf("no file matches %s (%v)", glob, err)
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			data, err := fs.ReadFile(fsys, name)
			if err != nil {
				t.Fatal(err)
			}
			f(t, name, data)
		})
	}
}

func TestEveryFileIsYAML(t *testing.T) {
	for label, fsys := range workshops(t) {
		t.Run(label, func(t *testing.T) {
			for _, glob := range []string{"*.yaml", "ingredients/*.yaml", "products/*.yaml"} {
				each(t, fsys, glob, func(t *testing.T, _ string, data []byte) {
					if strings.ContainsAny(string(data), "\t\r") {
						t.Error("holds a tab or a carriage return")
					}
					var m map[string]any // a key that stands twice is an error here
					if err := yaml.Unmarshal(data, &m); err != nil {
						t.Error(err)
					}
				})
			}
		})
	}
}

func TestSheetsReadWithoutFindings(t *testing.T) {
	for label, fsys := range workshops(t) {
		t.Run(label, func(t *testing.T) {
			each(t, fsys, "ingredients/*.yaml", func(t *testing.T, name string, data []byte) {
				s, findings := ingredients.ReadSheet(source.NewSource(name, data))
				for _, f := range findings {
					t.Errorf("%d: %s: %s", f.Pos.Line, f.Code, f.Subject)
				}
				if s == nil {
					t.Fatal("not read")
				}
				if s.ID+".yaml" != path.Base(name) {
					t.Errorf("id %s in file %s", s.ID, name)
				}
				if !s.Invented {
					t.Error("is not marked as invented")
				}
				checkContents(t, s)
			})
		})
	}
}

// checkContents asks whether contents inside the ranges can make 100 %, and
// whether the declared allergens fit into the material.
func checkContents(t *testing.T, s *ingredients.Sheet) {
	t.Helper()
	hundred := exact.Int(100)
	var sum, inside exact.Range
	rest := false
	for _, c := range s.Composition.Constituents {
		sum = sum.Add(c.Pct.Range)
		rest = rest || c.Pct.Rest
	}
	open := rest || !s.Composition.Complete
	if len(s.Composition.Constituents) > 0 && (hundred.Less(sum.Min) || !open && sum.Max.Less(hundred)) {
		t.Errorf("the contents make %s to %s %%", sum.Min, sum.Max)
	}
	if s.Allergens == nil {
		return
	}
	for _, d := range s.Allergens.Declared {
		inside = inside.Add(d.Pct.Range)
	}
	if hundred.Less(inside.Max) {
		t.Errorf("the declared allergens make up to %s %% of the material", inside.Max)
	}
}

// TestNumbers checks the check digits of all CAS and EC numbers, also of those in
// comments, since they are there to be copied.
func TestNumbers(t *testing.T) {
	cas := regexp.MustCompile(`\b\d{2,7}-\d{2}-\d\b`)
	ec := regexp.MustCompile(`\b\d{3}-\d{3}-\d\b`)
	date := regexp.MustCompile(`\b\d{4}-\d{2}-\d{2}\b`)
	for label, fsys := range workshops(t) {
		t.Run(label, func(t *testing.T) {
			each(t, fsys, "ingredients/*.yaml", func(t *testing.T, _ string, data []byte) {
				text := date.ReplaceAllString(string(data), "")
				for _, n := range cas.FindAllString(text, -1) {
					if err := exact.CheckCAS(n); err != nil {
						t.Error(err)
					}
				}
				for _, n := range ec.FindAllString(text, -1) {
					if err := exact.CheckEC(n); err != nil {
						t.Error(err)
					}
				}
			})
		})
	}
}

var optionalLine = regexp.MustCompile(`^( *)# ( *(?:- |[a-z_]+:(?: |$)|[A-Z]{2}:$).*)$`)

// TestOptionalLines takes the # from the optional lines of the starter files: what
// a maker gets that way must be well formed too.
func TestOptionalLines(t *testing.T) {
	for _, glob := range []string{"*.yaml", "ingredients/*.yaml", "products/*.yaml"} {
		each(t, templates.Begin(), glob, func(t *testing.T, name string, data []byte) {
			lines := strings.Split(string(data), "\n")
			for i, line := range lines {
				if m := optionalLine.FindStringSubmatch(line); m != nil {
					lines[i] = m[1] + m[2]
				}
			}
			text := []byte(strings.Join(lines, "\n"))
			var m map[string]any
			if err := yaml.Unmarshal(text, &m); err != nil {
				t.Fatal(err)
			}
			if path.Dir(name) != "ingredients" {
				return
			}
			_, findings := ingredients.ReadSheet(source.NewSource(name, text))
			for _, f := range findings {
				// These values are left as words on purpose: no figure may be
				// copied by accident.
				if strings.Contains(lines[f.Pos.Line-1], "the figure of the study") {
					continue
				}
				t.Errorf("%s: %s", lines[f.Pos.Line-1], f.Subject)
			}
		})
	}
}

func TestStarterSheetsSayTheyAreExamples(t *testing.T) {
	each(t, templates.Begin(), "ingredients/*.yaml", func(t *testing.T, _ string, data []byte) {
		if !strings.Contains(string(data), "# EXAMPLE: ") {
			t.Error("does not say that its figures are examples")
		}
	})
}

func TestDemoSaysItIsInvented(t *testing.T) {
	demo := workshops(t)["demo"]
	for _, glob := range []string{"*.yaml", "ingredients/*.yaml", "products/*.yaml"} {
		each(t, demo, glob, func(t *testing.T, _ string, data []byte) {
			if !strings.HasPrefix(string(data), "# Invented sample ") {
				t.Error("does not begin by saying that it is invented")
			}
		})
	}
	each(t, demo, "evidence/*.txt", func(t *testing.T, _ string, data []byte) {
		if !strings.HasPrefix(string(data), "INVENTED SAMPLE DOCUMENT\n") {
			t.Error("does not begin with INVENTED SAMPLE DOCUMENT")
		}
	})
}

// TestDemoEvidence compares the papers named in the demo with those that are
// there: two are missing on purpose, none is left over.
func TestDemoEvidence(t *testing.T) {
	demo := workshops(t)["demo"]
	named := map[string]bool{}
	evidence := regexp.MustCompile(`evidence/[a-z0-9-]+\.txt`)
	for _, glob := range []string{"ingredients/*.yaml", "products/*.yaml"} {
		each(t, demo, glob, func(_ *testing.T, _ string, data []byte) {
			for _, file := range evidence.FindAllString(string(data), -1) {
				named[file] = true
			}
		})
	}
	var missing []string
	for file := range named {
		if _, err := fs.Stat(demo, file); err != nil {
			missing = append(missing, file)
		}
	}
	slices.Sort(missing)
	want := []string{"evidence/phytate-50-coa.txt", "evidence/rapeseed-oil-specification.txt"}
	if !slices.Equal(missing, want) {
		t.Errorf("missing are %v, wanted %v", missing, want)
	}
	there, err := fs.Glob(demo, "evidence/*")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range there {
		if !named[file] {
			t.Errorf("%s is named nowhere", file)
		}
	}
}

// TestDemoFaults compares the faults marked in the files with the list in the
// README: each number in both, in the file that the list names.
func TestDemoFaults(t *testing.T) {
	demo := workshops(t)["demo"]
	marked := map[string][]string{} // number to files
	fault := regexp.MustCompile(`# FAULT (\d\d): `)
	for _, glob := range []string{"ingredients/*.yaml", "products/*.yaml", "batches/*.yaml"} {
		each(t, demo, glob, func(_ *testing.T, name string, data []byte) {
			for _, m := range fault.FindAllStringSubmatch(string(data), -1) {
				marked[m[1]] = append(marked[m[1]], name)
			}
		})
	}
	readme, err := fs.ReadFile(demo, "README.txt")
	if err != nil {
		t.Fatal(err)
	}
	row := regexp.MustCompile(`(?m)^ (\d\d)  (?:stop|ask|note) +(\S+) `)
	var listed []string
	for _, m := range row.FindAllStringSubmatch(string(readme), -1) {
		listed = append(listed, m[1])
		if want := fmt.Sprintf("%02d", len(listed)); m[1] != want {
			t.Errorf("row %s where %s was expected", m[1], want)
		}
		if !slices.Contains(marked[m[1]], m[2]) {
			t.Errorf("fault %s is listed for %s but marked in %v", m[1], m[2], marked[m[1]])
		}
	}
	if got := slices.Sorted(maps.Keys(marked)); !slices.Equal(got, listed) {
		t.Errorf("marked are %v, listed are %v", got, listed)
	}
}
