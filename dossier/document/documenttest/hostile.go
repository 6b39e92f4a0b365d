package documenttest

import (
	"reflect"
	"strings"

	"gallipot/dossier/document"
)

// Hostile are texts that a terminal, a spreadsheet, a browser, a reader of PDF or a
// calendar could obey or choke on.
var Hostile = []string{
	"\x1b[31mred\x1b[0m", "\x1b]0;title\x07", "\x9b2J", "a\x00b", "bell\x07", "back\x08\x08space",
	"carriage\rreturn", "\x7fdelete", "next\u0085line",
	"\u202egnp.exe", "\u2066isolate\u2069", "mark\u200fhere", "zero\u200bwidth", "join\u200der",
	"soft\u00adhyphen", "\ufeffmark", "\u3164", "heart\ufe0f",
	"tag\U000e0041\U000e0042", "line\u2028separator", "paragraph\u2029separator", "bad\xff\xfeUTF-8", "half\xe2\x82",
	"<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "javascript:alert(1)", "&lt;b&gt;&amp;",
	"]]><x/>", "<!--", "{{.}}", "${x}",
	"=HYPERLINK(\"http://x\",\"y\")", "+1+1", "-1+1", "@SUM(A1)", "\t=1+1", "＝1+1", "=cmd|' /C calc'!A0",
	"END:VCALENDAR\r\nBEGIN:VEVENT", ") Tj ET Q /JS (app.alert(1)) \\",
}

// kept are the fields that are no text of a maker: anchors, and what links to them.
var kept = map[string]bool{"ID": true, "Link": true, "Anchor": true, "Mark": true, "Marks": true,
	"Symbol": true, "Ref": true, "Name": true, "SheetName": true, "Code": true, "Form": true,
	"Language": true, "Number": true, "Formula": true, "Fingerprint": true, "Role": true, "Term": true, "Format": true}

// spoilAll puts a text into every field of a document that holds one: at its end, so that
// what was there still keeps fields apart.
func spoilAll(d *document.Document, text string) {
	spoil(reflect.ValueOf(d).Elem(), text, map[uintptr]bool{})
}

func spoil(v reflect.Value, text string, seen map[uintptr]bool) {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() || seen[v.Pointer()] {
			return
		}
		seen[v.Pointer()] = true
		spoil(v.Elem(), text, seen)
	case reflect.Interface:
		if !v.IsNil() && v.Elem().Kind() == reflect.Pointer {
			spoil(v.Elem(), text, seen)
		}
	case reflect.Slice:
		for i := range v.Len() {
			spoil(v.Index(i), text, seen)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			field := v.Type().Field(i)
			if field.IsExported() && !kept[field.Name] {
				spoil(v.Field(i), text, seen)
			}
		}
	case reflect.String:
		if v.CanSet() && v.Type() == reflect.TypeFor[string]() && v.String() != "" {
			v.SetString(text + strings.TrimSpace(" "+v.String()))
		}
	}
}
