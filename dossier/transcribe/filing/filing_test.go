package filing

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/reading"
	"gallipot/dossier/workshop"
)

// reader reads papers of text.
func reader(t *testing.T) func(name, text string) *reading.Reading {
	r, err := transcribe.New(table.Builtin(), nil)
	require.NoError(t, err)
	files := paper.NewReader()
	t.Cleanup(files.Close)
	return func(name, text string) *reading.Reading {
		f, err := files.Read(name, []byte(text))
		require.NoError(t, err)
		return r.Read(f)
	}
}

// shop is an invented workshop with the sheets given.
func shop(t *testing.T, sheets map[string]string) *workshop.Workshop {
	fs := fstest.MapFS{"workshop.yaml": {Data: []byte("maker: {name: Invented, address: [Lane 1], country: GB}\n" +
		"responsible_person: {GB: {name: Invented, address: [Lane 1]}}\nmarkets: [GB]\n")}}
	for id, text := range sheets {
		fs["ingredients/"+id+".yaml"] = &fstest.MapFile{Data: []byte(text)}
	}
	w, _ := workshop.LoadFS("x", fs, table.Builtin())
	require.NotNil(t, w)
	return w
}

// declaration is an allergen declaration with the contents given; all is invented.
func declaration(date, linalool, limonene string) string {
	return "Company: Cragmoor Aromas Ltd\nALLERGEN DECLARATION: the 26 allergens of Directive 2003/15/EC\nProduct name: Fell Mint\nProduct code: CM-77\nDate of issue: " +
		date + "\nAllergen;CAS;Content (%)\nLinalool;78-70-6;" + linalool + "\nLimonene;5989-27-5;" + limonene + "\n"
}

const stub = "# kept\nid: fell-mint\nname: Fell Mint\nlabel_as: parfum   # kept too\n"

func field(f *Filing, name string) *Value {
	for i := range f.Values {
		if f.Values[i].Field == name {
			return &f.Values[i]
		}
	}
	return nil
}

func TestOf(t *testing.T) {
	read := reader(t)
	text := declaration("2026-03-02", "1.5", "0.4")

	t.Run("a declaration that names no list is held back until it is named", func(t *testing.T) {
		free := strings.Replace(text, ": the 26 allergens of Directive 2003/15/EC", "", 1)
		f := Of(shop(t, map[string]string{"fell-mint": stub}), read("a.csv", free), "a.csv", []byte(free), "")
		require.Equal(t, Open, field(f, "allergens").State)
		files, err := f.Changes([]byte(stub), nil)
		require.NoError(t, err)
		require.NotContains(t, string(files[0].Data), "allergens:\n")
		files, err = f.Changes([]byte(stub), []string{"allergens"})
		require.NoError(t, err)
		require.Contains(t, string(files[0].Data), "2003-15")
	})
	t.Run("a new sheet then leaves the list open", func(t *testing.T) {
		free := strings.Replace(text, ": the 26 allergens of Directive 2003/15/EC", "", 1)
		files, err := Of(shop(t, nil), read("a.csv", free), "a.csv", []byte(free), "").Changes(nil, nil)
		require.NoError(t, err)
		require.Regexp(t, `(?m)^  list: # open: `, string(files[0].Data))
	})
	t.Run("a stub is found by its name and gets the supplier that the paper prints", func(t *testing.T) {
		f := Of(shop(t, map[string]string{"fell-mint": stub}), read("a.csv", text), "a.csv", []byte(text), "")
		require.Equal(t, "fell-mint", f.Sheet)
		require.Equal(t, "name", f.By)
		require.Equal(t, "Cragmoor Aromas Ltd", field(f, "supplier.name").Paper)
		require.Equal(t, Fills, field(f, "supplier.code").State)
		files, err := f.Changes([]byte(stub), nil)
		require.NoError(t, err)
		require.Len(t, files, 2)
		sheet := string(files[0].Data)
		require.Contains(t, sheet, "# kept\n")
		require.Contains(t, sheet, "label_as: parfum   # kept too")
		after, findings := workshop.LoadFS("x", Overlay{Base: fstest.MapFS{
			"workshop.yaml":              {Data: []byte("maker: {name: I, address: [L 1], country: GB}\nresponsible_person: {GB: {name: I, address: [L 1]}}\nmarkets: [GB]\n")},
			"ingredients/fell-mint.yaml": {Data: []byte(stub)}}, Files: files}, table.Builtin())
		for _, x := range findings {
			require.False(t, x.Unread, "%v\n%s", x, sheet)
		}
		s := after.Sheets["fell-mint"]
		require.Equal(t, "Cragmoor Aromas Ltd", s.Supplier.Name)
		require.Equal(t, "CM-77", s.Supplier.Code)
		require.Len(t, s.Allergens.Declared, 2)
		require.Equal(t, "2026-03-02", s.Allergens.Dated.String())
	})
	t.Run("a code without the name of its supplier is asked about and not written", func(t *testing.T) {
		nameless := strings.Replace(text, "Company: Cragmoor Aromas Ltd\n", "", 1)
		f := Of(shop(t, map[string]string{"fell-mint": stub}), read("a.csv", nameless), "a.csv", []byte(nameless), "")
		require.Nil(t, field(f, "supplier.code"))
		var codes []string
		for _, a := range f.Reading.Asks {
			codes = append(codes, a.Code)
		}
		require.Contains(t, codes, "supplier-unnamed")
	})
	t.Run("a new sheet has no code without a supplier either", func(t *testing.T) {
		nameless := strings.Replace(text, "Company: Cragmoor Aromas Ltd\n", "", 1)
		f := Of(shop(t, nil), read("a.csv", nameless), "a.csv", []byte(nameless), "")
		require.True(t, f.New)
		files, err := f.Changes(nil, nil)
		require.NoError(t, err)
		require.NotContains(t, string(files[0].Data), "\nsupplier:")
		require.Contains(t, string(files[0].Data), "# supplier: the paper names none; its code there is CM-77")
	})
	t.Run("what differs stays until it is named", func(t *testing.T) {
		have := stub + "supplier: {name: Cragmoor Aromas Ltd, code: CM-77}\nallergens:\n  list: 2003\n  declared:\n" +
			"    - {name: Linalool, cas: 78-70-6, pct: 2}   # by telephone\n    - {name: Limonene, cas: 5989-27-5, pct: 0.4}\n"
		f := Of(shop(t, map[string]string{"fell-mint": have}), read("a.csv", text), "a.csv", []byte(text), "")
		require.Equal(t, "code", f.By)
		require.Equal(t, Differs, field(f, "allergens.linalool").State)
		require.Equal(t, Same, field(f, "allergens.limonene").State)
		files, err := f.Changes([]byte(have), nil)
		require.NoError(t, err)
		require.Contains(t, string(files[0].Data), "pct: 2}   # by telephone")
		files, err = f.Changes([]byte(have), []string{"allergens.linalool"})
		require.NoError(t, err)
		require.Contains(t, string(files[0].Data), "pct: 1.5}   # by telephone")
		require.Empty(t, f.Unknown([]string{"allergens.linalool"}))
		require.Equal(t, []string{"physical.ph"}, f.Unknown([]string{"physical.ph"}))
	})
	t.Run("what the sheet has and a whole declaration has not is listed, and goes when it is named", func(t *testing.T) {
		have := stub + "supplier: {name: Cragmoor Aromas Ltd, code: CM-77}\nallergens:\n  list: 2023-1545\n  dated: 2024-01-01\n  declared:\n" +
			"    - {name: Citral, cas: 5392-40-5, pct: 2}\n    - {name: Linalool, cas: 78-70-6, pct: 1.5}\n    - {name: Eugenol, cas: 97-53-0, pct: 1}\n    - {name: Limonene, cas: 5989-27-5, pct: 0.4}\n"
		f := Of(shop(t, map[string]string{"fell-mint": have}), read("a.csv", text), "a.csv", []byte(text), "")
		require.Equal(t, "not listed", field(f, "allergens.citral").Paper)
		require.Equal(t, Differs, field(f, "allergens.eugenol").State)
		require.Equal(t, "2003-15", field(f, "allergens.list").Paper, "the paper answers for the shorter list")
		require.Equal(t, Differs, field(f, "allergens.dated").State)
		files, err := f.Changes([]byte(have), []string{"allergens.citral", "allergens.eugenol", "allergens.dated"})
		require.NoError(t, err)
		require.Contains(t, string(files[0].Data),
			"  dated: 2026-03-02 # fell-mint-allergens.csv p. 1 line 5\n  declared:\n    - {name: Linalool, cas: 78-70-6, pct: 1.5}\n    - {name: Limonene, cas: 5989-27-5, pct: 0.4}\n")
	})
	t.Run("a paper filed once is recognised by its hash and enters nothing twice", func(t *testing.T) {
		r := read("a.csv", text)
		have := stub + "documents:\n  - {kind: allergens, file: evidence/mint.csv, sha256: \"" + r.SHA256[:16] + "\"}\n"
		f := Of(shop(t, map[string]string{"fell-mint": have}), r, "other-name.csv", []byte(text), "")
		require.Equal(t, "evidence/mint.csv", f.Filed)
		require.Nil(t, field(f, "documents.allergens"))
		files, err := f.Changes([]byte(have), nil)
		require.NoError(t, err)
		require.Len(t, files, 1, "the sheet alone: the paper is there")
	})
	t.Run("a certificate with a declaration is on file as both", func(t *testing.T) {
		cert := "Company: Cragmoor Aromas Ltd\nCERTIFICATE OF CONFORMITY with the IFRA Standards, 51st Amendment\n" +
			"Product name: Fell Mint\nProduct code: CM-77\nDate of issue: 2 March 2026\n" +
			"IFRA category;Maximum level of use (%)\nCategory 4;11.4\nCategory 9;5.8\n\n"
		of := func(r *reading.Reading) string {
			f := Of(shop(t, map[string]string{"other": strings.Replace(stub, "fell-mint", "other", 1)}),
				r, "c.csv", []byte(cert), "new-mint")
			require.Equal(t, "certificate", f.Kind)
			return string(f.newSheet())
		}
		require.Equal(t, 1, strings.Count(of(read("c.csv", cert)), "- {kind: "))
		both := read("c.csv", cert)
		both.Allergens = read("a.csv", text).Allergens
		require.Contains(t, of(both), "- {kind: certificate, file: evidence/new-mint-certificate.csv, dated: 2026-03-02")
		require.Contains(t, of(both), "- {kind: allergens, file: evidence/new-mint-certificate.csv, dated: 2026-03-02")
		have := stub + "supplier: {name: Cragmoor Aromas Ltd, code: CM-77}\n"
		f := Of(shop(t, map[string]string{"fell-mint": have}), both, "c.csv", []byte(cert), "")
		require.NotNil(t, field(f, "documents.certificate"))
		require.NotNil(t, field(f, "documents.allergens"))
		files, err := f.Changes([]byte(have), nil)
		require.NoError(t, err)
		require.Equal(t, 2, strings.Count(string(files[0].Data), "file: evidence/fell-mint-certificate.csv"))
		require.Len(t, files, 2, "one paper")
		both.Allergens.List = "free"
		require.Equal(t, 1, strings.Count(of(both), "- {kind: "), "for which list it answers is not said")
	})
	t.Run("two sheets of one code are asked about", func(t *testing.T) {
		other := strings.Replace(stub, "id: fell-mint", "id: fell-mint-b", 1)
		code := "supplier: {name: Cragmoor Aromas Ltd, code: CM-77}\n"
		f := Of(shop(t, map[string]string{"fell-mint": stub + code, "fell-mint-b": other + code}),
			read("a.csv", text), "a.csv", []byte(text), "")
		require.Empty(t, f.Sheet)
		require.Equal(t, []string{"fell-mint", "fell-mint-b"}, f.Several)
	})
	t.Run("a paper of the same kind gets a file of its own", func(t *testing.T) {
		have := stub + "documents:\n  - {kind: allergens, file: evidence/fell-mint-allergens.csv}\n"
		f := Of(shop(t, map[string]string{"fell-mint": have}), read("a.csv", text), "a.csv", []byte(text), "")
		require.Equal(t, "evidence/fell-mint-allergens-"+f.Reading.SHA256[:8]+".csv", f.Target)
	})
}

func TestAmountText(t *testing.T) {
	s := func(x string) *string { return &x }
	for _, c := range []struct {
		want          string
		low, high     *string
		lowIn, highIn bool
	}{
		{"", nil, nil, true, true},
		{">=5", s("5"), nil, true, true},
		{">5", s("5"), nil, false, true},
		{"<0.1", nil, s("0.1"), true, false},
		{"<=0.1", s("0"), s("0.1"), true, true},
		{"2.5", s("2.5"), s("2.5"), true, true},
		{"1-<5", s("1"), s("5"), true, false},
		{">1-5", s("1"), s("5"), false, true},
	} {
		t.Run(c.want, func(t *testing.T) { require.Equal(t, c.want, amountText(c.low, c.high, c.lowIn, c.highIn)) })
	}
}

func TestQuoted(t *testing.T) {
	for in, want := range map[string]string{"Fell Mint": "Fell Mint", "no": `"no"`, "60-7781": "60-7781",
		"12": `"12"`, "a: b": `"a: b"`, "-x": `"-x"`, "": `""`} {
		require.Equal(t, want, quoted(in))
	}
}
