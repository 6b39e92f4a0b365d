package history

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"strings"
)

// Base returns the folder of the program in the system's place for user data. It need not
// be there yet.
//
// Errors: those of [os.UserConfigDir], where the system names no such place.
func Base() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", err
	}
	return filepath.Join(dir, "gallipot"), nil
}

// Folder returns the folder inside base that belongs to a workshop. Two names of one
// folder, such as a link to it, give the same.
func Folder(base, workshop string) (string, error) {
	path, err := filepath.Abs(workshop)
	if err != nil {
		return "", err
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	sum := sha256.Sum256([]byte(path))
	return filepath.Join(base, "workshops", plainName(filepath.Base(path))+"-"+hex.EncodeToString(sum[:6])), nil
}

// plainName keeps of a name what every system takes, so that a person finds the folder.
func plainName(name string) string {
	name = strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, name)
	return strings.Trim(name[:min(len(name), 24)], "-")
}
