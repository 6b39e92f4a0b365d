package history

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"time"
)

// record is what stands in history.json.
type record struct {
	Format int    `json:"format"`
	Next   int    `json:"next"`
	Done   []Step `json:"done"`
	Undone []Step `json:"undone"`
	// Kept are versions that lost a conflict.
	Kept []keptVersion `json:"kept"`
}

// keptVersion is a version of a file that was not taken when two differed.
type keptVersion struct {
	Name string    `json:"name"`
	Hash string    `json:"hash"`
	Time time.Time `json:"time"`
}

const (
	recordName   = "history.json"
	recordFormat = 1
	// How many steps and versions are remembered.
	mostSteps, mostKept = 500, 100
)

// errRecord says that the remembered steps cannot be read. The files of the workshop are
// not touched by that.
var errRecord = errors.New("the record of earlier steps cannot be read")

func (s *Store) load() error {
	data, err := readFile(s.own, recordName)
	if err != nil {
		return err
	}
	s.log = record{Format: recordFormat, Next: 1}
	if data == nil {
		return nil
	}
	if err := json.Unmarshal(data, &s.log); err != nil {
		return fmt.Errorf("%w: %w", errRecord, err)
	}
	if s.log.Format != recordFormat {
		return fmt.Errorf("%w: it was written by another version of the program", errRecord)
	}
	return nil
}

// keep writes the record and drops what is older than it holds.
func (s *Store) keep(log record) error {
	if n := len(log.Done); n > mostSteps {
		log.Done = log.Done[n-mostSteps:]
	}
	if n := len(log.Kept); n > mostKept {
		log.Kept = log.Kept[n-mostKept:]
	}
	data, err := json.MarshalIndent(log, "", " ")
	if err != nil {
		return err
	}
	if err := s.writeOwn(recordName, data); err != nil {
		return err
	}
	trimmed := len(log.Done)+len(log.Undone) < len(s.log.Done)+len(s.log.Undone) ||
		len(log.Kept) < len(s.log.Kept)
	s.log = log
	if trimmed {
		s.sweep()
	}
	return nil
}

// writeOwn writes a file of the program's folder that its user alone can read.
func (s *Store) writeOwn(name string, data []byte) error {
	r, err := stage(s.own, name, data)
	if err != nil {
		return err
	}
	if err := s.own.Chmod(r.temp, 0o600); err != nil {
		r.drop(s.own)
		return err
	}
	return r.place(s.own)
}

// putVersion keeps the bytes of a version under their hash.
func (s *Store) putVersion(data []byte) error {
	if data == nil {
		return nil
	}
	name := "versions/" + Hash(data)
	if there, err := readFile(s.own, name); err == nil && there != nil && Hash(there) == Hash(data) {
		return nil
	}
	return s.writeOwn(name, data)
}

// version returns the bytes of a version; nil where it is not remembered.
func (s *Store) version(hash string) []byte {
	if hash == "" {
		return nil
	}
	if data, ok := s.seen.get(hash); ok {
		return data
	}
	data, err := readFile(s.own, "versions/"+hash)
	if err != nil || Hash(data) != hash {
		return nil
	}
	return data
}

// Version returns the bytes of a version by its hash; nil where it is not remembered.
func (s *Store) Version(hash string) []byte {
	if len(hash) != 64 {
		return nil
	}
	for _, r := range hash {
		if (r < '0' || r > '9') && (r < 'a' || r > 'f') {
			return nil
		}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.version(hash)
}

// Keep remembers a version that was not taken when two differed.
func (s *Store) Keep(name string, data []byte) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.putVersion(data); err != nil {
		return err
	}
	log := s.log
	kept := keptVersion{Name: name, Hash: Hash(data), Time: s.now().UTC().Truncate(time.Second)}
	log.Kept = append(log.Kept[:len(log.Kept):len(log.Kept)], kept)
	return s.keep(log)
}

// Kept returns the versions that lost, oldest first.
func (s *Store) Kept() []keptVersion {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]keptVersion(nil), s.log.Kept...)
}

// sweep removes versions that no step names any more.
func (s *Store) sweep() {
	wanted := map[string]bool{}
	for _, steps := range [][]Step{s.log.Done, s.log.Undone} {
		for _, step := range steps {
			for _, w := range step.Files {
				wanted[w.Before], wanted[w.After] = true, true
			}
		}
	}
	for _, k := range s.log.Kept {
		wanted[k.Hash] = true
	}
	dir, err := s.own.Open("versions")
	if err != nil {
		return // the next sweep finds them
	}
	defer dir.Close()
	entries, _ := dir.ReadDir(-1)
	for _, e := range entries {
		if !wanted[e.Name()] {
			_ = s.own.Remove("versions" + string(os.PathSeparator) + e.Name())
		}
	}
}

// recent remembers versions that were read lately, up to a number of bytes.
type recent struct {
	data  map[string][]byte
	order []string
	bytes int
}

// Most bytes of versions kept in memory.
const mostRecent = 32 << 20

func (r *recent) add(hash string, data []byte) {
	if data == nil || r.data[hash] != nil || len(data) > mostRecent {
		return
	}
	if r.data == nil {
		r.data = map[string][]byte{}
	}
	r.data[hash] = data
	r.order = append(r.order, hash)
	for r.bytes += len(data); r.bytes > mostRecent; r.order = r.order[1:] {
		r.bytes -= len(r.data[r.order[0]])
		delete(r.data, r.order[0])
	}
}

func (r *recent) get(hash string) ([]byte, bool) {
	data, ok := r.data[hash]
	return data, ok
}
