package transcribe_test

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/paper"
	"gallipot/testdata"
)

// hung is how long a reading may take on a busy machine with the race detector on before
// it counts as hung. What it takes is logged: 2 s is the most that is wanted.
const hung = time.Minute

// Two hundred papers that are cut off, have bits flipped, bytes removed or bytes
// overwritten: each is read or refused, none takes two seconds, none panics.
func TestBrokenPapers(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	reader, err := transcribe.New(table.Builtin(), nil)
	require.NoError(t, err)
	files := paper.NewReader()
	defer files.Close()
	names, err := filepath.Glob(papers + "/*")
	require.NoError(t, err)
	var whole [][]byte
	var of []string
	for _, n := range names {
		switch strings.ToLower(filepath.Ext(n)) {
		case ".pdf", ".xlsx", ".docx", ".txt", ".csv":
			data, err := os.ReadFile(n)
			require.NoError(t, err)
			whole, of = append(whole, data), append(of, n)
		}
	}
	_, err = files.Read("start.pdf", whole[0]) // the start of the reader does not count
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(7, 11))
	var slowest time.Duration
	for i := range testdata.Cases(60, 200) {
		k := i % len(whole)
		data := broken(random, whole[k], i/len(whole)%4)
		start := time.Now()
		f, err := files.Read(filepath.Base(of[k]), data)
		if err == nil {
			require.NotPanics(t, func() { reader.Read(f) })
		}
		slowest = max(slowest, time.Since(start))
	}
	t.Logf("slowest %v", slowest)
	require.Less(t, slowest, hung)
}

// Papers that hold a sign and nothing else, alone, in cells beside each other and between lines
// of a real one, are read: a web page of one colon had ended the reading.
func TestBareSigns(t *testing.T) {
	reader, err := transcribe.New(table.Builtin(), nil)
	require.NoError(t, err)
	files := paper.NewReader()
	defer files.Close()
	for _, sign := range strings.Split(": :: - – • % = ; / | ( ) [ < > ≤ ± , . · \" ' ™ § № ☒ ☐ ✓ 0 :0 :% -: %:", " ") {
		for _, text := range []string{"%", "%\n%", "%\t%", "%;%;%", "Composition\n%\nAqua 90 %\n%\n",
			"Impurities\n%\t%\nlead: 1 ppm\n%", "Allergens\n%\nLinalool\t0.1 %\n%\t%"} {
			text = strings.ReplaceAll(text, "%", sign)
			for name, data := range map[string]string{"a.txt": text, "a.csv": text, "a.html": text,
				"b.html": "<table><tr><td>" + strings.NewReplacer("\n", "</td></tr><tr><td>", "\t", "</td><td>").
					Replace(text) + "</td></tr></table>", "a.eml": "Subject: x\n\n" + text} {
				f, err := files.Read(name, []byte(data))
				if err == nil {
					require.NotPanics(t, func() { reader.Read(f) }, "%s: %q", name, data)
				}
			}
		}
	}
}

// broken damages a file in one of four ways.
func broken(random *rand.Rand, data []byte, way int) []byte {
	out := append([]byte(nil), data...)
	switch way {
	case 0:
		return out[:random.IntN(len(out))]
	case 1:
		for range 20 {
			out[random.IntN(len(out))] ^= 1 << random.IntN(8)
		}
	case 2:
		from := random.IntN(len(out))
		return append(out[:from], out[min(len(out), from+random.IntN(400)):]...)
	case 3:
		from := random.IntN(len(out))
		for i := from; i < min(len(out), from+200); i++ {
			out[i] = byte(random.IntN(256))
		}
	}
	return out
}
