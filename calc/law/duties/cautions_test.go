package duties

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
)

func TestParseTrigger(t *testing.T) {
	for _, good := range []string{"form=powder", "function=perfum", "name=essential oil", "inci=Citric Acid>=20",
		"inci=Retinol", "label=parfum", "flash<=60", "heat>=60", "with=Sodium Carbonate", "fat", "water", "nano", "soap"} {
		_, err := parseTrigger(good)
		require.NoError(t, err, good)
	}
	for _, bad := range []string{"", "form", "form>=powder", "inci", "inci=Citric Acid>=x", "flash=60",
		"flash>=60", "heat<=60", "heat>=hot", "fat=yes", "always", "Form=powder"} {
		_, err := parseTrigger(bad)
		require.Error(t, err, bad)
	}
}

// What a condition of a caution is read as.
func TestReadCautions(t *testing.T) {
	row := rowstest.Cells{"id": "H1", "where": "making", "trigger": "form=powder & heat>=60;flash<=23;inci=Citric Acid>=20",
		"hazard": "dust", "caution": "wear a mask", "source": "book", "seen": "seen"}
	cautions, err := ReadCautions("t.csv", rowstest.Table(CautionColumns, row))
	require.NoError(t, err)
	var read [][3]string
	for _, all := range cautions[0].Trigger {
		for _, one := range all {
			bound := ""
			if one.Bound != nil {
				bound = one.Bound.Exact()
			}
			read = append(read, [3]string{one.Kind, one.Value, bound})
		}
	}
	require.Equal(t, [][3]string{{"form", "powder", ""}, {"heat", "", "60"}, {"flash", "", "23"}, {"inci", "Citric Acid", "20"}}, read)
	require.Len(t, cautions[0].Trigger, 3)
	rowstest.Refuses(t, ReadCautions, CautionColumns, row, [][3]string{
		{"where", "outside", `where: "outside" is none of making`},
		{"hazard", "", "hazard is empty"},
		{"caution", "", "caution is empty"},
		{"trigger", "fat & form", `trigger: "form" is no condition`},
		{"trigger", "form;heat>=x", "trigger: \"form\" is no condition\ntrigger: \"x\" is not a number"},
	})
}
