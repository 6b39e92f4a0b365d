package recalc_test

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/pack"
	"gallipot/dossier/recalc"
	"gallipot/testdata"
)

// TestModelSameBytesTwice makes the workbook of a pack several times.
func TestModelSameBytesTwice(t *testing.T) {
	a := demo(t, "heath-wash")
	first := xlsxOf(t, pack.Build(a))
	for range 3 {
		require.True(t, bytes.Equal(first, xlsxOf(t, pack.Build(a))))
	}
}

// TestModelComesFirst: the sheets that recalculate come first, behind the contents, in
// fewer than thirty; and pages know nothing of them.
func TestModelComesFirst(t *testing.T) {
	d := pack.Build(demo(t, "heath-wash"))
	sheets := openXLSX(t, xlsxOf(t, d)).GetSheetList()
	require.Less(t, len(sheets), 30, "%v", sheets)
	live := []string{"Recalc", "Recalc formula", "Recalc contents", "Recalc substances", "Recalc allergens", "Recalc declare", "Recalc limits", "Recalc exposure", "Recalc margins", "Recalc MoS", "Recalc aggregate", "Recalc sources"}
	require.Equal(t, live, sheets[1:1+len(live)])
	for _, s := range sheets[1+len(live):] {
		require.False(t, strings.HasPrefix(s, "Recalc"), "%v", sheets)
	}
	require.NotContains(t, textOf(t, d), "Recalc")
	require.NotContains(t, htmlOf(t, d), "Recalc formula")
}

// TestModelIsProtected: every sheet is protected without a password; what may be
// typed into is unlocked, marked and says what it takes and where it comes from;
// every other cell is locked.
func TestModelIsProtected(t *testing.T) {
	for _, a := range []*assess.Assessment{assessChance(t, 7), assessChance(t, 3), demo(t, "heath-wash")}[:testdata.Cases(2, 3)] {
		d := pack.Build(a)
		data := xlsxOf(t, d)
		f := openXLSX(t, data)
		for i, sheet := range f.GetSheetList() {
			m := regexp.MustCompile(`<sheetProtection[^>]*>`).FindString(zipped(t, data, fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)))
			require.Contains(t, m, `sheet="true"`, sheet)
			require.NotContains(t, m, "assword", sheet)
			require.NotContains(t, m, "hash", sheet)
		}
		open := openInputs(t, d)
		require.Greater(t, len(open), 100)
		covered := coveredCells(t, f)
		for _, c := range storedFormulas(t, data) {
			if in, isInput := open[[2]string{c.sheet, c.name}]; !isInput || !in.Follows {
				require.True(t, isLocked(t, f, c.sheet, c.name), "%s!%s holds a formula and is open", c.sheet, c.name)
			}
		}
		for place, in := range open {
			require.False(t, isLocked(t, f, place[0], place[1]), "%v is locked", place)
			dv := covered[place]
			require.NotNil(t, dv, "%v takes anything", place)
			require.NotNil(t, dv.Prompt, "%v", place)
			require.NotEmpty(t, in.Title, "%v", place)
			require.NotEmpty(t, in.Source, "%v says nothing of its source", place)
			require.Contains(t, *dv.Prompt, "a number", "%v", place)
			require.Equal(t, "decimal", dv.Type)
			require.LessOrEqual(t, len([]rune(*dv.Prompt)), 255)
			require.LessOrEqual(t, len([]rune(*dv.PromptTitle)), 32)
			require.LessOrEqual(t, len([]rune(*dv.Error)), 225)
		}
	}
}

// openInputs are the cells of a document that may be typed into, by their places.
func openInputs(t *testing.T, d *document.Document) map[[2]string]document.Input {
	t.Helper()
	x := &sheet.XLSXWriter{D: d, TableNo: d.TableNumbers(), Cells: map[string]sheet.CellPlace{}, Tables: map[string]*sheet.XLSXTable{}}
	x.Gather()
	x.Place()
	open := map[[2]string]document.Input{}
	for _, p := range x.Tables {
		for i, r := range p.T.Rows {
			for j, c := range r.Cells {
				if c.Input == nil {
					continue
				}
				for k := range p.Width[j] {
					open[[2]string{p.Sheet.Name, sheet.CellName(p.First[j]+k, p.Rows[i])}] = *c.Input
				}
			}
		}
	}
	return open
}

// coveredCells are the cells that a validation covers.
func coveredCells(t *testing.T, f *excelize.File) map[[2]string]*excelize.DataValidation {
	t.Helper()
	covered := map[[2]string]*excelize.DataValidation{}
	for _, oneSheet := range f.GetSheetList() {
		list, err := f.GetDataValidations(oneSheet)
		require.NoError(t, err)
		for _, dv := range list {
			for area := range strings.FieldsSeq(dv.Sqref) {
				from, to, _ := strings.Cut(area, ":")
				if to == "" {
					to = from
				}
				c1, r1, err := excelize.CellNameToCoordinates(from)
				require.NoError(t, err)
				c2, r2, err := excelize.CellNameToCoordinates(to)
				require.NoError(t, err)
				for c := c1; c <= c2; c++ {
					for r := r1; r <= r2; r++ {
						key := [2]string{oneSheet, sheet.CellName(c, r)}
						require.Nil(t, covered[key], "%v is covered twice", key)
						covered[key] = dv
					}
				}
			}
		}
	}
	return covered
}

// hostile are words that a spreadsheet could take for a formula.
var hostile = []string{"=1+1", "+44 20", "-cmd", "@SUM(1)", `=HYPERLINK("http://x.invalid","y")`, "=cmd|' /C calc'!A0"}

// formulaRE is all that formulas are made of: functions that every program knows,
// cells, names of cells, numbers, and words of the program's own.
var (
	formulaWordRE = regexp.MustCompile(`"[^"]*"`)
	formulaRE     = regexp.MustCompile(`^(SUMPRODUCT|SUM|MAX|MIN|IF|AND|OR|ABS|INDEX|MATCH|ISNUMBER|COUNTIF|COUNT|'Recalc( [A-Za-z]+)?'!|\$?[A-Z]{1,3}\$?[0-9]+|[A-Za-z]+_[A-Za-z0-9_]+|[0-9.]+|[-+*/(),:<>=]|"")+$`)
)

// TestModelKeepsWordsOutOfFormulas: nothing that a maker types gets into a
// formula, and words that look like one stay words.
func TestModelKeepsWordsOutOfFormulas(t *testing.T) {
	s := newChanceShop(4)
	s.product(4)
	quoted := func(i int) string { return fmt.Sprintf("%q", hostile[i]) }
	for name, text := range s.files {
		if strings.HasPrefix(name, "ingredients/base-0") {
			text = strings.Replace(text, "name: Name of base-0", "name: "+quoted(0), 1)
			text = strings.Replace(text, `inci: "Decyl Glucoside", cas: 68515-73-1`, "inci: "+quoted(3), 1)
		}
		text = strings.Replace(text, "name: Product of chance", "name: "+quoted(5), 1)
		text = strings.Replace(text, "{id: A, lines", "{id: A, name: "+quoted(4)+", lines", 1)
		s.files[name] = regexp.MustCompile(`name: layer (\d)`).ReplaceAllString(text, `name: "=layer $1"`)
	}
	a := assessMap(t, s.files)
	data := xlsxOf(t, modelAlone(a))
	for _, c := range storedFormulas(t, data) {
		plain := formulaWordRE.ReplaceAllString(c.formula, `""`)
		require.Regexp(t, formulaRE, plain, "%s!%s", c.sheet, c.name)
		for _, words := range formulaWordRE.FindAllString(c.formula, -1) {
			require.NotContains(t, words, "=")
			require.NotContains(t, words, "layer")
		}
	}
	text := zipped(t, data, "xl/sharedStrings.xml")
	for _, words := range []string{"=1+1 (base-0)", "@SUM(1)", "=layer 0"} {
		require.True(t, strings.Contains(text, ">"+words+"<") || strings.Contains(text, ": "+words+"<"), words)
	}
	for _, n := range openXLSX(t, data).GetDefinedName() {
		require.Regexp(t, `^(_xlnm\.)?[A-Za-z]+_[A-Za-z0-9_]+$`, n.Name)
	}
}

// TestModelMeetsEveryCase looks whether the workshops of chance hold what the
// formulas have to cope with, so that the comparison means something.
func TestModelMeetsEveryCase(t *testing.T) {
	cases := map[string]func(storedCell) bool{
		"an allergen that is listed and declared": func(c storedCell) bool { return strings.HasPrefix(c.formula, "MAX(0,") },
		"a slot shared by two": func(c storedCell) bool {
			return c.sheet == recalc.FormulaSheet && regexp.MustCompile(`^\$D\$\d+\*\$[A-Z]+\$\d+/100$`).MatchString(c.formula)
		},
		"something stirred in": func(c storedCell) bool { return strings.HasPrefix(c.formula, "100/(100+") },
		"a formula in grams": func(c storedCell) bool {
			return strings.HasSuffix(c.formula, ",0)") && strings.Contains(c.formula, ">0,100/")
		},
		"percentages without q.s.": func(c storedCell) bool {
			return strings.Contains(c.formula, recalc.ToleranceName) && c.sheet == recalc.FormulaSheet && strings.HasSuffix(c.formula, ",0),1)")
		},
		"a q.s. line": func(c storedCell) bool { return strings.Contains(c.formula, "<="+recalc.Tiny+",0,100-") },
		"an empty slot": func(c storedCell) bool {
			return c.sheet == recalc.FormulaSheet && strings.HasPrefix(c.formula, "SUM(") && strings.Contains(c.formula, ",") && c.value != "0"
		},
		"portions": func(c storedCell) bool {
			return c.sheet == recalc.FormulaSheet && strings.HasSuffix(c.formula, ")/100")
		},
		"absorption by area":                        func(c storedCell) bool { return strings.Contains(c.formula, "*0.001*") },
		"absorption by area beside a stated figure": func(c storedCell) bool { return strings.Contains(c.formula, "MAX("+recalc.NameEbw) },
		"a dermal study": func(c storedCell) bool {
			return c.sheet == recalc.MarginSheet && regexp.MustCompile(`^D\d+$`).MatchString(c.formula)
		},
		"something breathed in":             func(c storedCell) bool { return strings.Contains(c.formula, recalc.NameInhaled+"*") },
		"a factor for children":             func(c storedCell) bool { return strings.Contains(c.formula, recalc.NameChild) },
		"a printed exposure":                func(c storedCell) bool { return strings.Contains(c.formula, recalc.NameStated) },
		"no exposure":                       func(c storedCell) bool { return c.value == recalc.NoExposureWords },
		"no dose":                           func(c storedCell) bool { return c.value == recalc.NoDoseWords },
		"a margin below its target":         func(c storedCell) bool { return strings.HasSuffix(c.value, "below target") },
		"an allergen whose range straddles": func(c storedCell) bool { return strings.HasSuffix(c.value, "declare, open") },
		"an allergen not stated":            func(c storedCell) bool { return strings.HasSuffix(c.value, "not stated") },
		"soap": func(c storedCell) bool {
			return c.sheet == recalc.FormulaSheet && strings.HasPrefix(c.formula, "100-SUM")
		},
	}
	if !testdata.Long() {
		t.Skip("a long test: GALLIPOT_LONG=1 runs it")
	}
	found := map[string]bool{}
	for seed := range chanceWorkshops {
		for _, c := range storedFormulas(t, xlsxOf(t, modelAlone(assessChance(t, seed)))) {
			for name, is := range cases {
				found[name] = found[name] || is(c)
			}
			require.NotEqual(t, "differs", c.value)
		}
	}
	for name := range cases {
		require.True(t, found[name], "no workshop has %s", name)
	}
}
