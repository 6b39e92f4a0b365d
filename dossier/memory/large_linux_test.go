package memory

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"
	"unsafe"

	"github.com/stretchr/testify/require"
)

// met keeps what is made in the test among what the collector looks after.
var met []byte

// Where the system asks to be asked, what is made after is met in large pages: its mapping is
// marked so.
func TestLarge(t *testing.T) {
	said, err := os.ReadFile("/sys/kernel/mm/transparent_hugepage/enabled")
	if err != nil || !bytes.Contains(said, asking) {
		t.Skip("large pages are not given to who asks for them")
	}
	large()
	// the stack is given back a moment after its last call
	require.Eventually(t, func() bool {
		met = make([]byte, 8<<20)
		return slices.Contains(flagsOf(t, uintptr(unsafe.Pointer(&met[0]))), "hg")
	}, time.Minute, time.Millisecond)
}

// flagsOf returns what the system says of the mapping that holds an address.
func flagsOf(t *testing.T, at uintptr) []string {
	f, err := os.Open("/proc/self/smaps")
	require.NoError(t, err)
	defer f.Close()
	here := false
	for s := bufio.NewScanner(f); s.Scan(); {
		var from, to uintptr
		if n, _ := fmt.Sscanf(s.Text(), "%x-%x ", &from, &to); n == 2 {
			here = from <= at && at < to
		}
		if flags, ok := strings.CutPrefix(s.Text(), "VmFlags:"); ok && here {
			return strings.Fields(flags)
		}
	}
	t.Fatal("no mapping holds what was made")
	return nil
}
