package ingredients

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// fullSheet uses every key of a sheet; supplier and figures are invented.
const fullSheet = `id: bog-blend
name: Bog myrtle blend
supplier: {name: Fellmist Botanics, code: FB-012}
form: liquid
functions: [cleansing, foaming]
label_as: inci
invented: true
composition:
  complete: true
  constituents:
    - {inci: Aqua, cas: 7732-18-5, ec: 231-791-2, pct: q.s.}
    - {inci: Decyl Glucoside, cas: 68515-73-1, pct: 50-55}
    - {inci: Titanium Dioxide, pct: {min: 1, typical: 1.2, max: 2}, nano: true}
    - {inci: Sodium Chloride, cas: 7647-14-5, pct: <2}
impurities:
  - {name: Decyl alcohol, cas: 112-30-1, amount: "<1 %"}
allergens:
  list: 2023-1545
  dated: 2025-01-31
  declared:
    - {name: Linalool, cas: 78-70-6, pct: 300 ppm}
fragrance_limits:
  amendment: 51
  dated: 2024-02-01
  max_pct: {"1": not permitted, 5a: 2.1, "9": 12 %, "12": No Restriction}
toxicology:
  - {inci: Decyl Glucoside, pod: {type: NOAEL, mg_per_kg_bw_d: 357}, dermal_absorption_pct: 50, oral_absorption_pct: 100, study: 90 d rat, source: invented, replaces: true}
  - {inci: Aqua, dermal_ug_cm2: 0.5, cramer_class: I, source: invented}
physical: {ph: "5-6", density_g_ml: 1.05, melting_c: null, flash_c: -3}
handling: [irritates the eyes: wear glasses when decanting, keep cool]
documents:
  - {kind: sds, file: evidence/sds.pdf, dated: 2025-02-11}
  - {kind: coa, sha256: "0123456789ABCDEF…"}
price: {per_kg: 6.40}
`

func TestReadSheet(t *testing.T) {
	src := source.NewSource("ingredients/bog-blend.yaml", []byte(fullSheet))
	s, fs := ReadSheet(src)
	require.Empty(t, briefs(src, fs))
	at := func(line, col, length int) exact.Pos {
		return exact.Pos{File: src.Name, Line: line, Col: col, Len: length}
	}

	assert.Equal(t, "bog-blend", s.ID)
	assert.Equal(t, at(1, 5, 9), s.Pos)
	assert.Equal(t, "Bog myrtle blend", s.Name)
	assert.Equal(t, Supplier{"Fellmist Botanics", "FB-012", at(3, 11, 39)}, s.Supplier)
	assert.Equal(t, "liquid", s.Form)
	assert.Equal(t, []string{"cleansing", "foaming"}, s.Functions)
	assert.Equal(t, LabelINCI, s.LabelAs)
	assert.True(t, s.Invented)

	require.Len(t, s.Composition.Constituents, 4)
	assert.True(t, s.Composition.Complete)
	water, glucoside, nano, salt := s.Composition.Constituents[0], s.Composition.Constituents[1],
		s.Composition.Constituents[2], s.Composition.Constituents[3]
	assert.Equal(t, Constituent{INCI: "Aqua", CAS: "7732-18-5", EC: "231-791-2",
		Pct: exact.Amount{Rest: true, Text: "q.s.", Pos: at(11, 56, 4)}, Pos: at(11, 14, 4)}, water)
	assert.True(t, glucoside.Pct.Min.Equal(exact.Int(50)) && glucoside.Pct.Max.Equal(exact.Int(55)))
	assert.Equal(t, at(12, 53, 5), glucoside.Pct.Pos)
	assert.True(t, nano.Nano)
	assert.True(t, nano.Pct.Typ.Equal(exact.Frac(6, 5)))
	assert.Equal(t, "1-2, typically 1.2", nano.Pct.Text)
	assert.True(t, salt.Pct.Min.IsZero() && salt.Pct.Max.Equal(exact.Int(2)))

	assert.Equal(t, "Decyl alcohol", s.Impurities[0].Name)
	assert.True(t, s.Impurities[0].Amount.Max.Equal(exact.Int(1)))
	assert.Equal(t, List2023, s.Allergens.List)
	assert.Equal(t, exact.Date(20250131), s.Allergens.Dated)
	assert.True(t, s.Allergens.Declared[0].Pct.Max.Equal(exact.Frac(3, 100)))

	assert.Equal(t, 51, s.FragranceLimits.Amendment)
	require.Len(t, s.FragranceLimits.Limits, 4)
	one, _ := s.FragranceLimits.Limit("1")
	assert.True(t, one.NotPermitted)
	five, _ := s.FragranceLimits.Limit("5A")
	assert.True(t, five.MaxPct.Equal(exact.Frac(21, 10)))
	nine, _ := s.FragranceLimits.Limit("9")
	assert.True(t, nine.MaxPct.Equal(exact.Int(12)))
	twelve, _ := s.FragranceLimits.Limit("12")
	assert.True(t, twelve.NoLimit && twelve.MaxPct.IsZero())
	_, ok := s.FragranceLimits.Limit("4")
	assert.False(t, ok, "not on the certificate is not assessed, not unlimited")

	require.Len(t, s.Toxicology, 2)
	assert.True(t, s.Toxicology[0].PoD.Equal(exact.Int(357)))
	assert.True(t, s.Toxicology[0].Replaces)
	assert.Nil(t, s.Toxicology[0].DermalUgCm2)
	assert.Nil(t, s.Toxicology[1].PoD)
	assert.Equal(t, "I", s.Toxicology[1].CramerClass)

	assert.True(t, s.Physical.PH.Min.Equal(exact.Int(5)))
	assert.True(t, s.Physical.DensityGML.Equal(exact.Frac(105, 100)))
	assert.Nil(t, s.Physical.MeltingC)
	assert.True(t, s.Physical.FlashC.Equal(exact.Int(-3)))
	assert.Equal(t, []string{"irritates the eyes: wear glasses when decanting", "keep cool"}, s.Handling)
	assert.Equal(t, []Document{{Kind: "sds", File: "evidence/sds.pdf", Dated: 20250211, Pos: at(32, 23, 16)},
		{Kind: "coa", SHA256: "0123456789abcdef", Pos: at(33, 5, 40)}}, s.Documents)
	assert.True(t, s.PricePerKg.Equal(exact.Frac(64, 10)))
}

// head is what every sheet needs, on five lines.
const head = "id: x\nname: X\ncomposition:\n  complete: true\n  constituents: [{inci: Aqua, pct: 100}]\n"

func TestReadSheetFindings(t *testing.T) {
	const scent = "id: x\nname: X\nlabel_as: parfum\n"
	cases := []struct{ name, text, want, fix string }{
		{"nothing needed is there", "form: solid\n",
			"1:1 missing-key `form`\n1:1 missing-key `form`\n1:1 missing-key `form`", "add id: x"},
		{"id of another file", strings.Replace(head, "id: x", "id: y", 1), "1:5 id-mismatch `y`",
			"rename the file to y.yaml"},
		{"misspelt key", head + "compositon: {}\n", "6:1 unknown-key `compositon`", "write composition"},
		{"several in one run", "id: x\nnmae: X\nform: liqid\ncomposition: {complete: true, constituents: [{inci: Aqua, cas: 1-2, pct: 5,5}]}\n",
			"1:1 missing-key `id`\n2:1 unknown-key `nmae`\n3:7 bad-choice `liqid`\n4:64 bad-cas `1-2`\n4:76 unknown-key `5`", "write pct: 5.5"},
		{"composition left out", "id: x\nname: X\n", "1:1 missing-key `id`", "add composition"},
		{"composition is text", "id: x\nname: X\ncomposition: water\n", "3:14 wrong-type `water`",
			"write composition: {complete: true"},
		{"composition without constituents", "id: x\nname: X\ncomposition: {complete: true}\n",
			"3:14 missing-key `{complete: true}`", "add constituents"},
		{"empty list of constituents", "id: x\nname: X\ncomposition: {complete: true, constituents: []}\n",
			"3:45 empty-value `[]`", "list what"},
		{"complete left out", "id: x\nname: X\ncomposition: {constituents: [{inci: Aqua, pct: 100}]}\n",
			"3:14 missing-key `{constituents: [{inci: Aqua, pct: 100}]}`", "complete: false where"},
		{"constituent without content",
			"id: x\nname: X\ncomposition: {complete: true, constituents: [{inci: Aqua}]}\n",
			"3:46 missing-key `{inci: Aqua}`", "add pct"},
		{"constituent with empty content",
			"id: x\nname: X\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: }]}\n",
			"3:59 empty-value `pct`", "write a value"},
		{"rest twice", "id: x\nname: X\ncomposition:\n  complete: true\n  constituents:\n    - {inci: Aqua, pct: q.s.}\n    - {inci: Glycerin, pct: q.s.}\n", "7:29 rest-twice `q.s.`", "all but one"},
		{"rest in an incomplete composition",
			"id: x\nname: X\ncomposition: {complete: false, constituents: [{inci: Aqua, pct: q.s.}]}\n",
			"3:65 rest-not-allowed `q.s.`", "complete: true if"},
		{"rest as impurity", head + "impurities: [{name: Lead, amount: q.s.}]\n", "6:35 rest-not-allowed `q.s.`",
			"upper bound"},
		{"impurity traces", head + "impurities: [{name: Lead, amount: traces}]\n", "6:35 bad-amount `traces`",
			"detection limit"},
		{"impurity key of a constituent", head + "impurities: [{name: Lead, pct: 1}]\n",
			"6:14 missing-key `{name: Lead, pct: 1}`\n6:27 unknown-key `pct`", "amount"},
		{"list of allergens unknown", scent + "allergens: {list: 2023-1454, declared: []}\n",
			"4:19 bad-choice `2023-1454`", "write 2023-1545"},
		{"declared left out", scent + "allergens: {list: 2023-1545}\n", "4:12 missing-key `{list: 2023-1545}`",
			"declared: []"},
		{"category unknown", scent + "fragrance_limits: {amendment: 51, max_pct: {14: 1}}\n", "4:45 bad-choice `14`", `"5A"`},
		{"category twice", scent + "fragrance_limits: {amendment: 51, max_pct: {5A: 1, 5a: 2}}\n",
			"4:52 duplicate-key `5a`", "keep one"},
		{"limit left blank", scent + "fragrance_limits: {amendment: 51, max_pct: {\"1\": }}\n",
			"4:45 empty-value `\"1\"`", "write a value"},
		{"limit as dash", scent + "fragrance_limits: {amendment: 51, max_pct: {\"1\": n/a}}\n",
			"4:50 bad-number `n/a`", "no limit"},
		{"limit above 100", scent + "fragrance_limits: {amendment: 51, max_pct: {\"1\": 101}}\n",
			"4:50 bad-number `101`", "no limit"},
		{"amendment in words", scent + "fragrance_limits: {amendment: 51st, max_pct: {}}\n",
			"4:31 bad-number `51st`", "write amendment: 51"},
		{"toxicology without source", head + "toxicology: [{inci: Aqua, oral_absorption_pct: 100}]\n",
			"6:14 missing-key `{inci: Aqua, oral_absorption_pct: 100}`", "add source"},
		{"point of departure zero", head + "toxicology: [{inci: Aqua, pod: {type: NOAEL, mg_per_kg_bw_d: 0}, source: s}]\n", "6:62 bad-number `0`", "above 0"},
		{"absorption above 100", head + "toxicology: [{inci: Aqua, dermal_absorption_pct: 120, source: s}]\n",
			"6:50 bad-number `120`", "0 to 100"},
		{"Cramer class in figures", head + "toxicology: [{inci: Aqua, cramer_class: 3, source: s}]\n",
			"6:41 bad-choice `3`", "I, II, III"},
		{"density zero", head + "physical: {density_g_ml: 0}\n", "6:26 bad-number `0`", "1.05"},
		{"density missing", head + "physical:\n  density_g_ml:\n", "7:3 empty-value `density_g_ml`", "write a value"},
		{"kind of document", head + "documents: [{kind: msds, file: a.pdf}]\n", "6:20 bad-choice `msds`", "write sds"},
		{"hash of a document", head + "documents: [{kind: sds, sha256: abc}]\n", "6:33 bad-number `abc`",
			"copy the first 16 digits or more from the list of documents in the pack"},
		{"date of a document", head + "documents: [{kind: sds, dated: 11.02.2025}]\n", "6:32 bad-date `11.02.2025`",
			"YYYY-MM-DD"},
		{"price negative", head + "price: {per_kg: -1}\n", "6:17 bad-number `-1`", "from 0 on"},
		{"handling is text", head + "handling: keep cool\n", "6:11 wrong-type `keep cool`", "write handling: [keep cool]"},
		{"number sign in a name", "id: x\nname: X\ncomposition:\n  complete: true\n  constituents:\n    - inci: Red #4\n      pct: 100\n", "6:17 cut-by-comment `#4`", `"Red #4"`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			src := source.NewSource("ingredients/x.yaml", []byte(c.text))
			_, fs := ReadSheet(src)
			assert.Equal(t, c.want, strings.Join(briefs(src, fs), "\n"))
			if len(fs) > 0 {
				checkVoice(t, fs)
				assert.Contains(t, said(fs[0]).Fix+" | "+said(fs[len(fs)-1]).Fix, c.fix)
			}
		})
	}
}

func TestReadSheetAllows(t *testing.T) {
	for name, text := range map[string]string{
		"fragrance without composition": "id: x\nname: X\nlabel_as: parfum\n",
		"aroma without composition":     "id: x\nname: X\nlabel_as: aroma\n",
		"composition with the assessor": "id: x\nname: X\ncomposition: {held_by_assessor: true}\n",
		"part of it with the assessor":  "id: x\nname: X\ncomposition: {held_by_assessor: true, complete: false, constituents: [{inci: Aqua, pct: 5}]}\n",
		"no allergens found":            "id: x\nname: X\nlabel_as: parfum\nallergens: {list: 2003-15, declared: []}\n",
		"file with the other ending":    head,
	} {
		t.Run(name, func(t *testing.T) {
			file := "ingredients/x.yaml"
			if name == "file with the other ending" {
				file = "ingredients/x.yml"
			}
			src := source.NewSource(file, []byte(text))
			_, fs := ReadSheet(src)
			assert.Empty(t, briefs(src, fs))
		})
	}
}

func TestReadSheetMissingIsNotNone(t *testing.T) {
	s, _ := ReadSheet(source.NewSource("ingredients/x.yaml", []byte(head)))
	assert.Nil(t, s.Allergens)
	assert.Nil(t, s.FragranceLimits)
	assert.Nil(t, s.PricePerKg)
	assert.Nil(t, s.Physical.PH)
	s, _ = ReadSheet(source.NewSource("ingredients/x.yaml", []byte(head+"allergens: {list: 2003-15, declared: []}\n")))
	require.NotNil(t, s.Allergens)
	assert.Empty(t, s.Allergens.Declared)
	s, fs := ReadSheet(source.NewSource("ingredients/x.yaml", []byte("id: [\n")))
	assert.Nil(t, s)
	assert.NotEmpty(t, fs)
}

func TestCanonical(t *testing.T) {
	a := source.NewSource("x.yaml", []byte("id: x\nname: \"X\"\nlist:\n  - {a: 1, b: '2'}\n  - c\nold: 1\n"))
	b := source.NewSource("x.yaml", []byte("# moved about\n\nname: X\nlist: [{b: 2, a: \"1\"}, c]   # same\n\nid: x\n"))
	assert.Equal(t, string(b.Canonical()), string(a.Canonical("old")))
	assert.NotEqual(t, string(b.Canonical()), string(a.Canonical()))
	for _, text := range []string{"name: X\nid: x\nlist: [c, {a: 1, b: 2}]\n",
		"name: X\nid: x\nlist: [{a: 1, b: 20}, c]\n", "id: x\nname: X\n"} {
		assert.NotEqual(t, string(b.Canonical()), string(source.NewSource("x.yaml", []byte(text)).Canonical()), text)
	}
	broken := source.NewSource("x.yaml", []byte("id: [\n"))
	assert.Equal(t, "id: [\n", string(broken.Canonical()))
	assert.NotEqual(t, string(source.NewSource("x", []byte("a: null")).Canonical()),
		string(source.NewSource("x", []byte("a: 'null'")).Canonical()))
}

// seedSheets returns the sheets that ship with the project.
func seedSheets(t testing.TB) map[string][]byte {
	t.Helper()
	files, err := filepath.Glob("../testdata/demo/ingredients/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	all := map[string][]byte{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		all["ingredients/"+filepath.Base(f)] = data
	}
	return all
}

func TestDemoSheetsRead(t *testing.T) {
	for name, data := range seedSheets(t) {
		src := source.NewSource(name, data)
		s, fs := ReadSheet(src)
		assert.Empty(t, briefs(src, fs), name)
		if assert.NotNil(t, s, name) {
			assert.True(t, s.Invented, name+" has to say that it is invented")
		}
	}
}

// FuzzReadSheet: never panics, every place lies in the file, and the canonical
// form of a file without findings reads to the same canonical form.
func FuzzReadSheet(f *testing.F) {
	for _, data := range seedSheets(f) {
		f.Add(data)
	}
	f.Add([]byte(fullSheet))
	for _, s := range []string{"?", "", "a: >=60\n", "{a: [\n", "a: \"x\nb: 2\n", "? [a]\n: &x *x\n",
		"\ufeffa:\t1\r\n", "- - - a: b: c\n", "a: |\n x\n", "'a': \"\\q\"\n", "a: [b c d e f\n g {h}, i]\nj: [\n",
		"{a #[}\n", "[[[[{{{{", "a:\n\t- x", "id: x # y\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		src := source.NewSource("ingredients/x.yaml", data)
		s, fs := ReadSheet(src)
		if s == nil && len(fs) == 0 {
			t.Fatal("no sheet and no word about it")
		}
		for _, f := range fs {
			if f.Pos.Line < 0 || f.Pos.Line > len(src.Lines) || f.Pos.Line > 0 && (f.Pos.Col < 1 || f.Pos.Len < 1) {
				t.Fatalf("%s: place %+v in a file of %d lines", f.Code, f.Pos, len(src.Lines))
			}
			src.Excerpt(f.Pos)
		}
		if s == nil || len(fs) > 0 {
			return
		}
		c := src.Canonical()
		again := source.NewSource("ingredients/x.yaml", c).Canonical()
		require.Equal(t, string(c), string(again))
	})
}

// brief prints a finding as "line:col code `underlined text`", the form the
// tables of this package compare.
func brief(src *source.Source, f finding.Finding) string {
	line, caret := src.Excerpt(f.Pos)
	marked := ""
	for i, r := range []rune(line) {
		if c := []rune(caret); i < len(c) && c[i] == '^' {
			marked += string(r)
		}
	}
	return fmt.Sprintf("%d:%d %s `%s`", f.Pos.Line, f.Pos.Col, f.Code, marked)
}

func briefs(src *source.Source, fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, brief(src, f))
	}
	return out
}

// checkVoice holds every finding to the message template: no capital at the
// start, no full stop, nothing empty, no words of the YAML library.
func checkVoice(t *testing.T, fs []finding.Finding) {
	t.Helper()
	for _, f := range fs {
		assert.NotEmpty(t, said(f).Message, f.Code)
		assert.NotEmpty(t, said(f).Fix, f.Code+": "+said(f).Message)
		for _, text := range []string{said(f).Message, said(f).Fix} {
			assert.False(t, strings.HasSuffix(text, "."), text)
			assert.False(t, text != "" && text[0] >= 'A' && text[0] <= 'Z' && text[1] >= 'a' && text[1] <= 'z', text)
			for _, word := range []string{"yaml:", "mapping", "scalar", "sequence", "unmarshal", "!!", "token", "anchor"} {
				if word != "!!" || f.Code != "alias-refused" {
					assert.NotContains(t, text, word)
				}
			}
		}
	}
}
