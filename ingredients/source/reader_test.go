package source

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestBlankKeysOfAForm(t *testing.T) {
	r := NewReader(NewSource("form.yaml",
		[]byte("lines:\n  - {ingredient: water, weighed_g: , lot: }\n  - {ingredient: oil, weighed_g: 12.5, lot: \"\"}\nby:\nplace: home\n")))
	m, ok := r.Root("form")
	require.True(t, ok)
	var got []string
	m.At("lines").EachIn("line", "{}", func(m *Mapping) {
		text := m.At("ingredient").Text()
		if n := m.Filled("weighed_g").Num(); n != nil {
			text += " " + n.Exact()
		}
		got = append(got, text+m.Filled("lot").Text())
	})
	require.Empty(t, m.Filled("by").Text())
	require.True(t, m.At("by").Blank())
	require.False(t, m.At("place").Blank())
	require.Equal(t, "home", m.Filled("place").Text())
	require.False(t, m.Filled("not there").Present())
	m.Done()
	require.Equal(t, []string{"water", "oil 12.5"}, got)
	require.Empty(t, r.Findings())
}
