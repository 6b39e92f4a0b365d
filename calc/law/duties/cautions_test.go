package duties

import (
	"testing"

	"github.com/stretchr/testify/require"
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
