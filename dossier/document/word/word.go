package word

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/pattern"
)

// Property is a named text that a file carries beside what it shows.
type Property struct{ Name, Value string }

// WriteIn stands in a cell that is to be written in: words that no one would answer.
const WriteIn = "[write here]"

// UnbrokenHyphen is what the hyphens of a date are written as: no line ends behind them. Who
// reads the document back takes it for a hyphen.
const UnbrokenHyphen = "\u2011"

// dateRE is a date as the program prints it.
var dateRE = pattern.New(`\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b`)

func unbroken(s string) string {
	return dateRE.ReplaceAllStringFunc(s, func(d string) string { return strings.ReplaceAll(d, "-", UnbrokenHyphen) })
}

// Write prints d for a word processor, with properties that programs can read. The same
// document gives the same bytes.
//
// Errors: a tree that [document.Document.Mistakes] refuses, a block that has no place in
// text to go on writing, such as a chart, and whatever w returns.
func Write(w io.Writer, d *document.Document, properties ...Property) error {
	d = d.ForPages()
	if err := d.Mistakes(); err != nil {
		return err
	}
	b := &body{d: d, tableNo: d.TableNumbers()}
	b.document()
	if b.err != nil {
		return b.err
	}
	parts := []struct{ name, text string }{
		{"[Content_Types].xml", contentTypes},
		{"_rels/.rels", packageLinks},
		{"docProps/core.xml", coreProperties(d)},
		{"docProps/custom.xml", customProperties(properties)},
		{"word/_rels/document.xml.rels", documentLinks},
		{"word/document.xml",
			head + `<w:document ` + names + `><w:body>` + b.out.String() + pageSize + `</w:body></w:document>`},
		{"word/footer1.xml", head + `<w:ftr ` + names + `>` + footText(d) + `</w:ftr>`},
		{"word/header1.xml", head + `<w:hdr ` + names + `>` + headText(d) + `</w:hdr>`},
		{"word/settings.xml", settings},
		{"word/styles.xml", styles(d.LanguageCode())},
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, p := range parts {
		f, err := z.CreateHeader(&zip.FileHeader{Name: p.name, Method: zip.Deflate,
			Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			return err
		}
		if _, err := io.WriteString(f, p.text); err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	_, err := w.Write(out.Bytes())
	return err
}

func esc(s string) string { return document.XMLText(s) }

// coreProperties holds title and author; the only date is that of the document.
func coreProperties(d *document.Document) string {
	day := ""
	if !d.Date.IsZero() {
		for _, name := range []string{"created", "modified"} {
			day += `<dcterms:` + name + ` xsi:type="dcterms:W3CDTF">` + d.Date.String() + `T00:00:00Z</dcterms:` +
				name + `>`
		}
	}
	return head +
		`<cp:coreProperties xmlns:cp="http://schemas.openxmlformats.org/package/2006/metadata/core-properties" ` +
		`xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/" ` +
		`xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"><dc:title>` + esc(words.Joined(": ", d.Title,
		d.Subtitle)) +
		`</dc:title><dc:creator>` + esc(d.Author) + `</dc:creator>` + day + `</cp:coreProperties>`
}

func customProperties(list []Property) string {
	var b strings.Builder
	b.WriteString(head +
		`<Properties xmlns="http://schemas.openxmlformats.org/officeDocument/2006/custom-properties" ` +
		`xmlns:vt="http://schemas.openxmlformats.org/officeDocument/2006/docPropsVTypes">`)
	for i, p := range list {
		fmt.Fprintf(&b,
			`<property fmtid="{D5CDD505-2E9C-101B-9397-08002B2CF9AE}" pid="%d" name="%s"><vt:lpwstr>%s</vt:lpwstr></property>`,
			i+2, esc(p.Name), esc(p.Value)) // 0 and 1 are reserved
	}
	b.WriteString(`</Properties>`)
	return b.String()
}

func headText(d *document.Document) string {
	return `<w:p><w:pPr><w:pStyle w:val="Furniture"/></w:pPr>` + run(words.Joined(" · ", d.Product,
		d.Revision, d.Title), "") + `</w:p>`
}

// footText stands on each page: what the document is not, of which figures it is, and
// which page it is.
func footText(d *document.Document) string {
	figures := ""
	if d.Fingerprint != "" {
		figures = "figures " + d.Fingerprint
	}
	left := words.Joined(" · ", d.Caution, figures, d.Date.String())
	return `<w:p><w:pPr><w:pStyle w:val="Furniture"/><w:tabs><w:tab w:val="right" w:pos="` +
		fmt.Sprint(textWidth) + `"/></w:tabs></w:pPr>` +
		run(left, "") + `<w:r><w:tab/></w:r>` + field("PAGE") + run(" of ", "") + field("NUMPAGES") + `</w:p>`
}

func field(name string) string {
	return `<w:r><w:fldChar w:fldCharType="begin"/></w:r><w:r><w:instrText xml:space="preserve"> ` + name +
		` </w:instrText></w:r>` +
		`<w:r><w:fldChar w:fldCharType="separate"/></w:r><w:r><w:t>1</w:t></w:r><w:r><w:fldChar w:fldCharType="end"/></w:r>`
}

// run is a piece of text of one look; line ends are kept.
func run(s, look string) string {
	if look != "" {
		look = `<w:rPr>` + look + `</w:rPr>`
	}
	var b strings.Builder
	for i, line := range strings.Split(s, "\n") {
		b.WriteString(`<w:r>` + look)
		if i > 0 {
			b.WriteString(`<w:br/>`)
		}
		b.WriteString(`<w:t xml:space="preserve">` + esc(unbroken(line)) + `</w:t></w:r>`)
	}
	return b.String()
}
