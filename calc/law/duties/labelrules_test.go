package duties

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFaultyLabelRules(t *testing.T) {
	head := "id,part,market,rule,test,wording,above,up_to,value,unit,source,seen,note" + "\n"
	for _, c := range []struct{ row, want string }{
		{"X1,item,GB+US,a rule,,,,,,,src,seen,\n", `market: "US" is no market`},
		{"X1,item,GB+GB,a rule,,,,,,,src,seen,\n", `market: "GB" is no market, or stands twice`},
		{"X1,thing,GB,a rule,,,,,,,src,seen,\n", `part: "thing" is none of`},
		{"X1,item,GB,,,,,,,,src,seen,\n", "rule is empty"},
		{"X1,item,GB,a rule,,,50,50,2,mm,src,seen,\n", "above 50 is not below up_to 50"},
		{"X1,item,GB,a rule,,,,,2,,src,seen,\n", "value 2 has no unit"},
		{"X1,item,GB,a rule,,,,,2027-13-01,date,src,seen,\n", "2027-13-01"},
		{"X1,item,GB,a rule,,,,,,,,seen,\n", "source is empty"},
	} {
		_, err := ReadLabelRules("t.csv", head+c.row)
		require.ErrorContains(t, err, c.want, c.row)
	}
}
