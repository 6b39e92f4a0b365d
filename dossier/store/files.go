package store

import (
	"errors"
	"io/fs"
	"os"
	"strings"
)

var ErrNoFile = errors.New("it is no plain file")

// Reason puts the cause of a file error into words, without the path, which the
// message already has.
func Reason(err error) string {
	var p *fs.PathError
	var link *os.LinkError
	switch {
	case LeadsOutside(err):
		return "it leads outside the workshop"
	case errors.Is(err, fs.ErrPermission):
		return "no permission"
	case errors.As(err, &p):
		return p.Err.Error()
	case errors.As(err, &link):
		return link.Err.Error()
	}
	return err.Error()
}

// LeadsOutside says whether a link was refused. The standard library exports no
// error value for it, only this text.
func LeadsOutside(err error) bool { return strings.Contains(err.Error(), "path escapes from parent") }
