package filing

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/workshop"
)

func TestWithoutPlace(t *testing.T) {
	for remark, want := range map[string]string{
		"p. 1 line 12: 4.2 %":                             "",
		"fell-mint-allergens.csv p. 1 line 7: 1.5":        "",
		"fell-mint-allergens-0a1b2c3d.xlsx Data!C7: 1.5":  "",
		"table 2 row 3: < 0.1":                            "",
		"by telephone":                                    "by telephone",
		"by telephone; fell-mint-allergens.csv p. 1":      "by telephone",
		"checked on p. 3 line 2: agreed with the printer": "checked on p. 3 line 2: agreed with the printer",
	} {
		t.Run(remark, func(t *testing.T) { require.Equal(t, want, withoutPlace(remark)) })
	}
}

// A value that is taken over leaves its own place behind it and not that of the value which
// it replaces.
func TestTakenPlace(t *testing.T) {
	read := reader(t)
	text := declaration("2026-03-02", "1.5", "0.4")
	have := stub + "supplier: {name: Cragmoor Aromas Ltd, code: CM-77}\nallergens:\n  list: 2003\n  declared:\n" +
		"    - {name: Linalool, cas: 78-70-6, pct: 2} # p. 1 line 9: 2.0\n" +
		"    - {name: Limonene, cas: 5989-27-5, pct: 0.3} # by telephone; fell-mint-mail.txt p. 1 line 4: 0.3\n"
	f := Of(shop(t, map[string]string{"fell-mint": have}), read("a.csv", text), "a.csv", []byte(text), "")
	files, err := f.Changes([]byte(have), []string{"allergens.linalool", "allergens.limonene"})
	require.NoError(t, err)
	sheet := string(files[0].Data)
	require.Contains(t, sheet, "pct: 1.5} # fell-mint-allergens.csv p. 1 line 7: 1.5\n")
	require.Contains(t, sheet, "pct: 0.4} # by telephone; fell-mint-allergens.csv p. 1 line 8: 0.4\n")
}

// A name of the list without a content stays in the sheet as it is printed, open, since a
// sheet counts what is not declared as absent.
func TestOpenRows(t *testing.T) {
	read := reader(t)
	text := declaration("2026-03-02", "1.5",
		"n.d.") + "Citral;5392-40-5;traces\nEugenol;97-53-0;-\nGeraniol;106-24-1;not detected (< 0.001 %)\n"
	open := func(name, cas, line, printed string) string {
		return "- {name: " + name + ", cas: " + cas + ", pct: } # open: p. 1 line " + line + ": " + printed
	}
	t.Run("in a new sheet, which is not computed before they are settled", func(t *testing.T) {
		files, err := Of(shop(t, nil), read("a.csv", text), "a.csv", []byte(text), "").Changes(nil, nil)
		require.NoError(t, err)
		sheet := string(files[0].Data)
		require.Contains(t, sheet, open("Limonene", "5989-27-5", "8", "n.d."))
		require.Contains(t, sheet, open("Citral", "5392-40-5", "9", "traces"))
		require.Contains(t, sheet, open("Eugenol", "97-53-0", "10", "-"))
		require.Contains(t, sheet, `{name: Geraniol, cas: 106-24-1, pct: "<0.001"}`)
		w, findings := workshop.LoadFS("x", fstest.MapFS{
			"workshop.yaml":              {Data: []byte("maker: {name: I, address: [L 1], country: GB}\nresponsible_person: {GB: {name: I, address: [L 1]}}\nmarkets: [GB]\n")},
			"ingredients/fell-mint.yaml": {Data: files[0].Data}}, table.Builtin())
		require.NotNil(t, w)
		n := 0
		for _, x := range findings {
			if x.Unread && strings.Contains(x.Pos.File, "fell-mint") {
				n++
			}
		}
		require.Equal(t, 3, n, "each is asked about until it is filled")
	})
	t.Run("a stub takes them only when it is told to", func(t *testing.T) {
		f := Of(shop(t, map[string]string{"fell-mint": stub}), read("a.csv", text), "a.csv", []byte(text), "")
		require.Equal(t, Open, field(f, "allergens").State)
		files, err := f.Changes([]byte(stub), []string{"allergens"})
		require.NoError(t, err)
		require.Regexp(t, `name: Limonene, cas: 5989-27-5, pct: null} # fell-mint-allergens.csv open: p. 1 line 8: n.d.`, string(files[0].Data))
	})
	t.Run("a sheet that does not list one has it as open and not as absent", func(t *testing.T) {
		have := stub + "supplier: {name: Cragmoor Aromas Ltd, code: CM-77}\nallergens:\n  list: 2003\n  declared:\n" +
			"    - {name: Linalool, cas: 78-70-6, pct: 1.5}\n    - {name: Limonene, cas: 5989-27-5, pct: 0.4}\n"
		f := Of(shop(t, map[string]string{"fell-mint": have}), read("a.csv", text), "a.csv", []byte(text), "")
		require.Nil(t, field(f, "allergens.limonene"), "nothing takes the place of a figure")
		require.Equal(t, Open, field(f, "allergens.citral").State)
		require.Equal(t, "traces", field(f, "allergens.citral").Paper)
		files, err := f.Changes([]byte(have), []string{"allergens.citral"})
		require.NoError(t, err)
		require.Contains(t, string(files[0].Data),
			"    - {name: Citral, cas: 5392-40-5, pct: null} # fell-mint-allergens.csv open: p. 1 line 9: traces")
	})
}
