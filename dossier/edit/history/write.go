package history

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"

	"gallipot/dossier/store"
)

// staged is a whole new file beside the name it is to take; with remove, a name that is
// to be given up.
type staged struct {
	name, temp string
	remove     bool
}

// stage writes a new file beside name, with the mode the file has.
func stage(root *os.Root, name string, data []byte) (*staged, error) {
	if dir := path.Dir(name); dir != "." {
		if err := root.MkdirAll(filepath.FromSlash(dir), 0o755); err != nil {
			return nil, err
		}
	}
	mode := fs.FileMode(0o644)
	if info, err := root.Stat(filepath.FromSlash(name)); err == nil {
		if mode = info.Mode().Perm(); mode&0o200 == 0 {
			return nil, &fs.PathError{Op: "write", Path: name, Err: fs.ErrPermission}
		}
	}
	s := &staged{name: name}
	temp := path.Join(path.Dir(name), fmt.Sprintf(".%s.%d.part", path.Base(name), rand.Uint32()))
	f, err := root.OpenFile(filepath.FromSlash(temp), os.O_CREATE|os.O_EXCL|os.O_WRONLY, mode)
	if err != nil {
		return nil, err
	}
	s.temp = temp
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = root.Chmod(filepath.FromSlash(temp), mode)
	}
	if err != nil {
		s.drop(root)
		return nil, err
	}
	return s, nil
}

func (s *staged) place(root *os.Root) error {
	if s.remove {
		return root.Remove(filepath.FromSlash(s.name))
	}
	err := root.Rename(filepath.FromSlash(s.temp), filepath.FromSlash(s.name))
	if err == nil {
		s.temp = ""
	}
	return err
}

func (s *staged) drop(root *os.Root) {
	if s.temp != "" {
		_ = root.Remove(filepath.FromSlash(s.temp)) // what fails here is left as a .part file
		s.temp = ""
	}
}

// readFile reads a file inside a folder. The bytes are nil where there is none.
//
// Errors: those of the file system; one for what is no plain file or is larger than most.
func readFile(root *os.Root, name string) ([]byte, error) {
	f, err := store.OpenPlain(root, name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if info.Size() > largest {
		return nil, &fs.PathError{Op: "read", Path: name, Err: errNoText}
	}
	data, err := io.ReadAll(f)
	if data == nil {
		data = []byte{}
	}
	return data, err
}

var errNoText = errors.New("the file is too large")

// Largest file that is read for editing, in bytes.
const largest = 64 << 20
