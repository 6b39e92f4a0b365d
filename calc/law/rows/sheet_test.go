package rows

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is wrong with a table as a whole, with its line and one thing to do.
func TestFaultsOfTables(t *testing.T) {
	cols := Columns{Meaning: []string{"key", "list", "later"}}
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "t.csv:1: the table is empty: start with the header line key,list,later"},
		{"empty lines", "\n\n", "t.csv:1: the table is empty: start with the header line key,list,later"},
		{"semicolons", "key;list\na;b\n", "t.csv:1: its columns are parted by semicolons, but commas are needed: " +
			"save the table as CSV with commas between the columns and points for decimals; " +
			"a cell that holds a comma goes in double quotes"},
		{"tabs", "\tkey\tlist;later\na\tb\n", "t.csv:1: its columns are parted by tabs, but commas are needed: " +
			"save the table as CSV with commas between the columns and points for decimals; " +
			"a cell that holds a comma goes in double quotes"},
		{"one column", "kex\na\n", `t.csv:1: unknown column "kex": did you mean key?`},
		{"a name unlike any", "key,quantity\na,b\n", `t.csv:1: unknown column "quantity": use these columns: key,list,later`},
		{"a semicolon in a name", "key,list;\na,b\n", `t.csv:1: unknown column "list;": did you mean list?`},
		{"twice", "key,list, key \na,b,c\n", `t.csv:1: column "key" stands twice: remove one`},
		{"missing", "key\na\n", `t.csv:1: column "list" is missing: add it; its cells may be empty where the value is not stated`},
		{"too few cells", "key,list\na,b\nfaulty\n", "t.csv:3: 1 cells, the header has 2"},
		{"a quote that does not end", "key,list\na,b\na,\"c\n", "t.csv:3: extraneous or missing \" in quoted-field"},
		{"a quote in a word", "key,list\na,b\nc\"d,e\n", "t.csv:3: bare \" in non-quoted-field"},
		{"a quote in a name", "key,li\"st\na,b\n", "t.csv:1: bare \" in non-quoted-field"},
		{"a wrong header and a quote", "kex,list\na,\"c\n", "t.csv:2: extraneous or missing \" in quoted-field"},
		{"a return in the midst of a short line", "key,list\na,b\na\rb\n", "t.csv:3: 1 cells, the header has 2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			kept, err := ReadLacking("t.csv", c.text, cols, []string{"later"}, func(r *Record) string { return r.Text("key") })
			require.EqualError(t, err, c.want)
			var fault *TableError
			assert.ErrorAs(t, err, &fault)
			if fault.Line == 1 {
				assert.Empty(t, kept)
			}
			assert.NotContains(t, kept, "faulty", "a faulty row is left out")
		})
	}
}

// A table that may lack columns, with the mark of its coding, blanks around names, and
// columns in another order.
func TestTablesAsPeopleWriteThem(t *testing.T) {
	cols := Columns{Meaning: []string{"key", "list", "later"}}
	for _, text := range []string{
		"\xef\xbb\xbfkey,list\na,1\nb,2\n", "key,list\r\na,1\r\n\r\nb,2\r\n", " list , key \n 1,a\n2 ,b\n",
		"later,key,list\n,a,1\n,b,2", "key,list\n\"a\",1\n\n\"b\",2\n",
	} {
		kept, err := ReadLacking("t.csv", text, cols, []string{"later"}, func(r *Record) []string {
			return []string{r.Text("later"), r.Text("list"), r.Text("key")} // not the order of the columns
		})
		require.NoError(t, err, "%q", text)
		assert.Equal(t, [][]string{{"", "1", "a"}, {"", "2", "b"}}, kept, "%q", text)
	}
	kept, err := ReadLacking("t.csv", "key,list\na,\"x\ry\"\nb,z\n", cols, []string{"later"},
		func(r *Record) string { return r.Text("list") })
	require.NoError(t, err)
	assert.Equal(t, []string{"x\ry", "z"}, kept)
}

// A row may ask for the same cell often and for cells in any order.
func TestCellsInAnyOrder(t *testing.T) {
	cols := Columns{Meaning: []string{"a", "b", "c", "d", "e", "f", "g"}}
	orders := [][]string{{"a", "b", "c", "d", "e", "f", "g"}, {"g", "a", "a", "f", "b"}, {"b", "a"}, {"g", "g", "c", "a"},
		{"f", "e", "d", "c", "b", "a"}}
	i := -1
	_, err := ReadTable("t.csv", "g,f,e,d,c,b,a\nG,F,E,D,C,B,A\n1g,1f,1e,1d,1c,1b,1a\n2g,2f,2e,2d,2c,2b,2a\n"+
		"3g,3f,3e,3d,3c,3b,3a\n4g,4f,4e,4d,4c,4b,4a\n", cols, func(r *Record) bool {
		i++
		for _, col := range orders[i] {
			want := string('0'+rune(i)) + col
			if i == 0 {
				want = string(col[0] - 'a' + 'A')
			}
			assert.Equal(t, want, r.Text(col))
		}
		return true
	})
	require.NoError(t, err)
	assert.Equal(t, 4, i)
}
