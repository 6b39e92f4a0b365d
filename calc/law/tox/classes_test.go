package tox

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Ranges in words, and that the statements of Article 15 count without the letters behind
// them and not where the entry is a question.
func TestClassesAndLimitsInWords(t *testing.T) {
	const head = "key,cas,hazard_class,from_pct,from_open,to_pct,to_open,some_suppliers,seen,source,note\n"
	for cells, want := range map[string]string{
		"10,,,":      "≥ 10 %",
		"10,yes,,":   "> 10 %",
		",,3,":       "≤ 3 %",
		",,3,yes":    "< 3 %",
		"0.1,,3,yes": "≥ 0.1 %, < 3 %",
		"0.1,yes,3,": "> 0.1 %, ≤ 3 %",
	} {
		limits, err := readLimits("t.csv", head+"a,56-81-5,Skin Irrit. 2,"+cells+",,seen,act,\n")
		require.NoError(t, err, cells)
		assert.Equal(t, want, limits[0].Words(), cells)
	}
	for _, c := range []struct {
		h                       string
		question                bool
		cmr, first, sensitising bool
	}{
		{"H360FD", false, true, true, false}, {"H340", false, true, true, false}, {"H350i", false, true, true, false},
		{"H361f", false, true, false, false}, {"H341", false, true, false, false}, {"H351", false, true, false, false},
		{"H362", false, true, false, false}, {"H317", false, false, false, true}, {"H334", true, false, false, true},
		{"H319", false, false, false, false}, {"H360", true, false, false, false},
	} {
		class := &Class{HPhrases: []string{"H302", c.h}, Question: c.question}
		assert.Equal(t, []bool{c.cmr, c.first, c.sensitising}, []bool{class.IsCMR(), class.IsFirstCMR(), class.IsSensitising()}, c.h)
	}
}

// What a table of this room is refused for.
func TestFaultyCellsOfTox(t *testing.T) {
	for _, c := range []struct {
		name string
		read func(file, text string) error
		text string
		want string
	}{
		{"a dose of nothing", told(readDoses), "key,name,cas,dose_ug_cm2,kind,pure_only,seen,source,note\n" +
			"a,A,,0,weight-of-evidence,,seen,book,\n", "dose_ug_cm2 is not above 0"},
		{"a rule without figure", told(readRules), "key,value,unit,seen,source,note\na,,g,seen,book,\n", "value is empty"},
		{"no pattern", told(readImpurities), "key,patterns,functions,impurity,cas,usual_limit,unit,absent,limit_of,banned," +
			"answered_by,seen,kind,basis,source,note\na,,,Lead,,,,,,,,seen,metals,,book,\n", "patterns is empty"},
		{"a wrong number", told(readImpurities), "key,patterns,functions,impurity,cas,usual_limit,unit,absent,limit_of,banned," +
			"answered_by,seen,kind,basis,source,note\na,*,,Lead,7439-92-2,,,,,,,seen,metals,,book,\n",
			"cas: CAS number 7439-92-2 has check digit 2"},
	} {
		require.ErrorContains(t, c.read("t.csv", c.text), "t.csv:2: "+c.want, c.name)
	}
	rules := tablesOf(func(string) ([]byte, error) {
		return []byte("key,value,unit,seen,source,note\na,0.1,%,seen,book,\nb,7,pages,seen,book,\n"), nil
	})
	assert.Equal(t, []string{"0.1", "7"}, []string{rules.Rule("a").Exact(), rules.Rule("b").Exact()})
	require.PanicsWithValue(t, "tox: no rule c", func() { rules.Rule("c") })
	const item = "key,heading,label,answer,lines,choices,field,rests_on,seen,what,source,note\n"
	require.NoError(t, told(readPartB)("t.csv", item+"a,B1,L,choice,,yes,,,seen,w,act,\n"))
	require.ErrorContains(t, told(readPartB)("t.csv", item+"a,B1,L,text,,yes,,,seen,w,act,\n"),
		"choices stand where the answer is a choice, and nowhere else")
	answered, err := readImpurities("t.csv", "key,patterns,functions,impurity,cas,usual_limit,unit,absent,limit_of,banned,"+
		"answered_by,seen,kind,basis,source,note\na,*,,Linalool,,,,,,,allergens,seen,oils,,book,\nb,*,,Lead,,,,,,,,seen,oils,,book,\n")
	require.NoError(t, err)
	assert.True(t, answered[0].ByAllergens && !answered[1].ByAllergens)
}

func told[T any](read func(file, text string) ([]T, error)) func(file, text string) error {
	return func(file, text string) error {
		_, err := read(file, text)
		return err
	}
}

// Of several doses one by weight of evidence counts before one of a single study, and of two
// alike the lower.
func TestDoseThatCounts(t *testing.T) {
	const head = "key,name,cas,dose_ug_cm2,kind,pure_only,seen,source,note\n"
	const human, weighed = "human-no-effect", "weight-of-evidence"
	for _, c := range []struct {
		doses [][2]string
		want  string
	}{
		{[][2]string{{"100", human}, {"500", weighed}}, "500"},
		{[][2]string{{"500", weighed}, {"100", human}}, "500"},
		{[][2]string{{"500", weighed}, {"400", weighed}, {"450", weighed}}, "400"},
		{[][2]string{{"70", human}, {"60", human}, {"80", human}}, "60"},
	} {
		text := head
		for _, d := range c.doses {
			text += d[0] + d[1] + ",A,56-81-5," + d[0] + "," + d[1] + ",,seen,book,\n"
		}
		tables := tablesOf(func(string) ([]byte, error) { return []byte(text), nil })
		assert.Equal(t, c.want, tables.DoseOf("7732-18-5", "56-81-5").UgCM2.Text)
		assert.Nil(t, tables.DoseOf("7732-18-5"))
	}
	pure, err := readDoses("t.csv", head+"a,A,,0.5,"+human+",yes,seen,book,\n")
	require.NoError(t, err)
	assert.True(t, pure[0].PureOnly && !pure[0].Weighted)
	assert.InDelta(t, 0.5, pure[0].UgCM2.Value, 0)
}
