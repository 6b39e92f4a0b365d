package formula

import (
	"gallipot/calc/law/table"
	"gallipot/ingredients"
)

// Session is what the assessments of one run share: the tables, the dictionary,
// and what was found in them. Tables and dictionary must not change; what is
// remembered is let go with the session. It may be used in parallel.
type Session struct {
	Law  *table.Tables
	Dict *ingredients.Dictionary

	memories
}

// Shared is what the variants of one product share while they are computed. It is let
// go with them. It may be used in parallel.
type Shared struct{ memories }

// SharedOf returns the one memory of its type among the variants of a product, nil where
// nothing is shared.
func SharedOf[T any](in *Input) *T {
	if in.Shared == nil {
		return nil
	}
	return memoryOf(&in.Shared.memories, func() *T { return new(T) })
}

// NewSession returns a session over a set of tables.
func NewSession(tables *table.Tables) *Session {
	return &Session{Law: tables, Dict: tables.Dictionary()}
}

// MemoryOf returns the one memory of its type in a session: each subject keeps in
// a type of its own what it has found in the tables.
func MemoryOf[T any](s *Session) *T { return memoryOf(&s.memories, func() *T { return new(T) }) }
