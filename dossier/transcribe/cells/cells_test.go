package cells

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// items reads a paper that is given as its bytes.
func items(t *testing.T, name, data string) []Item {
	words, err := lexicon.Load()
	require.NoError(t, err)
	files := paper.NewReader()
	t.Cleanup(files.Close)
	f, err := files.Read(name, []byte(data))
	require.NoError(t, err)
	return Read(f, words)
}

// tables are the tables among the items, rows the texts of a table's cells.
func tables(list []Item) (out []*Table) {
	for _, it := range list {
		if it.Table != nil {
			out = append(out, it.Table)
		}
	}
	return out
}

func rows(t *Table) (out [][]string) {
	for _, r := range t.Rows {
		var texts []string
		for _, c := range r.Cells {
			texts = append(texts, c.Text)
		}
		out = append(out, texts)
	}
	return out
}

func roles(t *Table) (out []string) {
	for _, c := range t.Columns {
		out = append(out, c.Role)
	}
	return out
}

func TestHead(t *testing.T) {
	t.Run("two known heads of which one promises a number make a table", func(t *testing.T) {
		list := tables(items(t, "a.csv", "Fell Mint\nINCI;CAS;Content (%)\nLinalool;78-70-6;1.5\n"))
		require.Len(t, list, 1)
		require.Equal(t, []string{"inci", "cas", "content"}, roles(list[0]))
		require.Equal(t, [][]string{{"Linalool", "78-70-6", "1.5"}}, rows(list[0]))
		require.Equal(t, 3, list[0].Rows[0].Line)
	})
	t.Run("a row of names alone is no head", func(t *testing.T) {
		require.Empty(t, tables(items(t, "a.csv", "Linalool;Limonene;Citral\nCoumarin;Eugenol;Farnesol\n")))
	})
	t.Run("a second head begins a second table", func(t *testing.T) {
		list := tables(items(t, "a.csv", "INCI;CAS;%\nAqua;7732-18-5;50\nAllergen;CAS;ppm\nLinalool;78-70-6;15\n"))
		require.Len(t, list, 2)
		require.Len(t, list[0].Rows, 1)
		require.Len(t, list[1].Rows, 1)
	})
	t.Run("a head over two columns and theirs below are one head", func(t *testing.T) {
		list := tables(items(t, "a.html",
			"<table><tr><th rowspan=2>INCI</th><th rowspan=2>CAS</th><th colspan=2>Content (%)</th></tr>"+
				"<tr><th>Min</th><th>Max</th></tr><tr><td>Aqua</td><td>7732-18-5</td><td>50</td><td>60</td></tr></table>"))
		require.Len(t, list, 1)
		require.Equal(t, [][]string{{"Aqua", "7732-18-5", "50", "60"}}, rows(list[0]))
		require.Equal(t, "Content (%) Max", list[0].Columns[3].Head)
	})
}

func TestSheet(t *testing.T) {
	t.Run("an empty cell keeps its column", func(t *testing.T) {
		list := tables(items(t, "a.csv", "INCI;CAS;%\nAqua;;50\n"))
		require.Equal(t, [][]string{{"Aqua", "", "50"}}, rows(list[0]))
	})
	t.Run("two tables side by side are parted where the heads begin again", func(t *testing.T) {
		list := tables(items(t, "a.csv",
			"Allergen;CAS;%;Allergen;CAS;%\nLinalool;78-70-6;1;Citral;5392-40-5;2\nCoumarin;91-64-5;3;;;\n"))
		require.Len(t, list, 2)
		require.Equal(t, [][]string{{"Linalool", "78-70-6", "1"}, {"Coumarin", "91-64-5", "3"}}, rows(list[0]))
		require.Equal(t, [][]string{{"Citral", "5392-40-5", "2"}}, rows(list[1]))
	})
	t.Run("a cell of a text stands under the head that lies over it", func(t *testing.T) {
		list := tables(items(t, "a.txt",
			"INCI name            CAS         Content (%)\nAqua                 7732-18-5   50\nRosa Extract                     1.5\n"))
		require.Equal(t, [][]string{{"Aqua", "7732-18-5", "50"}, {"Rosa Extract", "", "1.5"}}, rows(list[0]))
	})
	t.Run("a table of a text ends at a numbered heading", func(t *testing.T) {
		list := items(t, "a.txt", "3. Composition\nName        CAS        %\nAqua        7732-18-5  50\n9. Physical and chemical properties\npH: 5-6\n")
		require.Len(t, tables(list)[0].Rows, 1)
		require.Equal(t, "pH: 5-6", list[len(list)-1].Row.Text())
	})
	t.Run("a table with separators in a text is one of its own", func(t *testing.T) {
		list := tables(items(t, "a.txt",
			"Dear all,\n\nhere it is, as promised.\nIt was a long week.\n\nINCI;CAS;%\nAqua;7732-18-5;50\nGlycerin;;5\n\nRegards; R; S\nand to all of yours\n"))
		require.Equal(t, [][]string{{"Aqua", "7732-18-5", "50"}, {"Glycerin", "", "5"}}, rows(list[0]))
	})
}

// line is a line of a laid out page: texts at their left edges, 5 points a letter.
func line(number int, y float64, at ...any) paper.Line {
	l := paper.Line{Number: number, Y: y, Size: 10}
	for i := 0; i+1 < len(at); i += 2 {
		text, x := at[i+1].(string), float64(at[i].(int))
		c := paper.Cell{Text: text, X0: x, X1: x + 5*float64(len(text)), Col: i / 2, Span: 1}
		c.Words = []paper.Word{{Text: text, X0: c.X0, X1: c.X1}}
		l.Cells = append(l.Cells, c)
	}
	return l
}

func TestPage(t *testing.T) {
	words, err := lexicon.Load()
	require.NoError(t, err)
	page := func(lines ...paper.Line) *paper.File {
		return &paper.File{Name: "a.pdf", Form: paper.PDF,
			Pages: []paper.Page{{Number: 1, Width: 595, Height: 842, Lines: lines}}}
	}
	t.Run("columns are found from the gaps that run down the body", func(t *testing.T) {
		list := tables(Read(page(line(1, 100, 50, "INCI name", 250, "CAS No.", 400, "Content (%)"),
			line(2, 120, 50, "Linalool", 250, "78-70-6", 400, "1.5"), line(3, 140, 50, "Citral", 400, "0.2"),
			line(4, 160, 50, "Coumarin", 250, "91-64-5", 400, "< 0.01")), words))
		require.Len(t, list, 1)
		require.Equal(t, [][]string{{"Linalool", "78-70-6", "1.5"}, {"Citral", "", "0.2"},
			{"Coumarin", "91-64-5", "< 0.01"}}, rows(list[0]))
	})
	t.Run("text without a head stays text", func(t *testing.T) {
		list := Read(page(line(1, 100, 50, "We are pleased to confirm"), line(2, 120, 50, "that all is well")), words)
		require.Empty(t, tables(list))
		require.Len(t, list, 2)
	})
	t.Run("a table goes on on the next page without a head", func(t *testing.T) {
		f := page(line(1, 700, 50, "INCI name", 250, "CAS No.", 400, "Content (%)"),
			line(2, 720, 50, "Linalool", 250, "78-70-6", 400, "1.5"),
			line(3, 740, 50, "Citral", 250, "5392-40-5", 400, "0.2"))
		f.Pages = append(f.Pages, paper.Page{Number: 2, Width: 595, Height: 842, Lines: []paper.Line{
			line(1, 60, 50, "Coumarin", 250, "91-64-5", 400, "0.3"), line(2, 80, 50, "Eugenol", 250, "97-53-0", 400, "0.4")}})
		var all [][]string
		for _, x := range tables(Read(f, words)) {
			all = append(all, rows(x)...)
		}
		require.Equal(t, [][]string{{"Linalool", "78-70-6", "1.5"}, {"Citral", "5392-40-5", "0.2"},
			{"Coumarin", "91-64-5", "0.3"}, {"Eugenol", "97-53-0", "0.4"}}, all)
	})
}

// across is a line drawn over the page.
func across(y float64) paper.Rule { return paper.Rule{X0: 40, X1: 560, Y0: y, Y1: y + 1} }

func TestBoxed(t *testing.T) {
	words, err := lexicon.Load()
	require.NoError(t, err)
	read := func(rules []paper.Rule, lines ...paper.Line) *Table {
		list := tables(Read(&paper.File{Name: "a.pdf", Form: paper.PDF,
			Pages: []paper.Page{{Number: 1, Width: 595, Height: 842, Lines: lines, Rules: rules}}}, words))
		require.Len(t, list, 1)
		return list[0]
	}
	drawn := []paper.Rule{across(90), across(145), across(170), across(200), across(220), across(240)}
	x := read(drawn, line(1, 110, 300, "Content in the", 420, "In finished"),
		line(2, 122, 50, "INCI name", 200, "CAS", 300, "compound", 420, "product at 1.2"), line(3, 134, 300, "(mg/kg)", 420, "% (%)"),
		line(4, 160, 50, "Linalool", 200, "78-70-6", 300, "41 800", 420, "0.0502"),
		line(5, 180, 200, "138-86-3"), line(6, 186, 50, "Limonene", 300, "12 400", 420, "0.0149"), line(7, 192, 200, "7705-14-8"),
		line(8, 212, 50, "Eugenol", 200, "97-53-0", 300, "870", 420, "0.0010"),
		line(9, 232, 50, "Coumarin", 200, "91-64-5", 300, "< 50", 420, "-"))
	t.Run("a head of three lines within one drawn row", func(t *testing.T) {
		require.Equal(t, []string{"inci", "cas", "content", "finished"}, roles(x))
	})
	t.Run("several numbers centred beside one value are one row", func(t *testing.T) {
		require.Equal(t, [][]string{{"Linalool", "78-70-6", "41 800", "0.0502"},
			{"Limonene", "138-86-3\n7705-14-8", "12 400", "0.0149"}, {"Eugenol", "97-53-0", "870", "0.0010"},
			{"Coumarin", "91-64-5", "< 50", "-"}}, rows(x))
	})
	t.Run("a second substance without a value stays a row of its own", func(t *testing.T) {
		y := read(drawn, line(1, 120, 50, "INCI name", 200, "CAS", 300, "%"),
			line(2, 160, 50, "Linalool", 200, "78-70-6", 300, "1.5"),
			line(3, 180, 50, "Limonene", 200, "138-86-3", 300, "2.5"), line(4, 192, 50, "Eugenol", 200, "97-53-0"),
			line(5, 212, 50, "Coumarin", 200, "91-64-5", 300, "0.2"), line(6, 232, 50, "Citral", 200, "5392-40-5", 300, "0.1"))
		require.Contains(t, rows(y), []string{"Limonene", "138-86-3", "2.5"})
		require.Contains(t, rows(y), []string{"Eugenol", "97-53-0", ""})
	})
	t.Run("values and numbers over two lines, in two tables side by side", func(t *testing.T) {
		list := tables(Read(&paper.File{Name: "a.pdf", Form: paper.PDF, Pages: []paper.Page{{Number: 1, Width: 595, Height: 842,
			Rules: []paper.Rule{across(124), across(156), across(188), across(220)}, Lines: []paper.Line{
				line(1, 90, 50, "INCI", 180, "CAS", 250, "%", 330, "INCI", 440, "CAS", 510, "%"),
				line(2, 104, 250, "48,0 à", 510, "≤"), line(3, 110, 50, "GLYCERIN", 180, "56-81-5", 330, "CITRIC ACID", 440, "77-92-9"),
				line(4, 116, 250, "52,0", 510, "0,30"),
				line(5, 136, 180, "7732-", 250, "q.s.p.", 330, "SODIUM", 440, "532-32-"), line(6, 142, 50, "AQUA", 510, "0,50"),
				line(7, 148, 180, "18-5", 250, "100", 330, "BENZOATE", 440, "1"),
				line(8, 168, 180, "73049-", 250, "1,5 à", 330, "POTASSIUM", 440, "24634-"), line(9, 174, 50, "ALTHAEA ROOT", 510, "0,25"),
				line(10, 180, 180, "65-7", 250, "2,5", 330, "SORBATE", 440, "61-5"),
				line(11, 205, 50, "ULEX FLOWER", 180, "90131-88-7", 250, "0,8", 330, "XANTHAN GUM", 440, "11138-66-2", 510, "traces")}}}}, words))
		require.Len(t, list, 2)
		require.Equal(t, [][]string{{"GLYCERIN", "56-81-5", "48,0 à\n52,0"}, {"AQUA", "7732-\n18-5", "q.s.p.\n100"},
			{"ALTHAEA ROOT", "73049-\n65-7", "1,5 à\n2,5"}, {"ULEX FLOWER", "90131-88-7", "0,8"}}, rows(list[0]))
		require.Equal(t, [][]string{{"CITRIC ACID", "77-92-9", "≤\n0,30"}, {"SODIUM\nBENZOATE", "532-32-\n1", "0,50"},
			{"POTASSIUM\nSORBATE", "24634-\n61-5", "0,25"}, {"XANTHAN GUM", "11138-66-2", "traces"}}, rows(list[1]))
	})
	t.Run("a list of values between drawn lines, its cells centred", func(t *testing.T) {
		var got []string
		for _, it := range Read(&paper.File{Name: "a.pdf", Form: paper.PDF, Pages: []paper.Page{{Number: 1, Width: 595, Height: 842,
			Rules: []paper.Rule{across(90), across(125), across(155), across(185)}, Lines: []paper.Line{
				line(1, 104, 50, "Germes"), line(2, 110, 300, "< 100 UFC/g"), line(3, 116, 50, "totaux"),
				line(4, 134, 300, "1,120 -"), line(5, 140, 50, "Densité"), line(6, 146, 300, "1,150"),
				line(7, 170, 50, "Aspect", 300, "clair"), line(8, 200, 50, "Odeur", 300, "faible")}}}}, words) {
			got = append(got, strings.ReplaceAll(it.Row.Text(), "\n", " "))
		}
		require.Equal(t, []string{"Germes totaux  < 100 UFC/g", "Densité  1,120 - 1,150", "Aspect  clair", "Odeur  faible"}, got)
	})
}
