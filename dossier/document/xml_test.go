package document

import (
	"encoding/xml"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/words"
)

// What is written between tags reads as what is printable of the text, however it is written.
func TestAppendXML(t *testing.T) {
	for _, s := range []string{"", "plain", `IF('Live sheet'!$B$4=0,1,"changed")`, "a<b & c>d ]]>", "line\nline", " edges ",
		"tab\there", "\r\n", "≤ 0.1 %\u00a0w/w", "\x00\x1b", "\xff\xfe", "\ufffe\uffff\ufeff", "é", "&amp;", "\ufffd"} {
		var between, in string
		require.NoError(t, xml.Unmarshal(append(AppendXML([]byte("<t>"), s), "</t>"...), &between), "%q", s)
		require.NoError(t, xml.Unmarshal([]byte("<t>"+XMLText(s)+"</t>"), &in), "%q", s)
		require.Equal(t, in, between, "%q", s)
	}
	require.Equal(t, `x'"`, string(AppendXML([]byte("x"), `'"`)))
	require.NotContains(t, words.Printable("\x00"), "\x00")
}
