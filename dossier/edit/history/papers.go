package history

import (
	"encoding/json"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// Paper is a supplier's paper that waits to be filed, kept in the program's folder: it is in
// no file of the maker's until it is filed.
type Paper struct {
	Key  string    `json:"key"` // of its bytes
	Name string    `json:"name"`
	Came time.Time `json:"came"`
	// For is the product whose assessor answers with it; empty: a supplier's paper.
	For string `json:"for,omitempty"`
	// Notes are those of the page: what was answered.
	Notes json.RawMessage `json:"notes,omitempty"`
}

// Most papers that wait.
const mostPapers = 200

func paperFile(key, ext string) (string, error) {
	if key == "" || strings.Trim(key, "0123456789abcdef") != "" {
		return "", fs.ErrInvalid
	}
	return "papers/" + key + ext, nil
}

// AddPaper keeps a paper until it is filed or dropped; the same bytes are kept once, with
// what was answered.
func (s *Store) AddPaper(name string, data []byte) (Paper, error) {
	key := keyOf(data)
	if p, ok, err := s.Paper(key); ok || err != nil {
		return p, err
	}
	all, err := s.Papers()
	if err != nil {
		return Paper{}, err
	}
	if len(all) >= mostPapers {
		if err := s.DropPaper(all[0].Key); err != nil {
			return Paper{}, err
		}
	}
	file, err := paperFile(key, ".paper")
	if err != nil {
		return Paper{}, err
	}
	s.mu.Lock()
	err = s.writeOwn(file, data)
	s.mu.Unlock()
	if err != nil {
		return Paper{}, err
	}
	p := Paper{Key: key, Name: name, Came: s.now()}
	return p, s.NotePaper(p)
}

// NotePaper keeps what was answered about a paper.
func (s *Store) NotePaper(p Paper) error {
	file, err := paperFile(p.Key, ".json")
	if err != nil {
		return err
	}
	data, err := json.Marshal(p)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.writeOwn(file, data)
}

// Paper returns a paper that waits; ok is false where there is none.
func (s *Store) Paper(key string) (p Paper, ok bool, err error) {
	file, err := paperFile(key, ".json")
	if err != nil {
		return p, false, nil // no key of a paper
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	data, err := readFile(s.own, file)
	// one that is damaged counts as none
	if err != nil || data == nil || json.Unmarshal(data, &p) != nil || p.Key != key {
		return Paper{}, false, err
	}
	return p, true, nil
}

// PaperData returns the bytes of a paper that waits; nil where there is none.
func (s *Store) PaperData(key string) ([]byte, error) {
	file, err := paperFile(key, ".paper")
	if err != nil {
		return nil, nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return readFile(s.own, file)
}

// Papers returns the papers that wait, in the order in which they came.
func (s *Store) Papers() ([]Paper, error) {
	s.mu.Lock()
	names, err := fs.Glob(s.own.FS(), "papers/*.json")
	s.mu.Unlock()
	if err != nil {
		return nil, err
	}
	var all []Paper
	for _, name := range names {
		p, ok, err := s.Paper(strings.TrimSuffix(path.Base(name), ".json"))
		if err != nil {
			return nil, err
		}
		if ok {
			all = append(all, p)
		}
	}
	slices.SortStableFunc(all, func(a, b Paper) int { return a.Came.Compare(b.Came) })
	return all, nil
}

// Unfiled returns the suppliers' papers that wait and whose bytes none of the named files of
// the workshop has. A file is read only where it is as long as one of them, and not
// remembered for conflicts; one that cannot be read is not the paper.
//
// Errors: those of reading the papers that wait.
func (s *Store) Unfiled(files []string) ([]Paper, error) {
	all, err := s.Papers()
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(p Paper) bool { return p.For != "" })
	sizes := map[int64]bool{}
	for _, p := range all {
		file, err := paperFile(p.Key, ".paper")
		if err != nil {
			return nil, err
		}
		if info, err := s.own.Stat(file); err == nil {
			sizes[info.Size()] = true
		}
	}
	filed := map[string]bool{}
	for _, name := range files {
		if len(sizes) == 0 || local(name) != nil {
			continue
		}
		if info, err := s.root.Stat(name); err != nil || !sizes[info.Size()] {
			continue
		}
		if data, err := readFile(s.root, name); err == nil {
			filed[keyOf(data)] = true
		}
	}
	return slices.DeleteFunc(all, func(p Paper) bool { return filed[p.Key] }), nil
}

// keyOf is the key of a paper of these bytes.
func keyOf(data []byte) string { return Hash(data)[:32] }

// DropPaper throws a paper away that waits.
func (s *Store) DropPaper(key string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, ext := range []string{".json", ".paper"} {
		file, err := paperFile(key, ext)
		if err != nil {
			return err
		}
		if data, err := readFile(s.own, file); err != nil || data == nil {
			continue
		}
		if err := s.own.Remove(file); err != nil {
			return err
		}
	}
	return nil
}
