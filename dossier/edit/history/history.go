package history

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// Hash returns the hash by which a version of a file is named: SHA-256, in hexadecimal.
// Of nil, which stands for no file, it is empty.
func Hash(data []byte) string {
	if data == nil {
		return ""
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// Change is what is to become of a file.
type Change struct {
	// Name is relative to the workshop, with slashes.
	Name string
	// Base is the hash of the version that the change was made from; empty for a new file.
	Base string
	// Data is the whole new content; nil takes the file away.
	Data []byte
}

// Conflict says that a file was changed by someone else since it was read.
type Conflict struct {
	Name string
	// Base is the version both started from, nil where it is not known any more; Mine is
	// the one that was to be saved; Theirs stands in the workshop now. Nil is no file.
	Base, Mine, Theirs []byte
}

func (c *Conflict) Error() string { return c.Name + " was changed meanwhile" }

// Label says in words of the page what a step did.
type Label struct {
	Thing string `json:"thing"`
	Old   string `json:"old,omitempty"`
	New   string `json:"new,omitempty"`
	// Place is where the page shows it: a path with a fragment, made by the program.
	Place string `json:"place,omitempty"`
}

// Step is one change that can be taken back.
type Step struct {
	ID int `json:"id"`
	Label
	Time  time.Time `json:"time"`
	Files []swapped `json:"files"`
}

// swapped is a file of a step with the hashes of its versions; empty is no file.
type swapped struct {
	Name   string `json:"name"`
	Before string `json:"before"`
	After  string `json:"after"`
}

// Store saves files of one workshop. It may be used by several goroutines.
type Store struct {
	mu   sync.Mutex
	root *os.Root // the workshop
	own  *os.Root // the program's folder for it
	dir  string
	now  func() time.Time
	log  record
	seen recent
}

// Open returns the store of a workshop; base is the program's folder for user data, see
// [Base], and now tells the time of a step.
//
// Errors: those of the file system; one that wraps [errRecord] where the remembered steps
// cannot be read.
func Open(workshop, base string, now func() time.Time) (*Store, error) {
	dir, err := Folder(base, workshop)
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Join(dir, "versions"), 0o700); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(workshop)
	if err != nil {
		return nil, err
	}
	own, err := os.OpenRoot(dir)
	if err != nil {
		return nil, errors.Join(err, root.Close())
	}
	s := &Store{root: root, own: own, dir: dir, now: now}
	if err := s.load(); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// Close gives back the folders. The steps are on disk already.
func (s *Store) Close() error { return errors.Join(s.root.Close(), s.own.Close()) }

// Dir returns the program's folder for the workshop.
func (s *Store) Dir() string { return s.dir }

// local says whether a name stays inside the workshop and is one that the program writes.
func local(name string) error {
	if !filepath.IsLocal(filepath.FromSlash(name)) || path.Clean(name) != name ||
		strings.ContainsAny(name, "\\:\x00") {
		return &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
	}
	for _, part := range strings.Split(name, "/") {
		if strings.HasPrefix(part, ".") {
			return &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
		}
	}
	return nil
}

// Read returns a file of the workshop and its hash; nil and "" where there is none.
// What was read is remembered for a while, so that a conflict can show it.
//
// Errors: fs.ErrInvalid for a name that leads outside; those of the file system.
func (s *Store) Read(name string) ([]byte, string, error) {
	if err := local(name); err != nil {
		return nil, "", err
	}
	data, err := readFile(s.root, name)
	if err != nil {
		return nil, "", err
	}
	hash := Hash(data)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.seen.add(hash, data)
	return data, hash, nil
}

// Save writes all files or none, as one step. A change that leaves every file as it is
// makes no step.
//
// Errors: a *Conflict where a file is not the one its change was made from; fs.ErrInvalid
// for a name that leads outside; those of the file system. Then no file has changed.
func (s *Store) Save(label Label, changes ...Change) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	step := Step{ID: s.log.Next, Label: label, Time: s.now().UTC().Truncate(time.Second)}
	swaps, err := s.swap(changes)
	if err != nil || len(swaps) == 0 {
		return err
	}
	step.Files = swaps
	log := s.log
	log.Next++
	log.Done = append(log.Done[:len(log.Done):len(log.Done)], step)
	log.Undone = nil
	return s.keep(log)
}

// swap puts the changes into the workshop and returns what was swapped for what.
func (s *Store) swap(changes []Change) ([]swapped, error) {
	var ready []*staged
	defer func() {
		for _, r := range ready {
			r.drop(s.root)
		}
	}()
	var swaps []swapped
	for _, c := range changes {
		theirs, err := s.unchanged(c)
		if err != nil {
			return nil, err
		}
		after := Hash(c.Data)
		if after == c.Base {
			continue
		}
		for _, version := range [][]byte{theirs, c.Data} {
			if err := s.putVersion(version); err != nil {
				return nil, err
			}
		}
		r := &staged{name: c.Name, remove: true}
		if c.Data != nil {
			if r, err = stage(s.root, c.Name, c.Data); err != nil {
				return nil, err
			}
		}
		ready = append(ready, r)
		swaps = append(swaps, swapped{c.Name, c.Base, after})
	}
	for _, c := range changes { // once more, now that all else is done
		if _, err := s.unchanged(c); err != nil {
			return nil, err
		}
	}
	return swaps, s.placeAll(ready, swaps)
}

// unchanged returns the file as it stands, if it is the version a change was made from.
func (s *Store) unchanged(c Change) ([]byte, error) {
	if err := local(c.Name); err != nil {
		return nil, err
	}
	theirs, err := readFile(s.root, c.Name)
	if err != nil {
		return nil, err
	}
	if Hash(theirs) != c.Base {
		return nil, &Conflict{Name: c.Name, Base: s.version(c.Base), Mine: c.Data, Theirs: theirs}
	}
	return theirs, nil
}

// placeAll gives the files their names, or puts back those that had got theirs.
func (s *Store) placeAll(ready []*staged, swaps []swapped) error {
	for i, r := range ready {
		err := r.place(s.root)
		if err == nil {
			continue
		}
		for j := range i {
			err = errors.Join(err, s.putBack(swaps[j]))
		}
		return err
	}
	return nil
}

func (s *Store) putBack(w swapped) error {
	if w.Before == "" {
		return s.root.Remove(filepath.FromSlash(w.Name))
	}
	r, err := stage(s.root, w.Name, s.version(w.Before))
	if err != nil {
		return err
	}
	return r.place(s.root)
}

// Steps returns the steps made, oldest first, and those taken back, the next to redo first.
func (s *Store) Steps() (done, undone []Step) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append(done, s.log.Done...), append(undone, s.log.Undone...)
}

// Undo takes the last step back and returns it.
//
// Errors: [ErrNoStep] where there is none; a *Conflict where one of its files was changed
// since, with Base as the step left it and Mine as it was before the step.
func (s *Store) Undo() (Step, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	n := len(s.log.Done)
	if n == 0 {
		return Step{}, ErrNoStep
	}
	step := s.log.Done[n-1]
	if err := s.walk(step, true); err != nil {
		return step, err
	}
	log := s.log
	log.Done = log.Done[: n-1 : n-1]
	log.Undone = append([]Step{step}, log.Undone...)
	return step, s.keep(log)
}

// Redo makes the step that was taken back last once more and returns it.
//
// Errors: as those of [Store.Undo].
func (s *Store) Redo() (Step, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.log.Undone) == 0 {
		return Step{}, ErrNoStep
	}
	step := s.log.Undone[0]
	if err := s.walk(step, false); err != nil {
		return step, err
	}
	log := s.log
	log.Done = append(log.Done[:len(log.Done):len(log.Done)], step)
	log.Undone = log.Undone[1:]
	return step, s.keep(log)
}

// ErrNoStep says that there is nothing to take back or to make again.
var ErrNoStep = errors.New("there is no such step")

func (s *Store) walk(step Step, back bool) error {
	changes := make([]Change, len(step.Files))
	for i, w := range step.Files {
		from, to := w.Before, w.After
		if back {
			from, to = to, from
		}
		changes[i] = Change{Name: w.Name, Base: from, Data: s.version(to)}
		if to != "" && changes[i].Data == nil {
			return fmt.Errorf("%w: version %s of %s is gone", errRecord, to, w.Name)
		}
	}
	_, err := s.swap(changes)
	return err
}
