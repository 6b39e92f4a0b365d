package pdf

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"errors"
	"fmt"
	"sort"
	"strconv"

	"gallipot/dossier/parallel"
	"gallipot/dossier/store"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// The writer of pages leaves out what an archive file needs: metadata, the
// meaning of its colours, an identity, and files inside that do not upset the
// links. The finishing step adds them by rewriting the file's list of objects;
// new objects go to the end, so that every number inside stays true. The rules
// are those of PDF/A-3 level b (ISO 19005-3); what is met is tested, but no
// validator for level 3b has been run on it.

// srgb is the profile that the grey and the accent colour are meant in. Its
// licence stands beside it in icc/LICENSE.color.org.
//
//go:embed icc/sRGB2014.icc
var srgb []byte

const (
	creatorTool = "gallipot"
	pdfProducer = "gallipot, with fpdf"
	pdfaPart    = 3
)

// docInfo is what a file says about itself.
type docInfo struct {
	title, author, subject, keywords string
	language                         string
	date                             exact.Date
	part                             int // of PDF/A
}

func (w *Writer) info() docInfo {
	d, c := w.d, w.Clean.Clean
	return docInfo{
		title: c(words.Joined(": ", d.Title, d.Subtitle)), author: c(d.Author), subject: c(d.Subject),
		keywords: c(words.Joined(", ", d.Keywords...)), language: d.LanguageCode(), date: d.Date, part: pdfaPart,
	}
}

// pdfObjects is a file as its objects; the object numbered n is at n-1.
type pdfObjects struct {
	List [][]byte
}

func (o *pdfObjects) add(format string, args ...any) int {
	o.List = append(o.List, fmt.Appendf(nil, format, args...))
	return len(o.List)
}

func (o *pdfObjects) addStream(dict string, data []byte) int {
	o.List = append(o.List, pdfStream(dict, data))
	return len(o.List)
}

func pdfStream(dict string, data []byte) []byte {
	b := fmt.Appendf(nil, "<<%s /Length %d>>\nstream\n", dict, len(data))
	b = append(b, data...)
	return append(b, "\nendstream"...)
}

// compress makes the streams smaller that the page writer left as they are: it
// would take a new compressor for each page, one after the other.
func (o *pdfObjects) compress() {
	parallel.Each(len(o.List), func(i int) {
		if data, ok := plainStream(o.List[i]); ok {
			o.List[i] = pdfStream("/Filter /FlateDecode", store.Zlibbed(data))
		}
	})
}

// plainStream returns what is in a stream that says nothing of itself but its
// length.
func plainStream(obj []byte) ([]byte, bool) {
	head, rest, found := bytes.Cut(obj, []byte(">>\nstream\n"))
	length, plain := bytes.CutPrefix(head, []byte("<</Length "))
	if n, err := strconv.Atoi(string(length)); found && plain && err == nil && n <= len(rest) {
		return rest[:n], true
	}
	return nil, false
}

var (
	startxrefRE = pattern.New(`startxref\s+(\d+)\s+%%EOF\s*$`)
	trailerRE   = pattern.New(`(?s)trailer\s*<<.*?/Root (\d+) 0 R\s*/Info (\d+) 0 R`)
	objHeadRE   = pattern.New(`^\d+ 0 obj\s`)
	outlinesRE  = pattern.New(`/Outlines (\d+) 0 R`)
	parentRE    = pattern.New(`/Parent (\d+) 0 R`)
)

// archive is an archive file to which attachments may still be added.
type archive struct {
	objs       *pdfObjects
	root, info int    // the numbers of the catalog and of the dictionary of information
	catalog    string // as far as it is known
	date       exact.Date
}

// newArchive turns the output of the page writer into an archive file.
func newArchive(raw []byte, info docInfo) (*archive, error) {
	objs, root, infoAt, err := SplitPDF(raw)
	if err != nil {
		return nil, err
	}
	objs.compress()
	for i, o := range objs.List {
		if bytes.HasPrefix(o, []byte("<</Type /Page\n")) {
			objs.List[i] = bytes.ReplaceAll(o, []byte("/Subtype /Link /Rect"), []byte("/Subtype /Link /F 4 /Rect"))
		}
	}
	outlines := outlinesRE.FindSubmatch(objs.List[root-1])
	catalog := "<</Type /Catalog /Pages 1 0 R /ViewerPreferences <</DisplayDocTitle true>> /Lang " +
		pdfString(info.language)
	if outlines != nil {
		n, _ := strconv.Atoi(string(outlines[1])) // digits by the pattern
		countOutlines(objs, n)
		catalog += fmt.Sprintf(" /Outlines %d 0 R /PageMode /UseOutlines", n)
	}
	objs.List[infoAt-1] = []byte(info.dictionary())
	meta := objs.addStream("/Type /Metadata /Subtype /XML", []byte(info.xmp()))
	profile := objs.addStream("/N 3 /Filter /FlateDecode", store.Zlibbed(srgb))
	catalog += fmt.Sprintf(" /Metadata %d 0 R /OutputIntents [<</Type /OutputIntent /S /GTS_PDFA1 /OutputConditionIdentifier (sRGB) /Info (sRGB) /DestOutputProfile %d 0 R>>]", meta, profile)
	return &archive{objs, root, infoAt, catalog, info.date}, nil
}

// With adds the attachments and returns the file. It is called once.
func (a *archive) With(attachments []Attachment) ([]byte, error) {
	files, err := addFiles(a.objs, attachments, a.date)
	if err != nil {
		return nil, err
	}
	a.objs.List[a.root-1] = []byte(a.catalog + files + ">>")
	return a.objs.bytes(a.root, a.info), nil
}

// SplitPDF cuts a file with a plain table of offsets into its objects.
func SplitPDF(raw []byte) (objs *pdfObjects, root, info int, err error) {
	broken := errors.New("dossier: the page writer's file has an unexpected shape")
	m := startxrefRE.FindSubmatch(raw)
	if m == nil {
		return nil, 0, 0, broken
	}
	xref, _ := strconv.Atoi(string(m[1])) // digits by the pattern
	if xref >= len(raw) {
		return nil, 0, 0, broken
	}
	table := raw[xref:]
	lines := bytes.Split(table, []byte("\n"))
	t := trailerRE.FindSubmatch(table)
	var n int
	if _, err := fmt.Sscanf(string(lines[1]), "0 %d", &n); err != nil || t == nil || len(lines) < n+2 {
		return nil, 0, 0, broken
	}
	offsets := make([]int, n-1)
	for i := range offsets {
		if _, err := fmt.Sscanf(string(lines[i+3]), "%d 00000 n", &offsets[i]); err != nil {
			return nil, 0, 0, broken
		}
	}
	ends := append([]int{xref}, offsets...)
	sort.Ints(ends)
	objs = &pdfObjects{List: make([][]byte, len(offsets))}
	for i, from := range offsets {
		to := ends[sort.SearchInts(ends, from+1)]
		body := raw[from:to]
		head := objHeadRE.Find(body)
		if head == nil {
			return nil, 0, 0, broken
		}
		body = bytes.TrimRight(body[len(head):], "\r\n ")
		objs.List[i] = bytes.TrimRight(bytes.TrimSuffix(body, []byte("endobj")), "\r\n ")
	}
	root, _ = strconv.Atoi(string(t[1])) // digits by the pattern
	info, _ = strconv.Atoi(string(t[2]))
	return objs, root, info, nil
}

// countOutlines gives every bookmark with children their number, negative since
// they are folded, and the root the number of bookmarks on top.
func countOutlines(objs *pdfObjects, root int) {
	children := map[int]int{}
	for _, o := range objs.List {
		if bytes.HasPrefix(o, []byte("<</Title")) {
			if m := parentRE.FindSubmatch(o); m != nil {
				n, _ := strconv.Atoi(string(m[1])) // digits by the pattern
				children[n]++
			}
		}
	}
	for i, o := range objs.List {
		if !bytes.HasPrefix(o, []byte("<</Title")) {
			continue
		}
		count := ""
		if n := children[i+1]; n > 0 {
			count = fmt.Sprintf("/Count -%d", n)
		}
		objs.List[i] = append(bytes.TrimSuffix(o, []byte("/Count 0>>")), count+">>"...)
	}
	r := objs.List[root-1]
	objs.List[root-1] = append(bytes.TrimSuffix(r, []byte(">>")), fmt.Sprintf(" /Count %d>>", children[root])...)
}

// bytes writes the file. Its identity is the hash of its content.
func (o *pdfObjects) bytes(root, info int) []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
	offsets := make([]int, len(o.List))
	for i, obj := range o.List {
		offsets[i] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n", i+1)
		b.Write(obj)
		b.WriteString("\nendobj\n")
	}
	id := sha256.Sum256(b.Bytes())
	xref := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(o.List)+1)
	for _, off := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", off)
	}
	fmt.Fprintf(&b, "trailer\n<</Size %d /Root %d 0 R /Info %d 0 R /ID [<%X> <%X>]>>\nstartxref\n%d\n%%%%EOF\n",
		len(o.List)+1, root, info, id[:16], id[:16], xref)
	return b.Bytes()
}
