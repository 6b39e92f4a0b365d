package formula

import (
	"reflect"
	"sync"

	"gallipot/calc/law/table"
	"gallipot/ingredients"
)

// Session is what the assessments of one run share: the tables, the dictionary,
// and what was found in them. Tables and dictionary must not change; what is
// remembered is let go with the session. It may be used in parallel.
type Session struct {
	Law  *table.Tables
	Dict *ingredients.Dictionary

	memories sync.Map // reflect.Type → the memory of that type
}

// NewSession returns a session over a set of tables.
func NewSession(tables *table.Tables) *Session {
	return &Session{Law: tables, Dict: tables.Dictionary()}
}

// MemoryOf returns the one memory of its type in a session: each subject keeps in
// a type of its own what it has found in the tables.
func MemoryOf[T any](s *Session) *T {
	key := reflect.TypeFor[T]()
	if m, ok := s.memories.Load(key); ok {
		return m.(*T)
	}
	m, _ := s.memories.LoadOrStore(key, new(T))
	return m.(*T)
}
