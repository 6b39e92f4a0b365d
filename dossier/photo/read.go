package photo

import (
	"bytes"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"io/fs"
	"slices"
	"strings"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// The size of a photograph, at most. A larger one is no better on paper, and takes
// long to decode.
const (
	mostBytes = 20_000_000
	mostDots  = 50_000_000
)

// places are the folders where photographs lie.
var places = []string{"evidence", "pictures"}

// codeUnfit is a photograph that cannot be printed; kind ask, since no figure depends on it.
const codeUnfit = "picture-unfit"

// Named is a photograph as a product file names it.
type Named struct {
	File    string // inside the workshop, with /
	Caption string
	Pos     exact.Pos // of the file
}

// Read reads the list of photographs of a product.
func Read(v source.Node) (list []Named) {
	v.EachIn("photograph", "{file: pictures/front.jpg, caption: front of the pack}", func(m *source.Mapping) {
		m.Need("file", "file: pictures/front.jpg")
		m.Need("caption", "caption: what the photograph shows")
		list = append(list, Named{m.At("file").Text(), m.At("caption").Text(), m.At("file").Pos()})
	})
	return list
}

// Faults says why a photograph cannot be printed: it lies in another folder, is too
// large, or is neither JPEG nor PNG. A file that cannot be opened is for others to
// report: it is missing, as any paper may be.
func (n Named) Faults(fsys fs.FS) []finding.Finding {
	if first, _, inside := strings.Cut(n.File, "/"); !inside || !slices.Contains(places, first) {
		return n.unfit("place", nil)
	}
	f, err := fsys.Open(n.File)
	if err != nil {
		return nil
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil || !info.Mode().IsRegular() || info.Size() == 0:
		return nil
	case info.Size() > mostBytes:
		return n.unfit("bytes", finding.With().Count("megabytes", int(info.Size()/1_000_000)).
			Count("most", mostBytes/1_000_000))
	}
	head, known := headOf(f)
	switch dots := int64(head.Width) * int64(head.Height); {
	case !known:
		return n.unfit("", nil)
	case dots > mostDots:
		return n.unfit("dots", finding.With().Count("width", head.Width).Count("height", head.Height).
			Count("most", mostDots/1_000_000))
	}
	return nil
}

func (n Named) unfit(form string, v finding.Values) []finding.Finding {
	return []finding.Finding{finding.NewFinding(finding.Ask, codeUnfit, n.Pos, v).As(form).On(n.File).
		By(finding.TheMaker).
		At(n.Pos.File, "pictures.file", nil)}
}

// formats are those that are read, by how their files begin.
var formats = []struct {
	begins string
	head   func(io.Reader) (image.Config, error)
	decode func(io.Reader) (image.Image, error)
}{
	{"\xff\xd8\xff", jpeg.DecodeConfig, jpeg.Decode},
	{"\x89PNG\r\n\x1a\n", png.DecodeConfig, png.Decode},
}

// headOf reads width and height. They are known of a JPEG or PNG with dots in it.
func headOf(r io.Reader) (head image.Config, known bool) {
	begin := make([]byte, 8)
	if _, err := io.ReadFull(r, begin); err != nil {
		return head, false
	}
	for _, f := range formats {
		if strings.HasPrefix(string(begin), f.begins) {
			head, err := f.head(io.MultiReader(bytes.NewReader(begin), r))
			return head, err == nil && head.Width > 0 && head.Height > 0
		}
	}
	return head, false
}
