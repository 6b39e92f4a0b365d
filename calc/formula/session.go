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

	memories
}

// memories are one value of each type that asked for one.
type memories struct {
	sync.Map // reflect.Type → the memory of that type
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

// Memo remembers what was computed for an argument. It belongs into a memory of a
// session, which lets it go; it may be used in parallel.
type Memo[K comparable, V any] struct {
	counter
	mu    sync.RWMutex
	known map[K]V
}

// Of returns what is known for an argument, or makes it. Two at once may both make it.
func (m *Memo[K, V]) Of(key K, compute func() V) V {
	m.add()
	m.mu.RLock()
	v, ok := m.known[key]
	m.mu.RUnlock()
	if ok {
		return v
	}
	v = compute()
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.known == nil {
		m.known = map[K]V{}
	}
	m.known[key] = v
	return v
}

// OfBytes is Of for a key that was put together, which is kept only where it is new.
func OfBytes[V any](m *Memo[string, V], key []byte, compute func() V) V {
	m.mu.RLock()
	v, ok := m.known[string(key)]
	m.mu.RUnlock()
	if ok {
		m.add()
		return v
	}
	return m.Of(string(key), compute)
}

// MemoryOf returns the one memory of its type in a session: each subject keeps in
// a type of its own what it has found in the tables.
func MemoryOf[T any](s *Session) *T { return memoryOf(&s.memories, func() *T { return new(T) }) }

func memoryOf[T any](all *memories, first func() *T) *T {
	key := reflect.TypeFor[T]()
	if m, ok := all.Load(key); ok {
		return m.(*T)
	}
	m, _ := all.LoadOrStore(key, first())
	return m.(*T)
}
