package words

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestUpperFirst(t *testing.T) {
	for in, want := range map[string]string{"": "", "dry": "Dry", "öl": "Öl", "Åland": "Åland", "6 months": "6 months"} {
		require.Equal(t, want, UpperFirst(in))
	}
}
