package memory

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
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
	met = make([]byte, 8<<20)
	at := uintptr(unsafe.Pointer(&met[0]))
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
			require.Contains(t, strings.Fields(flags), "hg")
			return
		}
	}
	t.Fatal("no mapping holds what was made")
}
