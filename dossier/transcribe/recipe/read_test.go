package recipe

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/testdata/formulas/judge"
)

func words(t testing.TB) *lexicon.Lexicon {
	w, err := lexicon.Load()
	require.NoError(t, err)
	return w
}

// The documents and what a correct reading of them contains are invented; the
// expected readings were written by hand.
func TestDocuments(t *testing.T) {
	files := paper.NewReader()
	defer files.Close()
	w := words(t)
	for _, dir := range []string{"../../../testdata/formulas", "../../../testdata/formulas/more"} {
		var total judge.Score
		cases, err := judge.Cases(dir)
		require.NoError(t, err)
		require.GreaterOrEqual(t, len(cases), 10)
		for _, c := range cases {
			t.Run(c.Name, func(t *testing.T) {
				f, err := files.Read(c.Name, c.Data)
				var trouble *paper.Trouble
				r := &formulation.Reading{}
				if errors.As(err, &trouble) {
					r = formulation.Refused(c.Name, trouble.Error(), trouble.Fix())
				} else {
					require.NoError(t, err)
					r = Read(f, w)
					require.Empty(t, lost(w, f, r), "words that stand nowhere in the answer")
				}
				answer, err := json.MarshalIndent(r, "", " ")
				require.NoError(t, err)
				s, err := c.Judge(answer)
				require.NoError(t, err)
				total.Add(s)
			})
		}
		require.Zero(t, total.Wrong, "%v", total.Notes)
		require.GreaterOrEqual(t, total.Percent(), 97.0, "%v", total.Notes)
		require.GreaterOrEqual(t, total.Said*100, 97*(total.Said+total.Silent), "%v", total.Notes)
	}
}

// lost lists the words of a document that stand nowhere in the answer. Columns that
// are left out by name are told by their heads.
func lost(all *lexicon.Lexicon, f *paper.File, r *formulation.Reading) []string {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(r); err != nil {
		return []string{err.Error()}
	}
	said := " " + lexicon.Fold(strings.NewReplacer(`\n`, " ", `\t`, " ").Replace(b.String())) + " "
	var out []string
	for _, p := range f.Pages {
		left := map[int]bool{}
		for _, l := range p.Lines {
			for _, c := range l.Cells {
				for _, product := range r.Products {
					for _, head := range product.LeftOut {
						if h, _, _ := strings.Cut(head, ":"); strings.TrimSpace(c.Text) == h {
							left[c.Col] = true
						}
					}
				}
			}
		}
		for _, l := range p.Lines {
			for _, c := range l.Cells {
				if left[c.Col] {
					continue
				}
				text := strings.NewReplacer("¹", "", "²", "").Replace(c.Text) // marks of footnotes
				for _, w := range strings.Fields(lexicon.Fold(text + " " + c.Note)) {
					if len(w) > 3 && !strings.Contains(said, " "+w+" ") && !headWord(all, w) {
						out = append(out, fmt.Sprintf("line %d: %s", l.Number, w))
					}
				}
			}
		}
	}
	return out
}

// headWord says whether a word is one of a head of a column, a total or a unit.
func headWord(all *lexicon.Lexicon, w string) bool {
	for _, s := range []string{"formula head", "formula total", "formula label", "formula unit", "formula qs",
		"formula bound", "formula headword", "formula one", "formula to", "formula fill", "formula version"} {
		for _, e := range all.Each(s) {
			if strings.Contains(" "+e.Word+" ", " "+w+" ") {
				return true
			}
		}
	}
	return false
}

func FuzzRead(f *testing.F) {
	for _, dir := range []string{"../../../testdata/formulas", "../../../testdata/formulas/more"} {
		names, _ := filepath.Glob(filepath.Join(dir, "*"))
		for _, n := range names {
			switch filepath.Ext(n) {
			case ".txt", ".md", ".csv", ".eml", ".html":
				data, err := os.ReadFile(n)
				require.NoError(f, err)
				f.Add(filepath.Ext(n), data)
			}
		}
	}
	w := words(f)
	r := paper.NewReader()
	f.Fuzz(func(t *testing.T, ext string, data []byte) {
		if len(data) > 1<<14 {
			return
		}
		file, err := r.Read("x"+ext, data)
		if err != nil || file.Form == paper.PDF || file.Form == paper.Workbook || file.Form == paper.Document {
			return
		}
		out := Read(file, w)
		_, err = json.Marshal(out)
		require.NoError(t, err)
		for i := range out.Products {
			for _, l := range out.Products[i].Lines() {
				require.NotEmpty(t, l.Name)
				require.NotEmpty(t, l.Where)
			}
		}
	})
}

// Tables as makers keep them; each is invented.
func TestTables(t *testing.T) {
	files := paper.NewReader()
	defer files.Close()
	w := words(t)
	for name, c := range map[string]struct {
		text  string
		lines []string // phase, name, amount and unit
	}{
		"a total in a language that the words do not know": {
			"Salve\n\nMaterial;%;g\nShea;60;300\nWachs;40;200\nZorbul;100;500\n", []string{"A Shea 60 %", "A Wachs 40 %"}},
		"half of a formula is no total": {
			"Salve\n\nMaterial;%\nShea;30\nWachs;20\nWasser;50\n", []string{"A Shea 30 %", "A Wachs 20 %", "A Wasser 50 %"}},
		"sections of one formula, their per cents of the oils": {
			"Soap\n\nOILS;g;% oils\nOlive oil;700;70\nCoconut oil;300;30\nTotal oils;1000;100\n\nLYE WATER;g;note\n" +
				"Sodium hydroxide;134;\nWater;330;cold\nTotal soap batter;1464;\n",
			[]string{"OILS Olive oil 700 g", "OILS Coconut oil 300 g", "LYE WATER Sodium hydroxide 134 g", "LYE WATER Water 330 g"}},
	} {
		t.Run(name, func(t *testing.T) {
			f, err := files.Read("a.csv", []byte(c.text))
			require.NoError(t, err)
			r := Read(f, w)
			require.Len(t, r.Products, 1)
			var got []string
			for _, ph := range r.Products[0].Phases {
				for _, l := range ph.Lines {
					got = append(got, ph.ID+" "+l.Name+" "+*l.Amount+" "+*l.Unit)
				}
			}
			require.Equal(t, c.lines, got)
			require.NotContains(t, strings.Join(r.Products[0].Asks, " "), "sum to")
		})
	}
}

// Truncated and flipped documents end in a reading or a trouble, never in a panic,
// and none takes long.
func TestDamaged(t *testing.T) {
	files := paper.NewReader()
	defer files.Close()
	w := words(t)
	rnd := rand.New(rand.NewPCG(1, 2))
	for _, dir := range []string{"../../../testdata/formulas", "../../../testdata/formulas/more"} {
		cases, err := judge.Cases(dir)
		require.NoError(t, err)
		for _, c := range cases {
			for n := range 2 {
				data := slices.Clone(c.Data)
				if n%2 == 0 {
					data = data[:1+rnd.IntN(len(data)-1)]
				} else {
					for range 8 {
						data[rnd.IntN(len(data))] = byte(rnd.IntN(256))
					}
				}
				start := time.Now()
				f, err := files.Read(c.Name, data)
				if err != nil {
					continue
				}
				_, err = json.Marshal(Read(f, w))
				require.NoError(t, err)
				require.Less(t, time.Since(start), time.Minute, "%s", c.Name)
			}
		}
	}
}
