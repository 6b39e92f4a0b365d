package document

import (
	"bytes"
	"encoding/xml"
	"strings"

	"gallipot/dossier/words"
)

func XMLText(s string) string {
	if words.IsPlain(s) && !strings.ContainsAny(s, `<>&"'`) {
		return s
	}
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer takes all
	return b.String()
}
