package frame

import (
	"strings"

	"gallipot/dossier/edit"
)

// thing names the place of a path, for the undo list.
func (form Form) thing(p edit.Path) string {
	if form.Thing != nil {
		if s := form.Thing(p); s != "" {
			return s
		}
	}
	if len(p) == 0 {
		return form.File
	}
	if form.Label != nil {
		if s := form.Label(p); s != "" {
			return s
		}
	}
	return FieldName(p[len(p)-1])
}

// answered words a value as a form has it.
func answered(value string) string {
	switch value {
	case "true":
		return "yes"
	case "false":
		return "no"
	}
	return value
}

// labelled is a message that begins with a key of a file, or with what fields of that key are
// called everywhere, with the name of the field instead.
func labelled(message, key, label string) string {
	for _, head := range []string{keyNames()[key], key} {
		if n := len(head); label != "" && n > 0 && len(message) > n && strings.EqualFold(message[:n], head) {
			return label + message[n:]
		}
	}
	return message
}
