package document

import (
	"bytes"
	"encoding/xml"
	"strings"

	"gallipot/dossier/words"
)

// XMLText returns what is printable of a text as it stands in XML.
func XMLText(s string) string {
	if words.IsPlain(s) && !strings.ContainsAny(s, `<>&"'`) {
		return s
	}
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(words.Printable(s))) // a buffer takes all
	return b.String()
}
