package formula

import (
	"reflect"
	"sync"
)

// memories are one value of each type that asked for one.
type memories struct {
	sync.Map // reflect.Type → the memory of that type
}

func memoryOf[T any](all *memories, first func() *T) *T {
	key := reflect.TypeFor[T]()
	if m, ok := all.Load(key); ok {
		return m.(*T)
	}
	m, _ := all.LoadOrStore(key, first())
	return m.(*T)
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

// Known returns what is known for a key that was put together.
func Known[V any](m *Memo[string, V], key []byte) (v V, known bool) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	v, known = m.known[string(key)]
	if known {
		m.add()
	}
	return
}

// OfBytes is Of for a key that was put together, which is kept only where it is new.
func OfBytes[V any](m *Memo[string, V], key []byte, compute func() V) V {
	if v, ok := Known(m, key); ok {
		return v
	}
	return m.Of(string(key), compute)
}
