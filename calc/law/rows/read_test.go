package rows

import (
	"crypto/sha256"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

// sample has a cell of each kind.
type sample struct {
	Row
	list, numbers []string
	num, pct      *exact.Num
	whole         int
	figure        *Figure
	date          exact.Date
	yes, mark     bool
	markets       []Market
	later         string // of a column that the table may lack
}

var sampleColumns = Columns{
	Meaning: []string{"key", "list", "numbers", "num", "pct", "whole", "figure", "date", "yes", "mark", "market",
		"cas", "ec", "later", "seen"},
	Remarks: []string{"source", "note"},
}

// sampled reads a table of one row, all cells of which are empty but those given and those
// that may not be. The row comes back even where the table leaves it out.
func sampled(t *testing.T, cells map[string]string) (read sample, kept []sample, err error) {
	t.Helper()
	given := map[string]string{"key": "k", "yes": "no", "market": "EU", "seen": "seen", "source": "book"}
	for col, text := range cells {
		given[col] = text
	}
	var row []string
	for _, col := range sampleColumns.All() {
		row = append(row, given[col])
	}
	text := strings.Join(sampleColumns.All(), ",") + "\n" + strings.Join(row, ",") + "\n"
	kept, err = ReadTable("t.csv", text, sampleColumns, func(r *Record) sample {
		read = parseSample(r)
		return read
	})
	return read, kept, err
}

func parseSample(r *Record) sample {
	s := sample{Row: r.Head(r.Text("key")), list: r.List("list"), numbers: r.Numbers("numbers"), num: r.Num("num"),
		pct: r.Pct("pct"), whole: r.Whole("whole"), figure: r.Figure("figure"), date: r.Date("date"),
		yes: r.Yes("yes"), mark: r.Mark("mark"), markets: r.Markets("market"), later: r.Text("later")}
	r.CheckNumbers(SplitList(r.Text("cas")), SplitList(r.Text("ec")))
	return s
}

func TestCells(t *testing.T) {
	t.Run("not stated", func(t *testing.T) {
		_, kept, err := sampled(t, nil)
		require.NoError(t, err)
		require.Len(t, kept, 1)
		s := kept[0]
		assert.Nil(t, s.num, "empty is not zero")
		assert.Nil(t, s.pct)
		assert.Nil(t, s.figure)
		assert.Zero(t, s.whole)
		assert.True(t, s.date.IsZero())
		assert.Nil(t, s.list)
		assert.Nil(t, s.numbers)
		assert.False(t, s.yes || s.mark)
		assert.Equal(t, []Market{EU}, s.markets)
		assert.Equal(t, Row{Key: "k", Source: "book", Seen: "seen", File: "t.csv", Line: 2, cells: s.cells}, s.Row)
		assert.Nil(t, s.Remarks())
	})
	t.Run("stated", func(t *testing.T) {
		_, kept, err := sampled(t, map[string]string{"list": " a ;; b;", "numbers": "1;2", "num": " 0 ", "pct": "100",
			"whole": "1000000", "figure": "-1.5", "date": "2027-01-31", "yes": "yes", "mark": "yes", "market": "EU+GB",
			"cas": "7732-18-5; 56-81-5", "ec": "231-791-2", "seen": "unverified", "note": "as said"})
		require.NoError(t, err)
		require.Len(t, kept, 1)
		s := kept[0]
		assert.Equal(t, []string{"a", "b"}, s.list)
		assert.Equal(t, []string{"1", "2"}, s.numbers)
		assert.True(t, s.num != nil && s.num.IsZero(), "zero is zero")
		assert.Equal(t, "100", s.pct.Exact())
		assert.Equal(t, 1_000_000, s.whole)
		assert.Equal(t, &Figure{-1.5, "-1.5"}, s.figure)
		assert.Equal(t, "2027-01-31", s.date.String())
		assert.True(t, s.yes && s.mark)
		assert.Equal(t, []Market{EU, GB}, s.markets)
		assert.Equal(t, "memory", s.Seen, "what a maker calls unverified was not read in its source")
		assert.True(t, s.FromMemory())
		assert.Equal(t, []string{"as said"}, s.Remarks())
	})
	t.Run("a list of nothing", func(t *testing.T) {
		_, kept, err := sampled(t, map[string]string{"list": " ; ", "whole": "0"})
		require.NoError(t, err)
		assert.Nil(t, kept[0].list)
		assert.False(t, kept[0].FromMemory())
	})
	for _, c := range []struct{ col, text, want string }{
		{"key", "", "the row has no key"},
		{"source", "", "source is empty"},
		{"seen", "often", `seen: "often" is none of seen, partly, memory, none`},
		{"numbers", "1;2;1", "numbers: 1 stands twice"},
		{"num", "-1", "num: -1 is negative"},
		{"num", "2.5.1", `num: "2.5.1" is not a number: `},
		{"pct", "100.0001", "pct: 100.0001 is above 100 %"},
		{"pct", "-0.1", "pct: -0.1 is negative"},
		{"whole", "-1", `whole: "-1" is no whole number`},
		{"whole", "1000001", `whole: "1000001" is no whole number`},
		{"whole", "1.5", `whole: "1.5" is no whole number`},
		{"figure", "inf", `figure: "inf" is not a number`},
		{"figure", "1-2", `figure: "1-2" is not a number`},
		{"date", "2026-02-30", `date: "2026-02-30" is not a date`},
		{"yes", "", `yes: "" is none of yes, no`},
		{"mark", "no", `mark: "no" is none of , yes`},
		{"market", "NI", `market: "NI" is none of EU, GB, EU+GB`},
		{"cas", "7732-18-4", "cas: CAS number 7732-18-4 has check digit 4"},
		{"ec", "231-791-3", "ec: EC number 231-791-3 has check digit 3"},
	} {
		t.Run(c.col+" "+c.text, func(t *testing.T) {
			s, kept, err := sampled(t, map[string]string{c.col: c.text})
			require.ErrorContains(t, err, "t.csv:2: "+c.want)
			assert.Empty(t, kept, "a faulty row is left out")
			assert.True(t, s.num == nil && s.figure == nil && s.whole == 0, "a faulty figure is none")
		})
	}
}

func TestRequiredCell(t *testing.T) {
	_, err := ReadTable("t.csv", "key,list\nk,\n", Columns{Meaning: []string{"key", "list"}},
		func(r *Record) string { return r.Must("list") })
	require.EqualError(t, err, "t.csv:2: list is empty")
}

// Where a fault stands, by counting characters.
func TestPlacesOfFaults(t *testing.T) {
	cols := Columns{Meaning: []string{"key", "list", "num", "later"}}
	for _, c := range []struct {
		name, text     string
		line, col, len int
	}{
		{"a cell too many", "key,list,num\nk,a,1,5\n", 2, 0, 0}, // the whole line
		{"a letter of two bytes before it", "key,list,num\na,b,2\nk,é,x\n", 3, 5, 1},
		{"a letter of two bytes in it", "key,list,num\nk,,1é\n", 2, 4, 2},
		{"behind quotes", "key,list,num\nk,\"a, b\",xyz\n", 2, 10, 3},
		{"in quotes", "key,list,num\nk,,\"1,5\"\n", 2, 4, 3},
		{"behind a line break", "key,list,num\n\"é\nk\",b,xy\n", 2, 6, 2},
		{"in a row behind one of two lines", "key,list,num\n\"a\nb\",,1\nk,,x\n", 4, 4, 1},
		{"behind empty lines", "key,list,num\n\n\nk,,x\n", 4, 4, 1},
		{"with a return in the line", "key,list,num\nk,a\rb,x\n", 2, 7, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadLacking("t.csv", c.text, cols, []string{"later"}, func(r *Record) *exact.Num { return r.Num("num") })
			var fault *TableError
			require.ErrorAs(t, err, &fault)
			assert.Equal(t, []int{c.line, c.col, c.len}, []int{fault.Line, fault.Col, fault.Len}, err.Error())
		})
	}
	t.Run("an empty cell", func(t *testing.T) {
		_, err := ReadLacking("t.csv", "key,list,num\nk,,1\n", cols, []string{"later"},
			func(r *Record) bool { return r.Yes("list") })
		var fault *TableError
		require.ErrorAs(t, err, &fault)
		assert.Equal(t, []int{2, 3, 1}, []int{fault.Line, fault.Col, fault.Len}, "one sign, to have a place")
	})
	t.Run("a column that the table lacks", func(t *testing.T) {
		_, err := ReadLacking("t.csv", "key,list,num\nk,,1\n", cols, []string{"later"}, func(r *Record) *exact.Num {
			r.Filled = map[string]string{"later": "x"}
			return r.Num("later")
		})
		var fault *TableError
		require.ErrorAs(t, err, &fault)
		assert.Equal(t, TableError{File: "t.csv", Line: 2, What: fault.What, Fix: fault.Fix}, *fault)
		assert.Contains(t, fault.What, `later: "x" is not a number`)
	})
	t.Run("what to do", func(t *testing.T) {
		_, err := ReadLacking("t.csv", "key,list,num\nk,,\"1,5\"\n", cols, []string{"later"},
			func(r *Record) *exact.Num { return r.Num("num") })
		require.EqualError(t, err, `t.csv:2: num: "1,5" has a decimal comma: write 1.5`)
		var fault *TableError
		require.ErrorAs(t, err, &fault)
		assert.Equal(t, "write 1.5", fault.Fix)
		assert.Equal(t, "t.csv:2: num", (&TableError{File: "t.csv", Line: 2, What: "num"}).Error())
	})
}

// The digest of a row is that of its cells in the columns that mean something, in the order
// of the reader's columns: name, equals sign, value without blanks around it, zero byte.
func TestMeaning(t *testing.T) {
	cols := Columns{Meaning: []string{"key", "list", "later", "seen"}, Remarks: []string{"source", "note"}}
	read := func(text string, fill map[string]string) []*Row {
		t.Helper()
		all, err := ReadLacking("t.csv", text, cols, []string{"later", "list"}, func(r *Record) *Row {
			r.Filled = fill
			row := r.Head(r.Text("key"))
			return &row
		})
		require.NoError(t, err)
		return all
	}
	hash := func(text string) Digest { return sha256.Sum256([]byte(text)) }
	want := hash("key=k\x00list=a, b\x00seen=seen\x00")
	for name, text := range map[string]string{
		"plain":                "key,list,seen,source,note\nk,\"a, b\",seen,book,\n",
		"columns moved":        "note,source,list,seen,key\nnever mind,another book,\"a, b\",seen,k\n",
		"blanks":               "key,list,seen,source,note\n k ,\"a, b \",seen,book,\n",
		"an empty column more": "key,later,list,seen,source,note\nk,,\"a, b\",seen,book,\n",
		"a return in the line": "key,list,seen,source,note\nk,\"a, b\",seen,bo\rok,\n",
	} {
		assert.Equal(t, want, read(text, nil)[0].Meaning(), name)
	}
	two := read("key,list,seen,source,note\nk,\"a, b\",seen,book,\nl,,none,book,\n", nil)
	two = append(two, &Row{Key: "of no table"})
	assert.Equal(t, []Digest{want, hash("key=l\x00seen=none\x00"), {}}, Meanings(two))
	assert.Equal(t, Digest{}, two[2].Meaning())
	filled := read("key,seen,source,note\nk,seen,book,\n", map[string]string{"list": "a, b"})
	assert.Equal(t, want, filled[0].Meaning(), "a cell that was filled from others")
}

func TestAnnexesOfMarkets(t *testing.T) {
	assert.Equal(t, []Market{EU, GB, EU}, []Market{EU.Annexes(), GB.Annexes(), NI.Annexes()})
	assert.True(t, EU.Valid() && GB.Valid() && NI.Valid())
	assert.False(t, Market("US").Valid())
}
