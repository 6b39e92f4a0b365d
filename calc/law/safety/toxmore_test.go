package safety_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/safety"
)

func TestToxMoreFaults(t *testing.T) {
	head := "substance,inci,cas,pod_type,value_mg_per_kg_bw_d,at_least,species,route,days,study_kind,read_across,other_points," +
		"group_figure,study,mw,formula,logp,cramer_class,safe_intake,other,source,seen,note\n"
	good := "Exemplum,EXEMPLUM,,NOAEL,10,no,rat,oral,90,subchronic,,,no,\"rat, oral, 90 days\",,,,,,,some paper,seen,\n"
	_, err := safety.ReadToxMore("t.csv", head+good)
	require.NoError(t, err)
	for _, c := range []struct{ name, old, new, want string }{
		{"value", ",10,", ",,", "value_mg_per_kg_bw_d is empty"},
		{"days", ",90,", ",9.5,", "no whole number"},
		{"species", ",rat,", ",cat,", "species"},
		{"kind", ",subchronic,", ",long,", "study_kind"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := safety.ReadToxMore("t.csv", head+strings.Replace(good, c.old, c.new, 1))
			require.ErrorContains(t, err, c.want)
		})
	}
}
