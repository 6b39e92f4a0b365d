package paper

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func read(t *testing.T, name, data string) *File {
	t.Helper()
	r := &Reader{Limits: defaultLimits()}
	f, err := r.Read(name, []byte(data))
	require.NoError(t, err)
	return f
}

func texts(f *File) [][]string {
	var out [][]string
	for _, p := range f.Pages {
		for _, l := range p.Lines {
			var row []string
			for _, c := range l.Cells {
				row = append(row, c.Text)
			}
			out = append(out, row)
		}
	}
	return out
}

func TestTablesOfSeparatedValues(t *testing.T) {
	want := [][]string{{"Stoff", "CAS", "%"}, {"Zimtöl; rein", "8007-80-5", "0,5"}}
	for name, data := range map[string]string{
		"semicolons":   "Stoff;CAS;%\r\n\"Zimtöl; rein\";8007-80-5;0,5\r\n",
		"tabs":         "Stoff\tCAS\t%\nZimtöl; rein\t8007-80-5\t0,5\n",
		"commas":       "Stoff,CAS,%\nZimtöl; rein,8007-80-5,\"0,5\"\n",
		"windows-1252": "Stoff;CAS;%\n\"Zimt\xf6l; rein\";8007-80-5;0,5\n",
		"named sign":   "sep=;\nStoff;CAS;%\n\"Zimtöl; rein\";8007-80-5;0,5\n",
		"utf-16":       "\xff\xfeS\x00t\x00o\x00f\x00f\x00;\x00C\x00A\x00S\x00;\x00%\x00\n\x00\"\x00Z\x00i\x00m\x00t\x00\xf6\x00l\x00;\x00 \x00r\x00e\x00i\x00n\x00\"\x00;\x008\x000\x000\x007\x00-\x008\x000\x00-\x005\x00;\x000\x00,\x005\x00",
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, want, texts(read(t, "a.csv", data))) })
	}
	t.Run("a stray quote", func(t *testing.T) {
		require.Equal(t, [][]string{{`6" jar`, "1"}, {"x", "2"}}, texts(read(t, "a.csv", "6\" jar;1\nx;2\n")))
	})
}

func TestTextPartsIntoCells(t *testing.T) {
	f := read(t, "a.txt", "Linalool ......... 4.2 %\n| Citral | 0.3 |\n|---|---|\nplain words here\nA\tB\n")
	require.Equal(t, [][]string{{"Linalool", "4.2 %"}, {"Citral", "0.3"}, {"plain words here"}, {"A", "B"}}, texts(f))
	require.Equal(t, 5, f.Pages[0].Lines[3].Number)
}

func TestMailKnowsWhatItQuotes(t *testing.T) {
	f := read(t, "a.txt", "From: a\nSubject: b\n\nnew 1 %\n> old 2 %\n>> older 3 %\n-----Original Message-----\nFrom: c\n4 %\n")
	require.Equal(t, Mail, f.Form)
	var depth []int
	for _, l := range f.Pages[0].Lines {
		depth = append(depth, l.Quote)
	}
	require.Equal(t, []int{0, 0, 0, 1, 2, 1, 1, 1}, depth)
}

func TestWebTables(t *testing.T) {
	f := read(t, "a.html", `<html><body><h1>Sheet</h1><table><tr><th rowspan=2>Name<th colspan=2>Content</tr><tr><td>from<td>to</tr><tr><td>Aqua<td>5<br>6<td><s>7</s>8</tr></table><p style="display: none">secret</p></body></html>`)
	require.Equal(t, [][]string{{"Sheet"}, {"Name", "Content"}, {"Name", "from", "to"}, {"Aqua", "5\n6", "8"},
		{"secret"}}, texts(f))
	require.Equal(t, "7", f.Pages[0].Lines[3].Cells[2].Struck)
	require.True(t, f.Pages[0].Lines[4].Hidden)
	require.Equal(t, "hidden-text", f.Cautions[0].Code)
}

func TestSymbolSigns(t *testing.T) {
	f := read(t, "a.txt", "water \uf0a3 2.5 %\nlead \uf0ff 3\n")
	require.Equal(t, [][]string{{"water ≤ 2.5 %"}, {"lead \uf0ff 3"}}, texts(f))
	require.Len(t, f.Cautions, 1)
	require.Equal(t, "unknown-sign", f.Cautions[0].Code)
}

func TestCustomFormats(t *testing.T) {
	for code, want := range map[string]numberFormat{
		`0.0%`:                       {percent: true},
		`0.00" %"`:                   {after: " %"},
		`"<"0.0`:                     {before: "<"},
		`dd/mm/yyyy`:                 {date: true},
		`#,##0.00_);[Red](#,##0.00)`: {},
		`0.0\ "ppm"`:                 {after: " ppm"},
	} {
		require.Equal(t, want, customFormat(code), code)
	}
}

func TestTroubles(t *testing.T) {
	r := &Reader{Limits: defaultLimits()}
	for name, data := range map[string]string{"empty.txt": "", "a.xlsx": "text", "b.pdf": "hello",
		"old.doc": "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "c.bin": "a\x00b", "d.docx": "PK\x03\x04broken"} {
		_, err := r.Read(name, []byte(data))
		var tr *Trouble
		require.ErrorAs(t, err, &tr, name)
		require.NotEmpty(t, tr.Fix(), name)
	}
}
