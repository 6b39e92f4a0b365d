package edit

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"

	"gallipot/testdata"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// odd are files as people type them: aligned values, blank lines, folded and quoted
// texts, brackets over several lines, dashes in the column of their key.
var odd = map[string]string{
	"aligned": "a:     one      # first\nlonger: two     # second\n\n\n# floating\n\nc:\n- x\n- y   # why\n# about z\n- z\n",
	"quotes":  "a: 'it''s'\nb: \"tab\\tand \\\"quote\\\"\"\nc: 'no need'\nd: \"5-6\"\n\"e\": {'f': 'g: h', i: \"j, k\"}\né: ü # ö\n",
	"folded":  "a: |\n  one\n  two # not a remark\n\nb: >-\n    long text\n    goes on\nc: this runs\n  over two\n  lines\nd: \"also\n  this\"\ne: last\n",
	"flow":    "a: {b: , c: 1,\n    d: [x, y,\n        z], # here\n    e: {f: g}}\nh: [ ]\ni: {}\nj: [ {k: 1}, {l: 2}, ]\n",
	"nested":  "- - a\n  - b\n-\n  - c\n- d: 1\n  e:\n    - f: 2\n      # deep\n      g: 3\n\n    # g's own\n    - f: 4\n      g: 5\n      # end of it\n",
	"empties": "a:\nb:   # nothing\nc: ~\nd: null\ne: []\nf: {}\ng:\n  - \n  - x\n",
	"start":   "---\n# head\na: 1\nb:\n  c: 2\n",
	"noend":   "a: 1\nb:\n  - c\n  - d",
	"long":    "claims:\n  - leaves the skin feeling clean and soft: or so we say of it\n  - 'scented: moor'\n",
}

// files returns every YAML file of the demo workshop and of the starter files, the odd
// ones, and all of them once more with other line ends, a byte order mark, and without
// the last line end.
func files(t testing.TB) map[string][]byte {
	all := map[string][]byte{}
	for _, pattern := range []string{"../../testdata/demo", "../../templates/begin"} {
		err := filepath.WalkDir(pattern, func(path string, d os.DirEntry, err error) error {
			if err == nil && filepath.Ext(path) == ".yaml" {
				data, err := os.ReadFile(path)
				require.NoError(t, err)
				all[path] = data
			}
			return err
		})
		require.NoError(t, err)
	}
	require.Greater(t, len(all), 40)
	for name, text := range odd {
		all[name] = []byte(text)
	}
	for name, data := range all {
		if strings.HasSuffix(name, "+") {
			continue
		}
		s := string(data)
		all[name+"/crlf+"] = []byte(strings.ReplaceAll(s, "\n", "\r\n"))
		all[name+"/bom+"] = []byte("\ufeff" + s)
		if name != "empties" && name != "folded" { // there the last line end is part of a text
			all[name+"/cut+"] = []byte(strings.TrimRight(s, "\n"))
		}
	}
	return all
}

// some says whether value k of a file with so many is tried in this run. At full length
// every one is.
func some(f *File, k, of int) bool {
	step := 16
	if strings.HasSuffix(f.Name, "+") { // the same file with other line ends
		step = 80
	}
	return testdata.Long() || of < 20 || k%step == of%step
}

func eachFile(t *testing.T, do func(t *testing.T, f *File)) {
	all := files(t)
	names := make([]string, 0, len(all))
	for name := range all {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		f, err := Parse(name, all[name])
		require.NoError(t, err, name)
		do(t, f)
	}
}

// places lists the paths of all nodes below the root.
func (n *node) places(at Path, to *[]place) {
	for i, v := range n.vals {
		p := at.At(i)
		if n.kind == mapping {
			p = at.Then(n.keys[i].text)
		}
		*to = append(*to, place{p, n, v, i})
		v.places(p, to)
	}
}

type place struct {
	path   Path
	parent *node
	n      *node
	i      int
}

func (f *File) all() []place {
	var ps []place
	f.root.places(nil, &ps)
	return ps
}

func remarksOf(f *File) []string { return f.remarks(span{}) }

func TestSetAndSetBack(t *testing.T) {
	tried := 0
	news := []string{"7.25", "q.s.", "5-6", "<0.1", "a: b", "it's, [so]", "# no", "Ü ber", "true", "no", " x ",
		"null", "2026-01-02"}
	eachFile(t, func(t *testing.T, f *File) {
		ps := f.all()
		for k, p := range ps {
			if p.n.kind != scalar || p.n.tag == "!!null" || !some(f, k, len(ps)) {
				continue
			}
			back := Typed(p.n.text)
			for _, s := range []string{news[k%len(news)], news[(k+5)%len(news)]} {
				next, err := f.Apply(Set(p.path, Typed(s)))
				require.NoError(t, err, "%s %s %q", f.Name, p.path, s)
				got, _ := next.Text(p.path)
				require.Equal(t, s, got)
				require.Equal(t, remarksOf(f), remarksOf(next))
				if p.n.style&(folded|literal) != 0 || strings.Contains(string(f.data[p.n.start:p.n.end]), "\n") ||
					strings.Contains(string(f.data[p.n.start:p.n.end]), `\`) {
					continue // a text wrapped by hand is not wrapped again
				}
				again, err := next.Apply(Set(p.path, back))
				require.NoError(t, err, "%s %s %q", f.Name, p.path, s)
				require.Equal(t, string(f.data), string(again.data), "%s %s %q", f.Name, p.path, s)
				tried++
			}
		}
	})
	t.Log(tried, "values set and set back")
	require.Greater(t, tried, testdata.Cases(250, 1500))
}

func TestEmptyAndFill(t *testing.T) {
	eachFile(t, func(t *testing.T, f *File) {
		ps := f.all()
		for k, p := range ps {
			if !some(f, k, len(ps)) || p.n.kind != scalar || p.n.tall() || strings.Contains(string(f.data[p.n.start:p.n.end]), "\n") {
				continue
			}
			if p.n.tag == "!!null" {
				if p.n.blank() && p.parent.marks[p.i] >= 0 {
					next, err := f.Apply(Set(p.path, Typed("new")), Set(p.path, Typed("newer")))
					require.NoError(t, err, "%s %s", f.Name, p.path)
					require.Equal(t, remarksOf(f), remarksOf(next))
				}
				continue
			}
			next, err := f.Apply(Set(p.path, null()))
			require.NoError(t, err, "%s %s", f.Name, p.path)
			if p.n.style == 0 {
				again, err := next.Apply(Set(p.path, Typed(p.n.text)))
				require.NoError(t, err, "%s %s", f.Name, p.path)
				require.Equal(t, string(f.data), string(again.data), "%s %s", f.Name, p.path)
			}
		}
	})
}

var samples = []Value{
	Typed("12"), Text("12"), Typed("leaves the skin feeling clean, and soft as well"),
	Group().With("ingredient", Typed("water")).With("amount", Typed("q.s.")),
	Group().With("id", Typed("B")).With("lines", List(Group().With("slot", Typed("scent")))),
	List(Typed("a"), Typed("b: c")),
}

func TestInsertAndRemove(t *testing.T) {
	tried := 0
	eachFile(t, func(t *testing.T, f *File) {
		ps := append(f.all(), place{nil, nil, f.root, 0})
		for k, p := range ps {
			if !some(f, k, len(ps)) {
				continue
			}
			v := samples[k%len(samples)]
			var e Edit
			var at Path
			switch {
			case p.n.kind == list:
				i := k % (len(p.n.vals) + 1)
				at = p.path.At(i)
				e = Insert(at, v)
				if len(p.n.vals) == 0 && p.n.end-p.n.start > 2 { // [ ] with a space
					continue
				}
			case p.n.kind == mapping && !p.n.bare:
				at = p.path.Then("new key")
				e = Set(at, v)
				f.Order = func(Path) []string {
					keys := f.Keys(p.path)
					return slices.Insert(keys, k%(len(keys)+1), "new key")
				}
				if len(p.n.vals) == 0 && p.n.end-p.n.start > 2 {
					continue
				}
			default:
				continue
			}
			next, err := f.Apply(e)
			require.NoError(t, err, "%s %s", f.Name, at)
			require.Equal(t, remarksOf(f), remarksOf(next))
			again, err := next.Apply(Remove(at))
			require.NoError(t, err, "%s %s\n%s", f.Name, at, next.data)
			require.Equal(t, string(f.data), string(again.data), "%s %s\n%s", f.Name, at, next.data)
			tried++
		}
		f.Order = nil
	})
	t.Log(tried, "entries inserted and removed")
	require.Greater(t, tried, testdata.Cases(100, 2000))
}

func TestMoveAndBack(t *testing.T) {
	tried := 0
	eachFile(t, func(t *testing.T, f *File) {
		ps := f.all()
		for k, p := range ps {
			if p.n.kind != list || len(p.n.vals) < 2 || !some(f, k, len(ps)) {
				continue
			}
			from := k % len(p.n.vals)
			to := (from + 1 + k%(len(p.n.vals)-1)) % len(p.n.vals)
			next, err := f.Apply(Move(p.path.At(from), to))
			require.NoError(t, err, "%s %s %d %d", f.Name, p.path, from, to)
			require.Equal(t, remarksOf(f), remarksOf(next))
			again, err := next.Apply(Move(p.path.At(to), from))
			require.NoError(t, err, "%s %s %d %d\n%s", f.Name, p.path, from, to, next.data)
			require.Equal(t, string(f.data), string(again.data), "%s %s %d %d\n%s", f.Name, p.path, from, to, next.data)
			tried++
		}
	})
	t.Log(tried, "entries moved and moved back")
	require.Greater(t, tried, testdata.Cases(20, 500))
}

func TestRenameAndBack(t *testing.T) {
	eachFile(t, func(t *testing.T, f *File) {
		ps := f.all()
		for k, p := range ps {
			if p.parent.kind != mapping || !some(f, k, len(ps)) {
				continue
			}
			if p.parent.keys[p.i].style&yaml.SingleQuotedStyle != 0 { // chosen or needed: cannot be told
				continue
			}
			old := p.path[len(p.path)-1]
			next, err := f.Apply(rename(p.path, "quite: other"))
			require.NoError(t, err, "%s %s", f.Name, p.path)
			again, err := next.Apply(rename(p.path[:len(p.path)-1].Then("quite: other"), old))
			require.NoError(t, err, "%s %s", f.Name, p.path)
			require.Equal(t, string(f.data), string(again.data), "%s %s", f.Name, p.path)
		}
	})
}

// Random runs of edits: each either gives exactly the wanted tree, which Apply itself
// checks, with all comments that were not taken out, or is refused; and what is done at
// random stays readable.
func TestRandomEdits(t *testing.T) {
	made, refused := 0, map[string]int{}
	r := rand.New(rand.NewPCG(1, 2))
	eachFile(t, func(t *testing.T, f *File) {
		for range testdata.Cases(12, 25) {
			ps := f.all()
			if len(ps) == 0 {
				break
			}
			p := ps[r.IntN(len(ps))]
			e := randomEdit(r, p)
			next, err := f.Apply(e)
			if err != nil {
				refused[err.(*Refusal).Code]++
				if err.(*Refusal).Code == "tree-differs" {
					t.Logf("%v op %d %v\n%s", err, e.op, e.value, f.data)
				}
				continue
			}
			if e.op != opRemove {
				require.Equal(t, remarksOf(f), remarksOf(next), "%s %s", f.Name, p.path)
			}
			made++
			f = next
		}
	})
	t.Log(made, "made, refused:", refused)
	require.Greater(t, made, testdata.Cases(1000, 1500))
	require.Less(t, refused["tree-differs"], made/100)
}

func randomEdit(r *rand.Rand, p place) Edit {
	v := samples[r.IntN(len(samples))]
	switch r.IntN(7) {
	case 0:
		return Remove(p.path)
	case 1:
		return Move(p.path, r.IntN(4))
	case 2:
		return Insert(p.path, v)
	case 3:
		return Insert(p.path.Then("-"), v)
	case 4:
		return Set(p.path.Then("k"+strconv.Itoa(r.IntN(9))), v)
	case 5:
		return rename(p.path, "k"+strconv.Itoa(r.IntN(9)))
	}
	return Set(p.path, v)
}

func TestApply(t *testing.T) {
	const product = `# head
id: wash   # short
formula:
  basis: percent
  phases:
    - id: A
      lines:
        # most of it
        - {ingredient: water, amount: q.s.}
        - {ingredient: glycerin, amount: 4}   # sweet
warnings: []
claims:
`
	order := func(p Path) []string {
		if len(p) == 0 {
			return []string{"id", "name", "formula", "claims"}
		}
		return nil
	}
	edit := func(t *testing.T, edits ...Edit) string {
		f, err := Parse("wash.yaml", []byte(product))
		require.NoError(t, err)
		f.Order = order
		next, err := f.Apply(edits...)
		require.NoError(t, err)
		return string(next.Bytes())
	}
	path := func(s string) Path {
		p, err := ParsePath(s)
		require.NoError(t, err)
		return p
	}
	replaced := func(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(product) }

	t.Run("value", func(t *testing.T) {
		require.Equal(t, replaced("amount: 4}", "amount: 3.75}"),
			edit(t, Set(path("/formula/phases/id=A/lines/ingredient=glycerin/amount"), Typed("3.75"))))
	})
	t.Run("key in its place", func(t *testing.T) {
		require.Equal(t, replaced("# short\n", "# short\nname: Wash\n"), edit(t, Set(path("/name"), Text("Wash"))))
	})
	t.Run("key in brackets", func(t *testing.T) {
		require.Equal(t, replaced("amount: 4}", "amount: 4, note: \"a, b\"}"),
			edit(t, Set(path("/formula/phases/0/lines/1/note"), Text("a, b"))))
	})
	t.Run("groups on the way", func(t *testing.T) {
		require.Equal(t, product+"label: {size: {width_mm: 40}}\n",
			strings.ReplaceAll(edit(t, Set(path("/label/size/width_mm"), Typed("40"))),
				"label:\n  size: {width_mm: 40}", "label: {size: {width_mm: 40}}"))
	})
	t.Run("line like its sisters", func(t *testing.T) {
		line := Group().With("slot", Typed("scent")).With("amount", Typed("0.8"))
		require.Equal(t, replaced("        # most", "        - {slot: scent, amount: 0.8}\n        # most"),
			edit(t, Insert(path("/formula/phases/0/lines/0"), line)))
		require.Equal(t, replaced("# sweet\n", "# sweet\n        - {slot: scent, amount: 0.8}\n"),
			edit(t, Insert(path("/formula/phases/0/lines/-"), line)))
	})
	t.Run("comment moves with its line", func(t *testing.T) {
		require.Equal(t, replaced("        # most of it\n        - {ingredient: water, amount: q.s.}\n", "",
			"# sweet\n", "# sweet\n        # most of it\n        - {ingredient: water, amount: q.s.}\n"),
			edit(t, Move(path("/formula/phases/0/lines/0"), 1)))
	})
	t.Run("comment above stays when its line goes", func(t *testing.T) {
		require.Equal(t, replaced("        - {ingredient: water, amount: q.s.}\n", ""),
			edit(t, Remove(path("/formula/phases/0/lines/0"))))
	})
	t.Run("empty list and empty value", func(t *testing.T) {
		require.Equal(t, replaced("warnings: []", "warnings: [Keep out of the eyes.]", "claims:\n", "claims: [soft]\n"),
			edit(t, Insert(path("/warnings/-"), Text("Keep out of the eyes.")), Insert(path("/claims/-"), Text("soft"))))
	})
	t.Run("all or none", func(t *testing.T) {
		f, err := Parse("wash.yaml", []byte(product))
		require.NoError(t, err)
		_, err = f.Apply(Set(path("/id"), Typed("w")), Remove(path("/nothing")))
		require.EqualError(t, err, "wash.yaml:2:1: /nothing is not in the file; check the path")
		require.Equal(t, product, string(f.Bytes()))
	})
}

func TestRefusals(t *testing.T) {
	for code, c := range map[string]struct {
		text string
		edit Edit
	}{
		"documents":    {text: "a: 1\n---\nb: 2\n"},
		"anchor":       {text: "a: &x 1\nb: *x\n"},
		"tag":          {text: "a: !!str 1\n"},
		"odd-key":      {text: "? a\n: 1\n"},
		"syntax":       {text: "a: [1\n"},
		"not-utf8":     {text: "a: \xff\n"},
		"odd-lines":    {text: "a: 1\rb: 2\r"},
		"double-key":   {"a: 1\na: 2\n", Set(Path{"a"}, Typed("3"))},
		"no-place":     {"a: 1\n", Remove(Path{"b"})},
		"not-a-list":   {"a: 1\n", Insert(Path{"a", "-"}, Typed("2"))},
		"not-a-group":  {"a: 1\n", Set(Path{"a", "b"}, Typed("2"))},
		"key-taken":    {"a: 1\nb: 2\n", rename(Path{"a"}, "b")},
		"root":         {"a: 1\n", Remove(nil)},
		"comment-lost": {"a:\n  b: 1\n  # mind\n  c: 2\n", Set(Path{"a"}, Typed("1"))},
	} {
		t.Run(code, func(t *testing.T) {
			f, err := Parse("f.yaml", []byte(c.text))
			if c.edit.value.kind != 0 || c.edit.path != nil || c.edit.op != opSet {
				require.NoError(t, err)
				_, err = f.Apply(c.edit)
			}
			var r *Refusal
			require.ErrorAs(t, err, &r)
			require.Equal(t, code, r.Code)
			require.NotEmpty(t, r.Message())
			require.NotContains(t, r.Error(), "{")
		})
	}
}

// Whatever can be parsed, an edit gives the wanted tree and keeps the comments, or is
// refused; nothing panics, and nothing of the file is lost.
func FuzzApply(f *testing.F) {
	for _, data := range files(f) {
		f.Add(data, uint64(7), "7.5")
	}
	f.Fuzz(func(t *testing.T, data []byte, seed uint64, s string) {
		file, err := Parse("x", data)
		if err != nil {
			return
		}
		r := rand.New(rand.NewPCG(seed, 1))
		for range 3 {
			ps := file.all()
			if len(ps) == 0 {
				return
			}
			p := ps[r.IntN(len(ps))]
			e := randomEdit(r, p)
			if r.IntN(2) == 0 {
				e = Set(p.path, Typed(s))
			}
			if next, err := file.Apply(e); err == nil {
				file = next
			}
		}
	})
}
