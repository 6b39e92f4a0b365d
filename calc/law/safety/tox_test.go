package safety_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
	"gallipot/calc/law/safety"
)

func TestToxRows(t *testing.T) {
	row := rowstest.Cells{"substance": "Exemplum", "cas": "122-99-6", "pod_type": "NOAEL", "value_mg_per_kg_bw_d": "500",
		"cramer_class": "III (memory)", "source": "opinion", "seen": "seen"}
	all, err := safety.ReadTox("t.csv", rowstest.Table(safety.ToxColumns, row, row.With("cramer_class", "III"),
		row.With("cramer_class", "I (memory)").With("human", "yes"), row.With("cramer_class", "").With("cas", "")))
	require.NoError(t, err)
	var classes []string
	for _, x := range all {
		classes = append(classes, x.Cramer)
	}
	assert.Equal(t, []string{"III", "III", "I", ""}, classes)
	assert.Equal(t, []bool{true, false, true, false}, []bool{all[0].CramerFromMemory, all[1].CramerFromMemory,
		all[2].CramerFromMemory, all[3].CramerFromMemory})
	assert.Equal(t, []bool{false, true}, []bool{all[0].Human, all[2].Human})
	rowstest.Refuses(t, safety.ReadTox, safety.ToxColumns, row, [][3]string{
		{"substance", "", "the row has no key"},
		{"cas", "122-99-7", "cas: CAS number 122-99-7 has check digit 7"},
		{"pod_type", "", "pod_type and value_mg_per_kg_bw_d go together"},
		{"value_mg_per_kg_bw_d", "", "pod_type and value_mg_per_kg_bw_d go together"},
		{"cramer_class", "IV", `cramer_class: "IV" is none of`},
	})

	more := rowstest.Cells{"substance": "Exemplum", "inci": "A|B", "cas": "122-99-6", "pod_type": "NOAEL",
		"value_mg_per_kg_bw_d": "10", "at_least": "no", "species": "human", "route": "oral", "days": "90",
		"study_kind": "subchronic", "other_points": "20;30.5", "group_figure": "yes", "study": "words", "source": "paper", "seen": "seen"}
	read, err := safety.ReadToxMore("t.csv", rowstest.Table(safety.ToxMoreColumns, more, more.With("species", "rat").With("at_least", "yes")))
	require.NoError(t, err)
	assert.True(t, read[0].Typed.Human())
	assert.False(t, read[1].Typed.Human())
	assert.Equal(t, []bool{false, true, true}, []bool{read[0].Typed.AtLeast, read[1].Typed.AtLeast, read[0].Typed.GroupFigure})
	require.Len(t, read[0].Typed.Others, 2)
	assert.InDelta(t, 30.5, read[0].Typed.Others[1].Value, 0)
	assert.Equal(t, 90, read[0].Typed.Days)
	rowstest.Refuses(t, safety.ReadToxMore, safety.ToxMoreColumns, more, [][3]string{
		{"substance", "", "substance is empty\nthe row has no key"},
		{"cas", "122-99-7", "cas: CAS number 122-99-7 has check digit 7"},
		{"pod_type", "", "pod_type is empty"},
		{"study", "", "study is empty"},
		{"value_mg_per_kg_bw_d", "", "value_mg_per_kg_bw_d is empty"},
		{"other_points", "20;x", `other_points: "x" is not a number`},
		{"route", "", `route: "" is none of oral, dermal, unstated`},
	})
}

// Of several classes the strictest counts: III before II before I.
func TestStrictestClass(t *testing.T) {
	for want, classes := range map[string][]string{"I": {"I"}, "II": {"I", "II"}, "III": {"II", "III", "I"}} {
		assert.Equal(t, want, (&safety.CramerClass{Class: classes[0], Others: classes[1:]}).Strictest())
	}
	assert.Equal(t, "III", (&safety.CramerClass{Class: "III", Others: []string{"I"}}).Strictest())
}
