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

// AppendXML writes what is printable of a text behind b, as it stands between the tags of
// XML. Quotes stand there as they are, which in an attribute they do not.
func AppendXML(b []byte, s string) []byte {
	if !words.IsPlain(s) {
		s = words.Printable(s)
	}
	done := 0
	for i := 0; i < len(s); i++ {
		as, length := "", 1
		switch s[i] {
		case '&':
			as = "&amp;"
		case '<':
			as = "&lt;"
		case '>':
			as = "&gt;"
		case 0xEF: // U+FFFE and U+FFFF are no characters
			if strings.HasPrefix(s[i:], "\ufffe") || strings.HasPrefix(s[i:], "\uffff") {
				as, length = "\ufffd", len("\ufffe")
			}
		}
		if as != "" {
			b = append(append(b, s[done:i]...), as...)
			done = i + length
		}
	}
	return append(b, s[done:]...)
}
