package history

import (
	"encoding/json"
	"path/filepath"
)

// Draft is a trial copy of a file of the workshop, kept in the program's folder: it is in no
// file of the maker's until it is saved.
type Draft struct {
	// Base is the hash of the version that it was copied from.
	Base string `json:"base"`
	Data []byte `json:"data"`
}

// Draft returns the trial copy of a file; ok is false where there is none.
//
// Errors: fs.ErrInvalid for a name that leads outside; those of the file system.
func (s *Store) Draft(name string) (d Draft, ok bool, err error) {
	if err := local(name); err != nil {
		return d, false, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	data, err := readFile(s.own, draftFile(name))
	if err != nil || data == nil || json.Unmarshal(data, &d) != nil { // one that is damaged counts as none
		return Draft{}, false, err
	}
	s.seen.add(Hash(d.Data), d.Data)
	return d, true, nil
}

// SetDraft keeps a trial copy of a file.
func (s *Store) SetDraft(name string, d Draft) error {
	if err := local(name); err != nil {
		return err
	}
	data, err := json.Marshal(d)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.seen.add(Hash(d.Data), d.Data)
	return s.writeOwn(draftFile(name), data)
}

// DropDraft throws the trial copy of a file away.
func (s *Store) DropDraft(name string) error {
	if err := local(name); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if data, err := readFile(s.own, draftFile(name)); err != nil || data == nil {
		return err
	}
	return s.own.Remove(filepath.FromSlash(draftFile(name)))
}

func draftFile(name string) string { return "drafts/" + Hash([]byte(name))[:24] + ".json" }
