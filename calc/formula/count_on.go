//go:build counted

package formula

import (
	"fmt"
	"slices"
	"strings"
	"sync/atomic"
)

// counter counts what a memory is asked.
type counter struct{ n atomic.Int64 }

func (c *counter) add() { c.n.Add(1) }

// Asked is how often the memory was asked, and for how many distinct arguments.
func (m *Memo[K, V]) Asked() (calls, distinct int) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	return int(m.n.Load()), len(m.known)
}

// Asked lists what the memories of a session were asked: calls, distinct arguments, and
// the type of each memory. Only memories that are one Memo are counted.
func (s *Session) Asked() (lines []string) {
	s.memories.Range(func(_, memory any) bool {
		if m, ok := memory.(interface{ Asked() (int, int) }); ok {
			calls, distinct := m.Asked()
			lines = append(lines,
				fmt.Sprintf("%10d %8d  %s", calls, distinct, strings.TrimPrefix(fmt.Sprintf("%T", memory), "*")))
		}
		return true
	})
	slices.Sort(lines)
	slices.Reverse(lines)
	return lines
}
