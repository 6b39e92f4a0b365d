package safety_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/safety"
)

func TestCramerFaults(t *testing.T) {
	head := "key,inci,cas,cramer_class,other_classes,mw,formula,source,seen,note\n"
	_, err := safety.ReadCramerClasses("t.csv", head+"k,Exemplum,,IV,,,,x,seen,\n")
	require.ErrorContains(t, err, "cramer_class")
	_, err = safety.ReadCramerClasses("t.csv", head+"k,Exemplum,7732-18-4,I,,,,x,seen,\n")
	require.ErrorContains(t, err, "check digit")
	_, err = safety.ReadCramerClasses("t.csv", head+"k,Exemplum,,I,V,,,x,seen,\n")
	require.ErrorContains(t, err, "is no class")
}
