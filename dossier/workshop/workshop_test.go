package workshop

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/exact"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// sheetFile is a sheet that reads without a finding.
func sheetFile(id, more string) string {
	return "id: " + id + "\nname: N\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n" + more
}

func TestLoadFindings(t *testing.T) {
	many := make(map[string]string)
	for i := range 40 {
		many[fmt.Sprintf("ingredients/m%02d.yaml", i)] = sheetFile(fmt.Sprintf("m%02d", i), "zzz: 1\n")
	}
	var manyWant []string
	for i := range 40 {
		manyWant = append(manyWant, fmt.Sprintf("ingredients/m%02d.yaml:4:1 unknown-key `zzz`", i))
	}
	water := sheetFile("water", "")
	cases := []struct {
		name  string
		files map[string]string
		want  string
		fix   string
	}{
		{"nothing wrong", map[string]string{"ingredients/water.yaml": water, "products/x.yaml": product}, "", ""},
		{"empty workshop", nil, "", ""},
		{"sheets by the other ending", map[string]string{"ingredients/water.yml": water, "products/x.yml": product}, "", ""},
		{"unknown ingredient", map[string]string{"ingredients/watre.yaml": sheetFile("watre", ""),
			"products/x.yaml": product},
			"products/x.yaml:11:24 unknown-ingredient `water`", "write watre, or write the sheet ingredients/water.yaml"},
		{"unknown ingredients in a variant", map[string]string{"ingredients/water.yaml": water,
			"products/x.yaml": product + "variants: [{id: a, fill: {scent: oil}, then_add: [{ingredient: sand, parts_per_100: 1}]}, {id: b, portions: [{share: 100, fill: {scent: [{ingredient: gum, share: 100}]}}]}]\n"},
			"products/x.yaml:13:34 unknown-ingredient `oil`\nproducts/x.yaml:13:64 unknown-ingredient `sand`\nproducts/x.yaml:13:151 unknown-ingredient `gum`", "ingredients/oil.yaml"},
		{"a broken sheet is one finding, not two",
			map[string]string{"ingredients/water.yaml": "id: [\n", "products/x.yaml": product},
			"ingredients/water.yaml:1:5 yaml-syntax `[`", "write ]"},
		{"one id in two files", map[string]string{"ingredients/water.yaml": water, "ingredients/water.yml": water},
			"ingredients/water.yml:1:5 duplicate-id `water`", "keep one"},
		{"one product in two files", map[string]string{"ingredients/water.yaml": water, "products/x.yaml": product,
			"products/x.yml": product},
			"products/x.yml:1:5 duplicate-id `x`", "keep one"},
		{"paper missing", map[string]string{"ingredients/water.yaml": sheetFile("water",
			"documents: [{kind: sds, file: evidence/w.pdf}]\n"), "evidence/v.pdf": ""},
			"ingredients/water.yaml:4:31 evidence-missing `evidence/w.pdf`", "put the file there"},
		{"paper by another ending", map[string]string{"ingredients/water.yaml": sheetFile("water",
			"documents: [{kind: sds, file: evidence/W_1.PDF}]\n"), "evidence/w-1.pdf": ""},
			"ingredients/water.yaml:4:31 evidence-missing `evidence/W_1.PDF`", "write evidence/w-1.pdf"},
		{"paper above the folder", map[string]string{"ingredients/water.yaml": sheetFile("water",
			"documents: [{kind: sds, file: ../w.pdf}]\n")},
			"ingredients/water.yaml:4:31 evidence-outside `../w.pdf`", "evidence/"},
		{"paper by its full path", map[string]string{"ingredients/water.yaml": sheetFile("water",
			"documents: [{kind: sds, file: /home/w.pdf}]\n")},
			"ingredients/water.yaml:4:31 evidence-outside `/home/w.pdf`", "evidence/"},
		{"paper in the other notation",
			map[string]string{"ingredients/water.yaml": sheetFile("water",
				"documents: [{kind: sds, file: 'evidence\\w.pdf'}]\n"), "evidence/w.pdf": ""},
			"ingredients/water.yaml:4:31 evidence-outside `'evidence\\w.pdf'`", "write evidence/w.pdf"},
		{"paper that is a folder", map[string]string{"ingredients/water.yaml": sheetFile("water",
			"documents: [{kind: sds, file: evidence}]\n"), "evidence/w.pdf": ""},
			"ingredients/water.yaml:4:31 evidence-missing `evidence`", "name the file itself"},
		{"paper of no bytes", map[string]string{"ingredients/water.yaml": sheetFile("water",
			"documents: [{kind: sds, file: evidence/w.pdf}]\n"), "evidence/w.pdf": ""},
			"ingredients/water.yaml:4:31 evidence-missing `evidence/w.pdf`", "copy it here again"},
		{"papers of a product", map[string]string{"ingredients/water.yaml": water, "products/x.yaml": product +
			"low_risk: {reason: dry, evidence: evidence/a.pdf}\nmicrobiology: [{test: count, file: evidence/b.pdf}]\nstability: [{test: heat, file: evidence/c.pdf}]\ndocuments: [{kind: gmp, file: evidence/d.pdf}]\n"},
			"products/x.yaml:13:35 evidence-missing `evidence/a.pdf`\nproducts/x.yaml:14:16 evidence-missing `{test: count, file: evidence/b.pdf}`\n" +
				"products/x.yaml:15:13 evidence-missing `{test: heat, file: evidence/c.pdf}`\nproducts/x.yaml:16:31 evidence-missing `evidence/d.pdf`", "put the file there"},
		{"folder misspelt", map[string]string{"ingredient/water.yaml": water}, "ingredient file-ignored ``",
			"rename it to ingredients"},
		{"product beside workshop.yaml", map[string]string{"x.yaml": product}, "x.yaml file-ignored ``", "products/"},
		{"sheets in a folder of their own", map[string]string{"ingredients/oils/olive.yaml": water},
			"ingredients/oils file-ignored ``", "up into ingredients/"},
		{"a product with .txt behind its name", map[string]string{"products/x.yaml.txt": product},
			"products/x.yaml.txt unreadable-file ``", "rename it to x.yaml"},
		{"a sheet as text", map[string]string{"ingredients/oil.txt": water},
			"ingredients/oil.txt unreadable-file ``", "rename it to oil.yaml"},
		{"other files are left alone",
			map[string]string{"README.txt": "x", "ingredients/notes.txt": "x", "ingredients/.water.yaml.swp": "x",
				"out/x.yaml": "x", ".git/config": "x"}, "", ""},
		{"all findings of all files", many, strings.Join(manyWant, "\n"), "the keys are"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			w, fs := LoadFS("shop", workshoptest.Folder(c.files), table.Builtin())
			require.NotNil(t, w)
			assert.Equal(t, c.want, briefs(w.Excerpt, fs))
			if len(fs) > 0 {
				assert.Contains(t, wordstest.Said(fs[0]).Fix, c.fix)
			}
		})
	}
}

func TestWorkshopFile(t *testing.T) {
	for _, c := range []struct{ name, text, want, fix string }{
		{"all of it", "invented: true\nmaker: {name: M, address: [A, B], country: GB}\nresponsible_person: {GB: {name: R, address: [A]}, EU: {name: S, address: [B], country: IE}}\nmarkets: [GB, EU]\nbalance: {division_g: 0.01}\nevidence_years: 5\n", "", ""},
		{"maker left out", "markets: [GB]\n", "1:1 missing-key `markets`", "add maker"},
		{"market left out", "maker: {name: M, address: [A]}\n", "1:1 missing-key `maker`", "markets: [GB]"},
		{"market in lower case", "maker: {name: M, address: [A]}\nmarkets: [gb]\n", "2:11 bad-choice `gb`", "write GB"},
		{"person for an unknown market", workshoptest.File + "responsible_person: {UK: {name: R, address: [A]}}\n",
			"3:22 unknown-key `UK`", "GB, EU, NI"},
		{"country in words", "maker: {name: M, address: [A], country: Wales}\nmarkets: [GB]\n",
			"1:41 bad-country `Wales`", "two capital letters"},
		{"country by its other letters", "maker: {name: M, address: [A], country: UK}\nmarkets: [GB]\n",
			"1:41 bad-country `UK`", "write country: GB"},
		{"address as text", "maker: {name: M, address: Shore Road}\nmarkets: [GB]\n",
			"1:27 wrong-type `Shore Road`", "write address: [Shore Road]"},
		{"balance without division", workshoptest.File + "balance: {division: 0.1}\n",
			"3:10 missing-key `{division: 0.1}`\n3:11 unknown-key `division`", "division_g: 0.1"},
		{"years", workshoptest.File + "evidence_years: 0\n", "3:17 bad-number `0`", "whole number"},
		{"broken", "maker: {name: M\nmarkets: [GB]\n", "1:8 yaml-syntax `{name: M`", "write }"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, fs := LoadFS("shop", fstest.MapFS{"workshop.yaml": {Data: []byte(c.text)}}, table.Builtin())
			require.NotNil(t, w)
			assert.Equal(t, c.want, strings.ReplaceAll(briefs(w.Excerpt, fs), "workshop.yaml:", ""))
			if len(fs) > 0 {
				assert.Contains(t, wordstest.Said(fs[0]).Fix, c.fix)
			}
			if c.name == "all of it" {
				assert.Equal(t, []string{"A", "B"}, w.Maker.Address)
				assert.Equal(t, "IE", w.ResponsiblePersons[rows.EU].Country)
				assert.Equal(t, []rows.Market{rows.GB, rows.EU}, w.Markets)
				assert.Equal(t, "0.01", w.BalanceDivisionG.Exact())
				assert.Equal(t, 5, w.EvidenceYears)
				assert.True(t, w.Invented)
			}
		})
	}
}

func TestLoadWithoutWorkshop(t *testing.T) {
	dir := t.TempDir()
	for _, d := range []string{dir, filepath.Join(dir, "nowhere")} {
		w, fs := Load(d, table.Builtin())
		assert.Nil(t, w)
		require.Len(t, fs, 1)
		assert.Equal(t, codeNoWorkshop, fs[0].Code)
		assert.True(t, fs[0].Unread)
		assert.Contains(t, wordstest.Said(fs[0]).Fix, "gallipot begin DIR")
		assert.Contains(t, wordstest.Said(fs[0]).Fix, "--workshop DIR")
	}
}

// TestLoadKeepsInside: nothing is read through a link that leads out of the
// workshop; a link inside it is a file like any other.
func TestLoadKeepsInside(t *testing.T) {
	outside, dir := t.TempDir(), t.TempDir()
	write := func(path, text string) {
		t.Helper()
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	write(filepath.Join(outside, "secret.yaml"), sheetFile("secret", ""))
	write(filepath.Join(outside, "secret.pdf"), "x")
	write(filepath.Join(dir, "workshop.yaml"), workshoptest.File)
	write(filepath.Join(dir, "evidence", "real.pdf"), "x")
	write(filepath.Join(dir, "ingredients", "water.yaml"), sheetFile("water",
		"documents: [{kind: sds, file: evidence/link.pdf}, {kind: coa, file: evidence/inside.pdf}, {kind: other, file: evidence/out/secret.pdf}]\n"))
	if err := os.Symlink(filepath.Join(outside, "secret.yaml"),
		filepath.Join(dir, "ingredients", "secret.yaml")); err != nil {
		t.Skip("no links on this system")
	}
	require.NoError(t, os.Symlink(filepath.Join(outside, "secret.pdf"), filepath.Join(dir, "evidence", "link.pdf")))
	require.NoError(t, os.Symlink(outside, filepath.Join(dir, "evidence", "out")))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "ingredients", "wax.yaml"), 0o755))
	require.NoError(t, os.Symlink("wax.yaml", filepath.Join(dir, "ingredients", "tar.yaml")))
	require.NoError(t, os.Symlink("real.pdf", filepath.Join(dir, "evidence", "inside.pdf")))

	w, fs := Load(dir, table.Builtin())
	require.NotNil(t, w)
	assert.Equal(t, "ingredients/secret.yaml unreadable-file ``\ningredients/tar.yaml unreadable-file ``\n"+
		"ingredients/water.yaml:4:31 evidence-outside `evidence/link.pdf`\n"+
		"ingredients/water.yaml:4:111 evidence-outside `evidence/out/secret.pdf`", briefs(w.Excerpt, fs))
	for _, f := range fs {
		if f.Pos.File != "ingredients/tar.yaml" {
			assert.Contains(t, wordstest.Said(f).Message, "leads outside the workshop")
		}
		assert.NotContains(t, wordstest.Said(f).Message+wordstest.Said(f).Fix, outside)
		assert.True(t, f.Unread)
	}
	assert.Nil(t, w.Sheets["secret"])
}

// limitColumns is a table of own limits without a row.
const limitColumns = "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"

func TestLoadKeepsWhatItRead(t *testing.T) {
	w, fs := LoadFS("shop", workshoptest.Folder(map[string]string{
		"ingredients/b.yaml": sheetFile("b", ""), "ingredients/a.yml": sheetFile("a", ""),
		"products/z.yaml": strings.Replace(product, "id: x", "id: z", 1), "products/x.yaml": product,
		"ingredients/water.yaml": sheetFile("water", ""),
		"batches/2026-01.yaml":   "code: 2026-01\nproduct: x\ndate: 2026-01-05\nlines: [{ingredient: water}]\n",
		"limits/own.csv":         limitColumns, "limits/notes.txt": "x",
	}), table.Builtin())
	require.Empty(t, fs)
	assert.Equal(t, []string{"a", "b", "water"}, w.SheetIDs())
	assert.Equal(t, "ingredients/a.yml", w.SheetSource("a").Name)
	assert.Nil(t, w.SheetSource("c"))
	assert.Equal(t, []string{"x", "z"}, []string{w.Products[0].ID, w.Products[1].ID})
	assert.Equal(t, w.Products[1], w.Product("z"))
	assert.Nil(t, w.Product("y"))
	assert.Equal(t, []string{"batches/2026-01.yaml"}, w.Batches)
	assert.Equal(t, map[string][]byte{"limits/own.csv": []byte(limitColumns)}, w.OwnLimits)
	line, caret := w.Excerpt(exact.Pos{File: "products/x.yaml", Line: 1, Col: 5, Len: 1})
	assert.Equal(t, "id: x", line)
	assert.Equal(t, "    ^", caret)
	line, _ = w.Excerpt(exact.Pos{File: "elsewhere.yaml", Line: 1, Col: 1})
	assert.Empty(t, line)
	assert.Equal(t, 3, w.EvidenceYears)
	assert.Nil(t, w.BalanceDivisionG, "missing is not zero")
}

// TestDemoReads: the faults of the demo are for the check; its files read. The
// two papers that are missing on purpose are FAULT 03 and FAULT 20 of its
// README.txt.
func TestDemoReads(t *testing.T) {
	w, fs := Load("../../testdata/demo", table.Builtin())
	require.NotNil(t, w)
	var got []string
	for _, f := range fs {
		got = append(got, f.Pos.File+" "+f.Code)
	}
	assert.Equal(t, []string{"ingredients/phytate-50.yaml evidence-missing",
		"ingredients/rapeseed-oil.yaml evidence-missing"}, got)
	assert.Len(t, w.Products, 4)
	assert.True(t, w.Invented)
}
